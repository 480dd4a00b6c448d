"""Whose water is shared: the fewest water units (beds) that serve the plants of one case through the year.

A bed has hollows and hummocks, so it offers a few neighbouring moisture classes at a time (``bed_span``); plants share
it in a month when one such stretch touches what each of them lives with. Solids and alkalinity are the supply's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bogwright.sharing.axes import Axes


@dataclass(frozen=True, slots=True)
class Bed:
    """Plants that share water; ``stretch[m]``: the moisture classes it offers in month m."""

    plants: tuple[str, ...]
    stretch: tuple[tuple[str, ...], ...]


Wetness = Mapping[int, tuple[str, ...]]  # month → classes lived with; a month away is missing, unknown is empty


def stretches(plants: Sequence[Wetness], axes: Axes) -> tuple[tuple[str, ...], ...] | None:
    """For each month the wettest stretch that touches what every plant lives with, or None where a month has none."""
    order, span = axes.moisture_order, axes.bed_span
    found = []
    for month in range(12):
        wants = [w[month] for w in plants if w.get(month)]
        fits = [
            order[n : n + span]
            for n in range(len(order) - span + 1)
            if all(set(order[n : n + span]) & set(w) for w in wants)
        ]
        if not fits:
            return None
        # among stretches that fit, the one that leaves most plants in the middle of what they live with
        found.append(max(fits, key=lambda s: (sum(len(set(s) & set(w)) for w in wants), order.index(s[0]))))
    return tuple(found)


def beds(plants: Mapping[str, Wetness], axes: Axes) -> list[Bed]:
    """A partition into few beds, largest first: narrowest plants first, each into the first bed that can take it.

    First fit is a bound, not a proven optimum.
    """
    groups: list[list[str]] = []
    for one in sorted(plants, key=lambda p: (_narrowness(plants[p]), p)):
        for group in groups:
            if stretches([plants[p] for p in (*group, one)], axes) is not None:
                group.append(one)
                break
        else:
            groups.append([one])
    groups.sort(key=lambda g: (-len(g), sorted(g)))
    made = []
    for group in groups:
        stretch = stretches([plants[p] for p in group], axes)
        assert stretch is not None
        made.append(Bed(tuple(sorted(group)), stretch))
    return made


def _narrowness(wetness: Wetness) -> int:
    return sum(len(classes) if classes else 5 for classes in wetness.values())
