"""Which plants of a genus can share a case two by two: the engine's windows of air, light and year, nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from bogwright.judge.bench import Bench
from bogwright.judge.share import arenas
from bogwright.knowledge import Entry
from bogwright.sharing.arena import Arenas
from bogwright.sharing.boxes import LADDER, Strictness

SHARES, CARE, OPEN, APART = "shares", "care", "open", "apart"
VERDICTS = (SHARES, CARE, OPEN, APART)


class Pairs:
    """Pairs among some plants, each judged once.

    shares : some case suits both with an ordinary thermostat and timer. care : only with finer control, or if growth
    may slow. open : only if figures that nobody knows fall well. apart : no case suits both.
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
        full, *milder = self._certain
        if full.serves(ids):
            return SHARES
        if any(level.serves(ids) for level in milder):
            return CARE
        return OPEN if any(level.serves(ids) for level in self._possible) else APART

    @cached_property
    def _certain(self) -> Sequence[Arenas]:
        return [self._arenas(level) for level in LADDER.values()]

    @cached_property
    def _possible(self) -> Sequence[Arenas]:
        return [self._arenas(level.at_best) for level in LADDER.values()]

    def _arenas(self, strictness: Strictness) -> Arenas:
        bench = self._bench
        profiles = [bench.base.profile(plant.id) for plant in self._plants]
        return arenas(bench, [bench.needs(one, id=one.id, name=one.name) for one in profiles], strictness)
