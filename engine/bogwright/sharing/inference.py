"""What stands in for a figure that a plant's own claims leave out: its group's range, its native climate."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from bogwright.physics.altitude import at_height

if TYPE_CHECKING:
    from bogwright.knowledge.base import KnowledgeBase
    from bogwright.knowledge.claims import RangeClaim
    from bogwright.knowledge.profiles import Profile

Interval = tuple[float, float]
# m: a plant of so many heights has races, and a pot holds one of them
WIDEST = 1500
NEAR = 1000  # m: the farther a temperature is carried, the less its lapse is known
FIGURES = {"temperature_day": "mean_max", "temperature_night": "mean_min"}


class Native(NamedTuple):
    """One end of a native temperature. span : least and greatest it may be. method : how it was got, in words."""

    span: Interval
    method: str
    file: str
    line: int
    sources: tuple[str, ...]


class Climate(NamedTuple):
    """How the climate of a kind of place follows from height.

    lapse : K/km. scatter : K, places beside stations. beyond : K, how far past the native monthly means growers keep
    such plants for good, least and greatest. stations : elevation in m with the year's mean highs and lows by month.
    """

    title: str
    lapse: Interval
    scatter: float
    beyond: Interval
    stations: tuple[Mapping[str, Any], ...]

    def end(self, figure: str, side: str, height: float) -> Interval:
        """The coolest (low) or warmest (high) month's mean high or low at a height, rounded outward to 0.1. [degC]

        From the stations within NEAR of that height, where there are any.
        """
        pick = min if side == "low" else max
        near = [s for s in self.stations if abs(s["elevation"] - height) <= NEAR] or self.stations
        spans = [at_height(pick(s[figure]), s["elevation"], height, self.lapse) for s in near]
        low, high = min(a for a, _ in spans) - self.scatter, max(b for _, b in spans) + self.scatter
        return math.floor(low * 10) / 10, math.ceil(high * 10) / 10


def climates_of(table: Mapping[str, Any]) -> dict[str, Climate]:
    """The methods of ``kb/climates.yaml`` with their stations."""
    stations = table["stations"]
    return {
        key: Climate(
            given["title"],
            tuple(given["lapse"]["band"]),
            given["scatter"]["high"],
            tuple(given["beyond"]["band"]),
            tuple(stations[s] for s in given["stations"]),
        )
        for key, given in table["methods"].items()
    }


@dataclass
class Inference:
    """Everything figures are inferred from. lamps : ``kb/lamps.yaml``."""

    lamps: Mapping[str, Any]
    base: KnowledgeBase | None = None
    climates: Mapping[str, Climate] = field(default_factory=dict)
    _hulls: dict[tuple[str, str, str, str], Interval | None] = field(default_factory=dict, repr=False)

    def of_group(self, profile: Profile, claim: str, level: str, side: str) -> Interval | None:
        """The range of an end over the profiled members of a plant's group; None where none states it."""
        if self.base is None:
            return None
        key = (group_of(profile), claim, level, side)
        if key not in self._hulls:
            self._hulls[key] = self.base.hull(*key)
        return self._hulls[key]

    def title_of(self, profile: Profile) -> str:
        """The name of the group whose members stand in for a plant."""
        group = group_of(profile)
        found = self.base.entries.get(group) if self.base is not None else None
        return found.name if found is not None else group

    def relatives(self, profile: Profile) -> int:
        """How many profiled members that group has, the plant itself and forms included."""
        return len(self.base.members(group_of(profile))) if self.base is not None and profile.outline else 0

    def of_height(self, profile: Profile, axis: str, side: str) -> Native | None:
        """What a plant lives with for good where it grows wild, widened by what growers get away with.

        Only where its line names a climate and it has heights of its own, not of a whole range of races; its group's
        heights are a word's meaning.
        """
        climate = self.climates.get(profile.climate or "")
        height: RangeClaim | None = profile.range("identity.elevation") if climate else None
        end = None if height is None else height.low if side == "high" else height.high
        if climate is None or height is None or end is None or end.inherited:
            return None
        if height.low and height.high and height.high.value - height.low.value > WIDEST:
            return None
        low, high = climate.end(FIGURES[axis], side, end.value)
        least, most = climate.beyond
        span = (low + least, high + most) if side == "high" else (low - most, high - least)
        method = f"height and climate of {climate.title}"
        return Native(span, method, end.origin.file, end.origin.line, tuple(s.id for s in end.sources))


def group_of(profile: Profile) -> str:
    """Id of the group whose members stand in for a plant: its horticultural group, else its genus."""
    return profile.entry.group or f"{profile.entry.genus}/_genus"
