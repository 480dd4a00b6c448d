"""Will this enclosure serve these plants? Conditions of a plan against the needs of each plant, through the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from bogwright.enclosure.plan import Plan
from bogwright.facts.monthly import monthly_rows
from bogwright.facts.neighbours import drain_rows, plan_pairs
from bogwright.facts.placed import PlacedPlant, place_plant
from bogwright.facts.plants import plant_rows
from bogwright.facts.rows import Row
from bogwright.facts.work import case_rows, feed_rows, treatment_rows
from bogwright.judge.bench import Bench
from bogwright.judge.findings import Finding, decide, findings_of
from bogwright.knowledge.profiles import Profile
from bogwright.rules import judge as fire


@dataclass(slots=True)
class Enclosure:
    """The answer for a plan, before it is worded."""

    plan: Plan
    plants: Sequence[PlacedPlant]
    findings: Sequence[Finding]
    verdict: str
    rows: Sequence[Row] = field(repr=False, default=())


def judge_plan(bench: Bench, plan: Plan, profiles: Mapping[str, Profile], fire_with: Any = fire) -> Enclosure:
    """Judge one plan. ``profiles``: plant id → the profile it stands under."""
    names = shown_names(plan)
    plants = [
        place_plant(
            plan,
            entry,
            bench.needs(profiles[entry.id], id=entry.id, name=names[entry.id], stage=entry.stage, horizon=plan.horizon),
            bench.lamps,
        )
        for entry in plan.plants
    ]
    rows = rows_of(bench, plan, plants)
    findings = findings_of(fire_with(rows, bench.rules), bench.rules, rows, names, plan.horizon)
    return Enclosure(plan, plants, findings, decide(findings), rows)


def rows_of(bench: Bench, plan: Plan, plants: Sequence[PlacedPlant]) -> list[Row]:
    """Every row of a plan, in a fixed order."""
    rows: list[Row] = case_rows(plan, plants)
    for plant in plants:
        rows += plant_rows(plan, plant, bench.axes)
        rows += monthly_rows(plant, plan.midwinter)
    rows += plan_pairs(plants)
    rows += drain_rows(plan, plants, bench.materials)
    return rows + treatment_rows(plan, plants) + feed_rows(plan, plants)


def shown_names(plan: Plan) -> dict[str, str]:
    """Plant id → what to call it: the taxon, with the id where the plan holds it twice."""
    taxa = [p.taxon for p in plan.plants]
    return {p.id: f"{p.taxon} ({p.id})" if taxa.count(p.taxon) > 1 else p.taxon for p in plan.plants}
