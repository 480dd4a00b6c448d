"""How much leeway a plant leaves its grower: the width of what it tolerates, as one measured share.

Eight parts, each from 0 (nothing but its own point will do) to 1 (anything goes):

- air by day, air by night, humidity, light a day, solids in the supplied water: the mean of two shares, that of the
  scale (from the least to the greatest end that any profiled plant states) and that of what an ordinary room gives
  (``room`` of kb/needs.yaml), which lie in the band it certainly tolerates in growth. An end that makes no demand
  reaches to the end of the scale and of the room.
- moisture: the share of the classes of kb/axes.yaml in which it grows.
- the year: the share of the regimes of kb/regimes.yaml under which it can be kept alone by some way, with the control
  error of ordinary equipment taken off.
- handling: how much its roots stand, by their sensitivity (``handling`` of kb/needs.yaml).

The leeway is the mean of the parts that are known; with more than ``unknown_at_most`` unknown it cannot be said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bogwright.judge.bench import Bench
from bogwright.judge.share import arenas
from bogwright.knowledge.base import KnowledgeError
from bogwright.knowledge.problems import Problem
from bogwright.sharing.axes import INFINITE
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.demands import Demand, word
from bogwright.sharing.months import GROWTH
from bogwright.sharing.needs import Needs

Span = tuple[float, float]
OTHERS = ("moisture", "year", "handling")


@dataclass(frozen=True, slots=True)
class Leeway:
    """parts : by axis or other part, None where unknown; measure : their mean, None where too many are unknown."""

    parts: Mapping[str, float | None]
    measure: float | None


class Measure:
    """The measure over some plants, which make the scale. room : what a room gives, by axis; scale : likewise.

    narrower, most_named : how far below the median a part is a reason, and how many reasons are named.
    """

    def __init__(self, bench: Bench, plants: Sequence[Needs]) -> None:
        given = bench.table("needs")["difficulty"]
        self.bench = bench
        self.room = _room(bench)
        self.scale = {axis: _scale(axis, plants, room) for axis, room in self.room.items()}
        self.classes: tuple[str, ...] = tuple(given["classes"])
        self.handling: Mapping[str, float] = given["handling"]
        self.unknown_at_most: int = given["unknown_at_most"]
        self.narrower: float = given["reasons"]["below"]
        self.most_named: int = given["reasons"]["named"]

    def of(self, plant: Needs) -> Leeway:
        """The leeway of one plant."""
        parts: dict[str, float | None] = {axis: self._share(axis, plant) for axis in self.room}
        order = self.bench.axes.moisture_order
        wet = plant.moisture[GROWTH]
        parts["moisture"] = len(set(wet) & set(order)) / len(order) if wet else None
        parts["year"] = self._years(plant) if plant.profile.ways else None
        parts["handling"] = self.handling.get(word(plant.profile.claim("roots.sensitivity")))
        known = [part for part in parts.values() if part is not None]
        enough = len(parts) - len(known) <= self.unknown_at_most
        return Leeway(parts, sum(known) / len(known) if enough else None)

    def ranked(self, found: Mapping[str, Leeway]) -> dict[str, str]:
        """The class of each plant that has a measure, as many plants in each class as can be; equals stay together."""
        measures = sorted((one.measure for one in found.values() if one.measure is not None), reverse=True)
        made = {}
        for plant, one in found.items():
            if one.measure is not None:
                made[plant] = self.classes[measures.index(one.measure) * len(self.classes) // len(measures)]
        return made

    def _share(self, axis: str, plant: Needs) -> float | None:
        demand = plant.demands[GROWTH].get(axis)
        if demand is not None and demand.unknown:
            return None
        return (_within(demand, self.scale[axis]) + _within(demand, self.room[axis])) / 2

    def _years(self, plant: Needs) -> float:
        each = arenas(self.bench, [plant], LADDER["full"]).each
        return sum(arena.serves([plant.id]) for arena in each) / len(each)


def _room(bench: Bench) -> dict[str, Span]:
    """What a room gives, by axis. Raises KnowledgeError where a band is empty."""
    given = bench.table("needs")["difficulty"]["room"]
    for axis, (low, high) in given.items():
        record = bench.base.table("needs")
        if low >= high and record is not None:
            place = record.positions.value(("difficulty", "room", axis))
            hint = "give the lower end first"
            raise KnowledgeError([Problem(record.file, *place, "a room's band must have a width", hint, "empty-band")])
    return {axis: (float(low), float(high)) for axis, (low, high) in given.items()}


def _scale(axis: str, plants: Sequence[Needs], room: Span) -> Span:
    """From the least to the greatest end that is known of any plant, and no narrower than a room."""
    demands = [demand for plant in plants if (demand := plant.demands[GROWTH].get(axis)) is not None]
    ends = [end for demand in demands for span in (demand.low, demand.high) for end in span or ()]
    known = [*room, *(end for end in ends if abs(end) < INFINITE)]
    return min(known), max(known)


def _within(demand: Demand | None, span: Span) -> float:
    """The share of a span that is certainly tolerated."""
    low = max(span[0], demand.low[1]) if demand is not None and demand.low is not None else span[0]
    high = min(span[1], demand.high[0]) if demand is not None and demand.high is not None else span[1]
    return max(0.0, high - low) / (span[1] - span[0])
