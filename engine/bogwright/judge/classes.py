"""The classes of ``kb/needs.yaml``: who stands where by light, moisture, rest and temperature."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from bogwright.judge.bench import Bench
from bogwright.sharing.demands import UNKNOWN, Demand
from bogwright.sharing.months import GROWTH
from bogwright.sharing.needs import Needs

Stands = Literal["yes", "perhaps", "unknown", "no"]
# a class asks for everything it says: its weakest answer is the answer
_WEAKEST: tuple[Stands, ...] = ("no", "unknown", "perhaps", "yes")


@dataclass(frozen=True, slots=True)
class Class:
    """A class of one need. growth, winter : what must be tolerated, by axis in its unit; rests : kinds of rest, empty
    for a year without any; moisture, rests : None where the class does not ask.
    """

    id: str
    title: str
    means: str
    growth: Mapping[str, float]
    winter: Mapping[str, float]
    moisture: str | None
    rests: tuple[str, ...] | None

    def holds(self, needs: Needs) -> Stands:
        """Whether a plant stands in the class: certain, only within what is not certain, not known, or not at all."""
        answers = [tolerates(needs.demands[GROWTH].get(axis), value) for axis, value in self.growth.items()]
        if self.moisture is not None:
            known = needs.moisture[GROWTH]
            answers.append("unknown" if not known else "yes" if self.moisture in known else "no")
        if self.rests is not None:
            answers.append(self._rests(needs))
        elif self.winter:
            answers.append(_best(self._wintered(needs, phase) for phase in needs.demands))
        return _worst(answers)

    def _rests(self, needs: Needs) -> Stands:
        """Some way has a rest of these kinds in which the winter of the class is tolerated, or has no rest at all."""
        ways = needs.profile.ways
        if not ways:
            return "unknown"
        if not self.rests:
            return "yes" if any(not way.rests for way in ways.values()) else "no"
        phases = [f"{key}/{name}" for key, way in ways.items() for name, rest in way.rests.items()
                  if rest.kind in self.rests]  # fmt: skip
        return _best(self._wintered(needs, phase) for phase in phases if phase in needs.demands)

    def _wintered(self, needs: Needs, phase: str) -> Stands:
        return _worst([tolerates(needs.demands[phase].get(axis), value) for axis, value in self.winter.items()])


@dataclass(frozen=True, slots=True)
class Need:
    """What plants are sorted by. asks : in words, to follow "by"; classes : in their order."""

    id: str
    title: str
    asks: str
    classes: tuple[Class, ...]

    def placed(self, needs: Needs) -> dict[str, Stands]:
        """How a plant stands to every class, by id."""
        return {one.id: one.holds(needs) for one in self.classes}


def needs_classes(bench: Bench) -> tuple[Need, ...]:
    """The classes, in the order of their file. Raises KnowledgeError if the table is missing."""
    return tuple(
        Need(
            key,
            given["title"],
            given["asks"],
            tuple(
                Class(
                    name,
                    one["title"],
                    one["means"],
                    one.get("growth", {}),
                    one.get("winter", {}),
                    one.get("moisture"),
                    tuple(one["rests"]) if "rests" in one else None,
                )
                for name, one in given["classes"].items()
            ),
        )
        for key, given in bench.table("needs")["needs"].items()
    )


def tolerates(demand: Demand | None, value: float) -> Stands:
    """Whether a value lies in what is tolerated; no demand tolerates all."""
    if demand is None:
        return "yes"
    low, high = demand.low, demand.high
    if (low is not None and value < low[0]) or (high is not None and value > high[1]):
        return "no"
    if UNKNOWN in (low, high):
        return "unknown"
    sure = (low is None or low[1] <= value) and (high is None or value <= high[0])
    return "yes" if sure else "perhaps"


def _worst(answers: list[Stands]) -> Stands:
    return min(answers, key=_WEAKEST.index, default="yes")


def _best(answers: Iterable[Stands]) -> Stands:
    return max(answers, key=_WEAKEST.index, default="no")
