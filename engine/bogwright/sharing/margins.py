"""How much room a fit leaves: how many times what a grower's control misses by its plants' bounds could give way.

``site/theme/js/share/margin.js`` finds the same number from the exported boxes: change both together.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce

from bogwright.sharing.axes import Axes
from bogwright.sharing.boxes import LADDER, Strictness
from bogwright.sharing.groups import Fit
from bogwright.sharing.needs import Needs
from bogwright.sharing.windows import Box, Frame

MOST_TENTHS = 400  # wider than any settable range: what still holds there is bound by nothing that a plant asks


@dataclass(frozen=True, slots=True)
class Margin:
    """``errors``: room in control errors, None where nothing binds; ``axis``, ``months`` (0 = midwinter): what does."""

    errors: float | None
    axis: str = ""
    months: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Season:
    """Months of a fit in which the regime and every plant ask the same."""

    months: tuple[int, ...]
    regime: Box
    present: tuple[tuple[Needs, str], ...]  # plants in the case, each with its phase


def margin(
    plants: Sequence[Needs],
    fit: Fit,
    axes: Axes,
    frame: Frame,
    strictness: Strictness,
    movers: Collection[str],
) -> Margin:
    """Room that a fit found at ``strictness`` leaves, with its regime and its years as they are.

    It is the greatest number *t*, in whole tenths, for which every month still has a setting when each stated end of
    each mover present is moved inward by *t* control errors of its axis: 2.3 means that the case may swing 2.3 times
    as far as an ordinary thermostat, timer or fogger lets it, about one setting a month, before it leaves what some
    plant tolerates. On one axis bounded by plants from both sides this is half the width of the stated window over the
    control error; where the regime or what can be set bounds one side, the whole width, since the set point may lie
    there itself. Drops, day limits after warm nights and light a day take part as the search itself takes them. Ends
    that nobody stated, and soft ends where ``strictness`` lets them go, move nothing, so axes unbounded do not count.
    How far an end moves for one error is twice the way from its place at half the error to that at the whole.

    plants: in the order of ``fit.years``. movers: ids of those whose ends move; the others' stay at ``strictness``.
    With all of them moving, a fit found at the full control error has at least 1, one found at half of it at least 0.5.
    """
    seasons = list(_seasons(plants, fit))

    def breaks(tenths: int) -> bool:
        return not all(_holds(season, movers, tenths / 10, axes, frame, strictness) for season in seasons)

    first = bisect_left(range(MOST_TENTHS), True, key=breaks)
    if first == MOST_TENTHS:
        return Margin(None)
    found = []
    for season in seasons:
        moved, kept = _boxes(season, movers, first / 10, axes, frame, strictness)
        found += [(season, clash.axis) for clash in frame.clashes([("kept", kept), ("moved", moved)], first / 10)]
    axis = found[0][1]
    months = {m for season, other in found if other == axis for m in season.months}
    return Margin((first - 1) / 10, axis, tuple(sorted(months)))


def _seasons(plants: Sequence[Needs], fit: Fit) -> Iterator[Season]:
    """The months of a year, those alike together, in order of their first month."""
    alike: dict[tuple[Box, tuple[str | None, ...]], list[int]] = {}
    for month, regime in enumerate(fit.regime.boxes):
        phases = tuple(None if month in year.absent else year.phases[month] for year in fit.years)
        alike.setdefault((regime, phases), []).append(month)
    for (regime, phases), months in alike.items():
        present = tuple((p, phase) for p, phase in zip(plants, phases, strict=True) if phase is not None)
        yield Season(tuple(months), regime, present)


def _boxes(
    season: Season, movers: Collection[str], error: float, axes: Axes, frame: Frame, strictness: Strictness
) -> tuple[Box, Box]:
    """What the movers ask with their ends at ``error``; what the regime and the others ask at ``strictness``."""
    moved, kept = [frame.open_box], [season.regime]
    for needs, phase in season.present:
        if needs.id in movers:
            moved.append(_moved(needs, phase, error, axes, frame, strictness))
        else:
            kept.append(needs.box(phase, axes, frame, strictness))
    return reduce(Box.__and__, moved), reduce(Box.__and__, kept)


def _moved(needs: Needs, phase: str, error: float, axes: Axes, frame: Frame, strictness: Strictness) -> Box:
    """The box of a plant with every end that it holds at ``strictness`` moved on to ``error``."""
    held, full, half = (needs.box(phase, axes, frame, one) for one in (strictness, LADDER["full"], LADDER["half"]))
    way = 2 * (error - strictness.error)

    def ends(held: Sequence[float], full: Sequence[float], half: Sequence[float], free: Sequence[float]) -> list[float]:
        both = zip(held, full, half, free, strict=True)
        return [end if end == none else end + way * (whole - part) for end, whole, part, none in both]

    lows = ends(held.lows, full.lows, half.lows, frame.open_box.lows)
    highs = ends(held.highs, full.highs, half.highs, frame.open_box.highs)
    return Box(tuple(lows), tuple(highs), held.steps)


def _holds(
    season: Season, movers: Collection[str], error: float, axes: Axes, frame: Frame, strictness: Strictness
) -> bool:
    """Whether one setting meets the season with the movers' ends at ``error`` and the others' at ``strictness``."""
    moved, kept = _boxes(season, movers, error, axes, frame, strictness)
    whole = moved & kept
    # day limits keep clear by their owners' own share of the control error
    return frame.feasible(whole._replace(steps=moved.steps), error) and (
        not kept.steps or frame.feasible(whole._replace(steps=kept.steps), strictness.error)
    )
