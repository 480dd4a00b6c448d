"""Why a group cannot be served: for each regime a smallest conflict, and where its closest years clash."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bogwright.sharing.arena import Arena, Arenas
from bogwright.sharing.conflicts import conflict
from bogwright.sharing.windows import Box, Clash


@dataclass(frozen=True, slots=True)
class RegimeClash:
    """Why one regime cannot serve the group: the plants of a smallest conflict, and where their closest years clash."""

    regime: str
    title: str
    plants: tuple[str, ...]
    month: int
    clash: Clash


def find_clashes(arenas: Arenas) -> tuple[RegimeClash, ...]:
    """One smallest conflict of every regime, given that no regime serves all plants."""
    found = []
    for arena in arenas.each:
        ids = conflict(arena.ids, arena.serves)
        month, clash = _nearest(arena, ids)
        found.append(RegimeClash(arena.regime.id, arena.regime.title, ids, month, clash))
    return tuple(found)


def _nearest(arena: Arena, ids: Sequence[str]) -> tuple[int, Clash]:
    """The worst axis of the worst month, with each plant in its easiest year that the regime could serve alone."""
    best: tuple[int, Clash] | None = None
    chosen = {i: arena.easiest(i) or _closest(arena, i) for i in ids}
    for month in range(12):
        parts = [(i, box) for i, boxes in chosen.items() if (box := boxes[month]) is not None]
        for clash in arena.clashes([*parts, (f"regime {arena.regime.id}", arena.regime.boxes[month])]):
            if best is None or clash.gap > best[1].gap:
                best = (month, clash)
    # years that each fit alone may clash only in combination: then no single axis is to blame
    return best if best is not None else (0, Clash("year", tuple(sorted(ids)), 0.0))


def _closest(arena: Arena, plant: str) -> tuple[Box | None, ...]:
    """The year with the smallest worst gap against the regime alone."""

    def gap(boxes: tuple[Box | None, ...]) -> float:
        pairs = zip(arena.regime.boxes, boxes, strict=True)
        return max((c.gap for r, b in pairs if b is not None for c in arena.clashes([("r", r), ("p", b)])), default=0.0)

    return min(arena.all_boxes(plant), key=gap)
