"""Which uncertain input of a prediction decides the verdict, so that the grower knows what to measure first.

Each input is held at either end of its range and the plan is judged again; what then differs hangs on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.inputs import Input
from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import foreseen, predict, predictable
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure, judge_plan
from bogwright.judge.findings import VERDICTS, weight
from bogwright.judge.wants import MARGINS
from bogwright.rules import meaning

MOST_TRIED = 5


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
    doubtful = {MARGINS[leaf.field][:2] for f in open_ones for leaf in rules[f.rule].leaves if leaf.field in MARGINS}
    names = {n for told in _concerned(forecast, doubtful) for n in told.rests_on}
    tried = sorted((forecast.inputs.known[n] for n in names if forecast.inputs.known[n].wide), key=_spread)[::-1]
    profiles = {p.id: p.needs.profile for p in shown.plants}
    found = []
    for one in tried[:MOST_TRIED]:
        ends = []
        for end in (0, 1):
            plan = foreseen(data, bench.tables, forecast.inputs.narrowed(one.name, end))
            ends.append(judge_plan(bench, plan, profiles, meaning.judge))
        grave = [sum(VERDICTS.index(weight(f)) for f in e.findings) for e in ends]
        low, high = min(v[0] for v in one.value), max(v[1] for v in one.value)
        if grave[0] != grave[1]:
            found.append(Decider(one, low, high, ends[0].verdict, ends[1].verdict, grave[0] - grave[1]))
    return sorted(found, key=lambda d: (d.at_low == d.at_high, -abs(d.swing), d.input.name))


def _concerned(forecast: Forecast, doubtful: set[tuple[str, str]]) -> list[Told]:
    """The conditions that the doubtful findings weigh."""
    found: list[Told] = []
    for part, key in doubtful:
        groups = [forecast.case] if part == "case" else list(getattr(forecast, part, {}).values())
        found += [group[key] for group in groups if key in group]
    return found


def _spread(one: Input) -> float:
    """How wide an input is against its size."""
    return max((v[1] - v[0]) / (abs(v[0]) + abs(v[1]) or 1.0) for v in one.value)
