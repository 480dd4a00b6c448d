"""One month of one case: can one setting of air and lamp hours meet every plant's bounds at once?

The settings of a case form difference constraints on three nodes (day, night and the fixed zero), so the system is
solvable exactly when no cycle of length two or three has negative length (Bellman 1958; Cormen et al.,
*Introduction to Algorithms*, "Difference constraints and shortest paths"). A negative cycle names the plants that
clash: at most three of them for day, night and drop. A falling day limit is tested at the least (night, day) of the
system, which is its least solution in both at once. Light a day is a product; with the light level belonging to a
place and the hours to the case, each place bounds the hours from both sides, and these bounds meet as intervals.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from bogwright.sharing.axes import INFINITE, Axes

Steps = tuple[tuple[float, float], ...]
Finder = Callable[[int], tuple[float, str]]


class Box(NamedTuple):
    """Bounds on the case in one month:

    ``lows`` and ``highs`` in the order of :class:`Frame`, and falling day limits.
    """

    lows: tuple[float, ...]
    highs: tuple[float, ...]
    steps: tuple[Steps, ...] = ()

    def __and__(self, other: Box) -> Box:
        steps = self.steps + other.steps if self.steps and other.steps else self.steps or other.steps
        return Box(tuple(map(max, self.lows, other.lows)), tuple(map(min, self.highs, other.highs)), steps)


@dataclass(frozen=True, slots=True)
class Clash:
    """A certificate: on ``axis`` the labels named cannot be met together, by ``gap`` (in the axis's unit)."""

    axis: str
    labels: tuple[str, ...]
    gap: float


@dataclass(frozen=True, slots=True)
class Frame:
    """The order of a box's numbers and how they couple; made once from the axes."""

    order: tuple[str, ...]
    differences: tuple[tuple[int, int, int], ...]  # left, right, result
    stepped: tuple[int, int] | None  # left, right
    step_errors: tuple[float, float]  # control error of left, right
    open_box: Box

    @classmethod
    def of(cls, axes: Axes) -> Frame:
        settings = [a.id for a in axes.case_settings]
        results = [a.id for a in axes.coupled("difference")]
        order = tuple(settings + results)
        place = {key: n for n, key in enumerate(order)}
        differences = []
        for axis in axes.coupled("difference"):
            assert axis.coupling is not None
            differences.append((place[axis.coupling.left], place[axis.coupling.right], place[axis.id]))
        stepped, errors = None, (0.0, 0.0)
        for axis in axes.coupled("falling-steps"):
            assert axis.coupling is not None
            left, right = axis.coupling.left, axis.coupling.right
            stepped, errors = (place[left], place[right]), (axes[left].control_error, axes[right].control_error)
        bounds = [axes[key].settable for key in order]
        return cls(order, tuple(differences), stepped, errors, Box(*map(tuple, zip(*bounds, strict=True))))

    def tightened(self, box: Box) -> Box:
        """The same system with every bound as tight as the couplings make it (one pass is enough on three nodes)."""
        lows, highs = list(box.lows), list(box.highs)
        for left, right, result in self.differences:
            lows[left] = max(lows[left], lows[right] + lows[result])
            highs[left] = min(highs[left], highs[right] + highs[result])
            lows[right] = max(lows[right], lows[left] - highs[result])
            highs[right] = min(highs[right], highs[left] - lows[result])
            lows[result] = max(lows[result], lows[left] - highs[right])
            highs[result] = min(highs[result], highs[left] - lows[right])
        return Box(tuple(lows), tuple(highs), box.steps)

    def feasible(self, box: Box, error: float = 1.0) -> bool:
        """Whether one setting meets the box. ``error``: share of the control error that falling limits keep clear."""
        lows, highs = box.lows, box.highs
        for low, high in zip(lows, highs, strict=True):
            if low > high:
                return False
        for left, right, result in self.differences:
            if highs[left] - lows[right] < lows[result] or lows[left] - highs[right] > highs[result]:
                return False
        return not box.steps or self._steps_met(self.tightened(box), error)

    def _steps_met(self, box: Box, error: float) -> bool:
        assert self.stepped is not None
        day, night = box.lows[self.stepped[0]], box.lows[self.stepped[1]]
        off_day, off_night = (e * error for e in self.step_errors)
        return all(day + off_day <= day_limit(steps, night + off_night) for steps in box.steps)

    def clashes(self, parts: Sequence[tuple[str, Box]], error: float = 1.0) -> list[Clash]:
        """Why the parts cannot be met together, each with the labels that bind; empty when they can."""
        whole = self.open_box
        for _, box in parts:
            whole &= box
        found: list[Clash] = []

        def lowest(n: int) -> tuple[float, str]:
            return max(((b.lows[n], label) for label, b in parts), key=lambda p: (p[0], p[1]))

        def highest(n: int) -> tuple[float, str]:
            return min(((b.highs[n], label) for label, b in parts), key=lambda p: (p[0], p[1]))

        def names(*labels: str) -> tuple[str, ...]:
            return tuple(sorted(set(labels)))

        for n, axis in enumerate(self.order):
            if whole.lows[n] > whole.highs[n]:
                found.append(Clash(axis, names(lowest(n)[1], highest(n)[1]), whole.lows[n] - whole.highs[n]))
        for left, right, result in self.differences:
            short = whole.lows[result] - (whole.highs[left] - whole.lows[right])
            if short > 0:
                labels = names(highest(left)[1], lowest(right)[1], lowest(result)[1])
                found.append(Clash(self.order[result], labels, short))
            wide = (whole.lows[left] - whole.highs[right]) - whole.highs[result]
            if wide > 0:
                labels = names(lowest(left)[1], highest(right)[1], highest(result)[1])
                found.append(Clash(self.order[result], labels, wide))
        if not found and whole.steps and self.stepped is not None:
            tight = self.tightened(whole)
            day, night = tight.lows[self.stepped[0]], tight.lows[self.stepped[1]]
            off_day, off_night = (e * error for e in self.step_errors)
            for label, box in parts:
                for steps in box.steps:
                    over = day + off_day - day_limit(steps, night + off_night)
                    if over > 0:
                        owners = names(label, *self._owners_of_least(whole, tight, lowest, highest))
                        found.append(Clash("day_limit_by_night", owners, over))
        return found

    def _owners_of_least(self, whole: Box, tight: Box, lowest: Finder, highest: Finder) -> list[str]:
        """Who forces the least day and the least night: a plant's own bound, or another's bound through a drop."""
        owners = []
        for n in self.stepped or ():
            if whole.lows[n] == tight.lows[n]:
                owners.append(lowest(n)[1])
                continue
            for left, right, result in self.differences:
                if n == left and whole.lows[right] + whole.lows[result] == tight.lows[n]:
                    owners += [lowest(right)[1], lowest(result)[1]]
                elif n == right and whole.lows[left] - whole.highs[result] == tight.lows[n]:
                    owners += [lowest(left)[1], highest(result)[1]]
        return owners

    def set_point(self, box: Box, wish: Box | None, error: float = 1.0) -> dict[str, float] | None:
        """One setting that meets the box, as near as it can to the middle of ``wish`` (or of the box itself).

        Returns axis → value for every setting and result, or None when the box is not feasible. The point is checked
        against the box before it is returned.
        """
        if not self.feasible(box, error):
            return None
        tight = self.tightened(box)
        target = self.tightened(wish) if wish is not None and self.feasible(wish, error) else tight
        middles = [
            _middle(max(a, c), min(b, d)) if max(a, c) <= min(b, d) else _clip(_middle(c, d), a, b)
            for a, b, c, d in zip(tight.lows, tight.highs, target.lows, target.highs, strict=True)
        ]
        point = [
            _clip(_neat(middle), low, high) for middle, low, high in zip(middles, tight.lows, tight.highs, strict=True)
        ]
        for left, right, result in self.differences:
            point[left] = _clip(
                point[left],
                max(tight.lows[left], point[right] + tight.lows[result]),
                min(tight.highs[left], point[right] + tight.highs[result]),
            )
            point[result] = point[left] - point[right]
        if not self._meets(point, box, error):
            # the middle of a thin strip may break a falling limit; the least point of the system cannot
            for left, right, result in self.differences:
                point[left], point[right] = tight.lows[left], tight.lows[right]
                point[result] = point[left] - point[right]
        if not self._meets(point, box, error):
            return None
        return {axis: round(value, 2) for axis, value in zip(self.order, point, strict=True)}

    def _meets(self, point: Sequence[float], box: Box, error: float) -> bool:
        near = 1e-6
        inside = all(a - near <= p <= b + near for a, p, b in zip(box.lows, point, box.highs, strict=True))
        if not inside or self.stepped is None:
            return inside
        left, right = self.stepped
        off_day, off_night = (e * error for e in self.step_errors)
        return all(point[left] + off_day <= day_limit(s, point[right] + off_night) + near for s in box.steps)


def day_limit(steps: Steps, night: float) -> float:
    """The highest day allowed after a night of ``night`` degC; past the last step the last limit holds. [degC]"""
    for warm, limit in steps:
        if night <= warm:
            return limit
    return steps[-1][1]


def _middle(low: float, high: float) -> float:
    if low <= -INFINITE:
        return high if high < INFINITE else 0.0
    return low if high >= INFINITE else (low + high) / 2


def _clip(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _neat(value: float) -> float:
    """A figure that a thermostat or timer can be set to."""
    return round(value * 2) / 2
