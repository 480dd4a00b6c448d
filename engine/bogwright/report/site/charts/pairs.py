"""Which plants of a genus can share a case two by two: the engine's windows of air, light and year, nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from bogwright.judge.bench import Bench
from bogwright.judge.share import arenas
from bogwright.knowledge import Entry
from bogwright.sharing.arena import Arenas
from bogwright.sharing.boxes import LADDER, Strictness
from bogwright.sharing.needs import Needs

SHARES, LIFTS, CARE, OPEN, APART = "shares", "lifts", "care", "open", "apart"
VERDICTS = (SHARES, LIFTS, CARE, OPEN, APART)


class Pairs:
    """Pairs among some plants, each judged once.

    shares : some case suits both all year with an ordinary thermostat and timer. lifts : only if one of them, or both,
    are lifted out for part of the year. care : they stay, but only with finer control, or if growth may slow.
    open : only if figures that nobody knows fall well. apart : no case suits both.
    """

    def __init__(self, bench: Bench, plants: Sequence[Entry]) -> None:
        self._bench = bench
        self._plants = plants
        self._found: dict[frozenset[str], str] = {}

    def verdict(self, one: str, other: str) -> str:
        """One of `VERDICTS`. Raises KeyError for an id that is not among the plants."""
        key = frozenset((one, other))
        if key not in self._found:
            self._found[key] = self._judged(sorted(key))
        return self._found[key]

    def _judged(self, ids: Sequence[str]) -> str:
        for n, (staying, level) in enumerate(zip(self._staying, self._certain, strict=True)):
            if staying.serves(ids):
                return CARE if n else SHARES
            if level.serves(ids):
                return LIFTS
        return OPEN if any(level.serves(ids) for level in self._possible) else APART

    @cached_property
    def _certain(self) -> Sequence[Arenas]:
        return [self._arenas(level) for level in LADDER.values()]

    @cached_property
    def _staying(self) -> Sequence[Arenas]:
        """The same with only those years in which nobody is lifted out."""
        stay = [replace(one, years=tuple(year for year in one.years if not year.absent)) for one in self._needs]
        return [arenas(self._bench, stay, level) for level in LADDER.values()]

    @cached_property
    def _possible(self) -> Sequence[Arenas]:
        return [self._arenas(level.at_best) for level in LADDER.values()]

    def _arenas(self, strictness: Strictness) -> Arenas:
        return arenas(self._bench, self._needs, strictness)

    @cached_property
    def _needs(self) -> Sequence[Needs]:
        profiles = [self._bench.base.profile(plant.id) for plant in self._plants]
        return [self._bench.needs(one, id=one.id, name=one.name) for one in profiles]
