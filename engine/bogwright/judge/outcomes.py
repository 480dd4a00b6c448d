"""What becomes of each plant: thrives, keeps, declines or dies, with the month and the reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bogwright.judge.enclosure import Enclosure
from bogwright.judge.findings import GRAVE, Finding
from bogwright.judge.share import Shared
from bogwright.rules.meaning import Interval
from bogwright.sharing.demands import Demand
from bogwright.sharing.months import YearOption, month_words

AXES = ("temperature_day", "temperature_night", "humidity", "photoperiod")


@dataclass(frozen=True, slots=True)
class Outcome:
    """``word``:

    thrives, keeps, uncertain, clashes, declines or dies; ``if_kept``: it hangs on a condition of the verdict.
    """

    plant: str
    name: str
    word: str
    if_kept: bool
    because: str
    months: str
    away: str


def of_shared(shown: Shared) -> list[Outcome]:
    """Each plant of plain names, at the set points of the shared window."""
    found = []
    clashing = set(shown.clashes[0].plants) if shown.clashes else set()
    for n, plant in enumerate(shown.plants):
        if plant.id in clashing:
            found.append(
                Outcome(plant.id, plant.name, "clashes", False, "No year serves it together with the others", "", "")
            )
            continue
        year = shown.fit.years[n] if shown.fit is not None else None
        liked = year is not None and all(
            _liked(plant.demands[year.phases[w.month]], {a: (w.set_point[a],) * 2 for a in AXES if a in w.set_point})
            for w in shown.windows
            if w.month not in year.absent
        )
        found.append(_outcome(plant.id, plant.name, shown.findings, liked, _away(year, shown.midwinter)))
    return found


def of_enclosure(shown: Enclosure) -> list[Outcome]:
    """Each plant of a plan under its conditions."""
    found = []
    for plant in shown.plants:
        year = plant.chosen.year
        liked = all(
            _liked(plant.needs.demands[year.phases[m]], {a: getattr(given, a) for a in (*AXES, "dli")})
            for m, given in enumerate(plant.months)
            if m not in year.absent
        )
        away = _away(year, shown.plan.midwinter)
        found.append(_outcome(plant.id, plant.needs.name, shown.findings, liked, away))
    return found


def _outcome(id: str, name: str, findings: Sequence[Finding], liked: bool, away: str) -> Outcome:
    own = [f for f in findings if id in f.plants and not f.disputed]
    grave = next((f for f in own if f.severity == "blocker" and f.certain), None)
    if grave is not None:
        return Outcome(
            id, name, "dies" if grave.outcome == "death" else "declines", False, grave.title, grave.months, away
        )
    doubt = next((f for f in own if f.holds_back), None)
    if doubt is not None:
        return Outcome(id, name, "uncertain", False, doubt.title, doubt.months, away)
    # what nobody stated is a question, not a fault: say so rather than vouch for the plant
    asked = next((f for f in own if f.severity == "blocker" and not f.certain), None)
    if asked is not None:
        return Outcome(
            id, name, "uncertain", False, f"not stated, or not closely enough: {asked.title.lower()}", "", away
        )
    hangs = next((f for f in own if GRAVE[f.severity] >= GRAVE["condition"] and f.certain), None)
    if hangs is not None:
        return Outcome(id, name, "keeps", True, hangs.title, hangs.months, away)
    return Outcome(id, name, "thrives" if liked else "keeps", False, "", "", away)


def _away(year: YearOption | None, midwinter: int) -> str:
    return month_words(year.absent, midwinter) if year is not None and year.absent else ""


def _liked(demands: Mapping[str, Demand], given: Mapping[str, Interval]) -> bool:
    """Whether what is given lies wholly inside what the plant prefers; what is not known is not liked."""
    for axis, (low, high) in given.items():
        demand = demands.get(axis)
        if demand is None:
            continue
        if demand.unknown:
            return False
        if demand.prefers_low is not None and low < demand.prefers_low:
            return False
        if demand.prefers_high is not None and high > demand.prefers_high:
            return False
    return True
