"""What would make it work: every repair was judged again, with the change made, before it is offered."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bogwright.facts.rows import word_of
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure, judge_plan
from bogwright.judge.findings import GRAVE, Finding
from bogwright.judge.share import Shared, arenas, share
from bogwright.rules import meaning
from bogwright.rules.says import interval
from bogwright.sharing.arena import best_fit
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.groups import Candidate
from bogwright.sharing.months import YearOption
from bogwright.sharing.needs import Needs
from bogwright.sharing.splits import split

MOST_ACTIONS = 3
MOST_DROPS = 6
WORKS = ("sound", "conditional")
# settings a grower can change, by what a finding's axis says is wrong
SETTINGS = {
    "temperature_day": ("temperature_day", "temperature_night", "photoperiod"),
    "temperature_night": ("temperature_day", "temperature_night", "photoperiod"),
    "night_drop": ("temperature_day", "temperature_night"),
    "day_limit_by_night": ("temperature_day", "temperature_night"),
    "photoperiod": ("photoperiod",),
    "humidity": ("humidity",),
}


@dataclass(frozen=True, slots=True)
class Repair:
    """One change, what it costs in trouble, and the verdict it was judged to lead to."""

    action: str
    effort: int
    verdict: str
    drops: tuple[str, ...] = ()


def name_repairs(bench: Bench, shown: Shared, horizon: str) -> list[Repair]:
    """Plants to drop so that the rest can share: smallest sets, each judged again."""
    if shown.drops is None:
        return []
    names = {p.id: p.name for p in shown.plants}
    found = []
    for drop in shown.drops.sets[:MOST_DROPS]:
        rest = [p for p in shown.plants if p.id not in drop]
        if not rest:
            continue
        verdict = share(bench, rest, horizon, meaning.judge, explain=False).verdict
        if verdict in WORKS:
            words = " and ".join(names[d] for d in drop)
            found.append(Repair(f"leave out {words}", 5 * len(drop), verdict, drop))
    return found + _split_repair(bench, shown, horizon, names)


def _split_repair(bench: Bench, shown: Shared, horizon: str, names: Mapping[str, str]) -> list[Repair]:
    """Few enclosures that serve all the plants between them, each judged by itself."""
    found = split([p.id for p in shown.plants], arenas(bench, shown.plants, LADDER["slow"]).serves)
    if len(found.groups) < 2 or found.alone:
        return []
    by_id = {p.id: p for p in shown.plants}
    verdicts = [
        share(bench, [by_id[i] for i in g], horizon, meaning.judge, explain=False).verdict for g in found.groups
    ]
    if not set(verdicts) <= set(WORKS):
        return []
    listed = " | ".join(", ".join(names[i] for i in g) for g in found.groups)
    bound = "no fewer will do" if found.fewest else "perhaps fewer would do"
    return [
        Repair(f"split into {len(found.groups)} enclosures ({bound}): {listed}", 10, max(verdicts, key=WORKS.index))
    ]


Change = Callable[[dict[str, Any]], None]


def plan_repairs(bench: Bench, shown: Enclosure, data: Mapping[str, Any]) -> list[Repair]:
    """Changes of a plan that were judged again and work, least trouble first:

    one alone, then two together, then drops.
    """
    from bogwright.enclosure.predict import foreseen  # plain names have no need of it

    profiles = {p.id: p.needs.profile for p in shown.plants}
    tried: list[tuple[int, str, Change]] = sorted(_changes(bench, shown), key=lambda c: (c[0], c[1]))

    def judged(changes: Sequence[Change]) -> str:
        changed = copy.deepcopy(dict(data))
        for change in changes:
            change(changed)
        plan = foreseen(changed, bench.tables)
        left = {p.id: profiles[p.id] for p in plan.plants}
        return judge_plan(bench, plan, left, meaning.judge).verdict if left else "unsound"

    found = [
        Repair(words, effort, verdict) for effort, words, change in tried if (verdict := judged([change])) in WORKS
    ]
    if not found:
        for n, (effort, words, change) in enumerate(tried):
            for more, other_words, other in tried[n + 1 :]:
                verdict = judged([change, other])
                if verdict in WORKS:
                    found.append(Repair(f"{words}, and {other_words}", effort + more, verdict))
    found = sorted(found, key=lambda r: (r.effort, r.action))[:MOST_ACTIONS]
    return found + _plan_drops(shown, judged)


def _plan_drops(shown: Enclosure, judged: Callable[[Sequence[Change]], str]) -> list[Repair]:
    """Plants whose removal alone makes the rest work: one, else all that carry a deciding finding."""
    names = {p.id: p.needs.name for p in shown.plants}
    troubled = sorted({p for f in _deciding(shown.findings) for p in f.plants if p in names})
    found = []
    for one in troubled:
        verdict = judged([_drop([one])])
        if verdict in WORKS:
            found.append(Repair(f"leave out {names[one]}", 5, verdict, (one,)))
    if not found and 1 < len(troubled) < len(names):
        verdict = judged([_drop(troubled)])
        if verdict in WORKS:
            found.append(
                Repair(
                    f"leave out {' and '.join(names[t] for t in troubled)}", 5 * len(troubled), verdict, tuple(troubled)
                )
            )
    return found[:MOST_DROPS]


def _deciding(findings: Sequence[Finding]) -> list[Finding]:
    return [
        f for f in findings if not f.disputed and GRAVE[f.severity] >= GRAVE["blocker"] and (f.certain or f.withhold)
    ]


def _drop(ids: Sequence[str]) -> Change:
    def change(data: dict[str, Any]) -> None:
        data["plants"] = [p for p in data["plants"] if p["id"] not in ids]
        left = (
            {p["id"] for p in data["plants"]}
            | {p["id"] for p in data["places"]}
            | {u["id"] for u in data["water_units"]}
        )
        for treatment in data.get("treatments", []):
            treatment["on"] = [t for t in treatment["on"] if t in left]

    return change


def _changes(bench: Bench, shown: Enclosure) -> Iterator[tuple[int, str, Change]]:
    """Every single change worth trying:

    pots to lift, saucers, other places, and a year of settings solved for the plants.
    """
    deciding = _deciding(shown.findings)
    troubled = {p for f in deciding for p in f.plants}
    for plant in shown.plants:
        if plant.id not in troubled:
            continue
        if (
            plant.lift != "possible"
            and any(y.absent for y in plant.needs.years)
            and word_of(plant.needs.profile, "habit.runners") != "many"
        ):
            yield (
                3,
                f"pot {plant.needs.name} and lift it out for its rest",
                _set_plant(plant.id, potted=True, removable=True),
            )
        if plant.saucer == "shared" and any(
            f.kind in ("month.water", "pair.drain", "place.roots") and plant.id in f.plants for f in deciding
        ):
            yield (
                1,
                f"give {plant.needs.name} a pot with a saucer of its own",
                _set_plant(plant.id, potted=True, own_saucer=True),
            )
        for place in shown.plan.places.values():
            if place.id != plant.place.id:
                yield 1, f"move {plant.needs.name} to the place {place.id}", _set_plant(plant.id, place=place.id)
    wanted = sorted(
        {s for f in deciding for s in SETTINGS.get(f.axis, ())}
        | (
            {"temperature_day", "temperature_night", "photoperiod"}
            if any(f.kind == "plant.year" for f in deciding)
            else set()
        )
    )
    if wanted:
        yield from _solved_settings(bench, shown, wanted)


def _set_plant(id: str, **values: Any) -> Change:
    def change(data: dict[str, Any]) -> None:
        for plant in data["plants"]:
            if plant["id"] == id:
                plant.update(values)

    return change


def _solved_settings(bench: Bench, shown: Enclosure, wanted: Sequence[str]) -> Iterator[tuple[int, str, Change]]:
    """The year of settings that the group solver finds for these plants as they are potted and placed."""
    strictness = LADDER["full"]
    plants = [_kept(p.needs, p.lift) for p in shown.plants]
    candidates: list[Candidate] = [p.candidate(bench.axes, bench.frame, strictness) for p in plants if p.years]
    if len(candidates) < len(plants):
        return
    found = best_fit(candidates, bench.regimes, bench.frame, strictness.error)
    if found.fit is None:
        return
    points = [bench.frame.set_point(box, None, strictness.error) for box in found.fit.boxes]
    if any(point is None for point in points):
        return
    midwinter = shown.plan.midwinter

    def year(axis: str) -> list[float]:
        return [float((points[(m + 1 - midwinter) % 12] or {})[axis]) for m in range(12)]

    def change(data: dict[str, Any]) -> None:
        for axis in wanted:
            if axis.startswith("temperature_"):
                data["case"][axis] = {"usual": year(axis)}
            else:
                data["case"][axis] = year(axis)

    shortest = "; ".join(
        f"{bench.axes[a].title} {interval(min(year(a)), max(year(a)), bench.axes[a].unit)}" for a in wanted
    )
    yield 2 + found.fit.regime.effort, f"give the case {found.fit.regime.title}: {shortest} through the year", change


def _kept(needs: Needs, lift: str) -> Needs:
    """The same plant with only the years that its pot allows."""
    years: tuple[YearOption, ...] = needs.years if lift == "possible" else tuple(y for y in needs.years if not y.absent)
    return replace(needs, years=years)
