"""Which uncertain input of a prediction decides the verdict, so that the grower knows what to measure first.

Each input is held at either end of its range and the plan is judged again; what then differs hangs on it. Those that
narrow a doubtful condition most are tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.inputs import Input
from bogwright.enclosure.plan import Plan, read_plan
from bogwright.enclosure.predict import filled, narrowed, predict, predictable
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure, judge_plan
from bogwright.judge.findings import VERDICTS, weight
from bogwright.judge.wants import MARGINS
from bogwright.rules import meaning

MOST_TRIED = 8


@dataclass(frozen=True, slots=True)
class Decider:
    """An input with the verdicts at its ends.

    low, high: of its range in the year. swing: weight of the findings at the low end less that at the high.
    """

    input: Input
    low: float
    high: float
    at_low: str
    at_high: str
    swing: int


def deciders(bench: Bench, shown: Enclosure, data: Mapping[str, Any]) -> list[Decider]:
    """Inputs whose ends lead to other verdicts or other findings, what swings most first."""
    raw = read_plan(data)
    if not predictable(raw):
        return []
    forecast = predict(raw, bench.tables)
    rules = {r.id: r for r in bench.rules}
    open_ones = [f for f in shown.findings if not f.certain and not f.disputed and weight(f) != "sound"]
    doubtful = {
        where
        for f in open_ones
        for leaf in rules[f.rule].leaves
        if leaf.field in MARGINS
        for where in _weighed(raw, f.plants, *MARGINS[leaf.field][:2])
    }
    names = {n for told in _concerned(forecast, doubtful) for n in told.rests_on}
    wide = [forecast.inputs.known[n] for n in sorted(names) if forecast.inputs.known[n].wide]
    held = {one.name: [narrowed(raw, bench.tables, forecast, one.name, end) for end in (0, 1)] for one in wide}
    told = {name: max(_settled(forecast, one, doubtful) for one in ends) for name, ends in held.items()}
    tried = sorted(wide, key=lambda one: -told[one.name])
    profiles = {p.id: p.needs.profile for p in shown.plants}
    found = []
    for one in tried[:MOST_TRIED]:
        plans = (read_plan(filled(data, foretold)) for foretold in held[one.name])
        ends = [judge_plan(bench, plan, profiles, meaning.judge) for plan in plans]
        grave = [sum(VERDICTS.index(weight(f)) for f in e.findings) for e in ends]
        low, high = min(v[0] for v in one.value), max(v[1] for v in one.value)
        if grave[0] != grave[1]:
            found.append(Decider(one, low, high, ends[0].verdict, ends[1].verdict, grave[0] - grave[1]))
    return sorted(found, key=lambda d: (d.at_low == d.at_high, -abs(d.swing), d.input.name))


Where = tuple[str, str, str]


def _weighed(plan: Plan, plants: Sequence[str], part: str, key: str) -> list[Where]:
    """Where the condition stands that a finding of these plants weighs: part, id, key; of all plants if of none."""
    if part == "case":
        return [(part, "", key)]
    places = {p.place for p in plan.plants if p.id in plants or not plants}
    ids = places if part == "places" else {plan.places[id].water for id in places} if part == "units" else set()
    return [(part, id, key) for id in sorted(ids)]


def _concerned(forecast: Forecast, doubtful: Iterable[Where]) -> list[Told]:
    """The conditions that the doubtful findings weigh, in a fixed order."""
    found = []
    for part, id, key in sorted(doubtful):
        group = forecast.case if part == "case" else getattr(forecast, part)[id]
        if key in group:
            found.append(group[key])
    return found


def _settled(forecast: Forecast, held: Forecast, doubtful: Iterable[Where]) -> float:
    """Greatest share of a doubtful condition's range that goes once an input is held, 0 to 1."""
    shares = [0.0]
    for before, after in zip(_concerned(forecast, doubtful), _concerned(held, doubtful), strict=True):
        if "unknown" not in (before.how, after.how):
            ranges = zip(before.value, after.value, strict=True)
            shares += [1 - (a[1] - a[0]) / (b[1] - b[0]) for b, a in ranges if b[1] > b[0]]
    return max(shares)
