"""An answer as plain data in the order a grower reads it; terminal and JSON print the same content."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bogwright.judge.ask import Answer
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure
from bogwright.judge.findings import GRAVE, Finding
from bogwright.judge.outcomes import of_enclosure, of_shared
from bogwright.judge.share import MonthWindow, Shared
from bogwright.knowledge.problems import kb_path
from bogwright.report.narrow import narrow_words
from bogwright.sharing.demands import Demand, Origin
from bogwright.sharing.months import GROWTH, calendar_month, month_words
from bogwright.sharing.needs import Needs

if TYPE_CHECKING:
    from bogwright.judge.sensitivity import Decider

HORIZONS = {"indefinitely": "indefinitely", "two-years": "for two years", "one-season": "for one season"}
BASIS_ORDER = ("published", "common-practice", "from-memory", "derived", "disputed")
MOST_DECIDERS = 3
SHOWN_AXES = ("temperature_day", "temperature_night", "night_drop", "photoperiod", "humidity")


def content(answer: Answer) -> dict[str, Any]:
    """Everything that is printed."""
    shown = answer.main
    plan = isinstance(shown, Enclosure)
    needs = {p.id: p.needs for p in shown.plants} if isinstance(shown, Enclosure) else {p.id: p for p in shown.plants}
    names = {i: n.name for i, n in needs.items()}
    rests = _rests(shown)
    graver = [f for f in shown.findings if GRAVE[f.severity] >= GRAVE["condition"]]
    deciding = [f for f in shown.findings if f.holds_back or (f in graver and (f.certain or f.withhold))]
    asked = [f for f in graver if not f.certain and not f.withhold]
    made: dict[str, Any] = {
        "verdict": answer.verdict,
        "question": "plan" if plan else "names",
        "title": shown.plan.title if isinstance(shown, Enclosure) else ", ".join(names.values()),
        "horizon": answer.horizon,
        "problem": _problem(shown, deciding, names),
        "readings": [{"reading": r.label, "verdict": r.verdict} for r in answer.readings],
        "plants": [
            _outcome(o, needs) for o in (of_enclosure(shown) if isinstance(shown, Enclosure) else of_shared(shown))
        ],
        "findings": [_finding(f, needs, rests) for f in deciding],
        "cautions": [
            _finding(f, needs, rests) for f in shown.findings if f.certain and f not in graver and not f.holds_back
        ],
        "not_assessed": _not_assessed(asked, names),
        "measure_first": _measure_first(answer.bench, shown),
        "actions": [
            {"action": r.action, "verdict": r.verdict, "drops": [names[d] for d in r.drops if d in names]}
            for r in answer.repairs
        ],
    }
    if isinstance(shown, Shared):
        made |= _sharing(shown, names, answer.bench)
    if answer.improvement is not None:
        steps = answer.improvement.steps
        made["settings"] = [{"change": words, "verdict": verdict} for words, verdict in steps]
    if answer.deciders:
        made["decided_by"] = [_decider(d) for d in answer.deciders[:MOST_DECIDERS]]
    return made


def _decider(one: Decider) -> dict[str, Any]:
    """An uncertain input of the prediction, and the verdict at either end of it."""
    made = {
        "input": one.input.title,
        "unit": one.input.unit,
        "range": [float(f"{end:.3g}") for end in (one.low, one.high)],
        "verdicts": [one.at_low, one.at_high],
        "better": "high" if one.swing > 0 else "low",
        "measure": one.input.ask or one.input.title,
        "stated": one.input.stated,
    }
    return {k: v for k, v in made.items() if v != ""}


def _problem(shown: Shared | Enclosure, deciding: Sequence[Finding], names: Mapping[str, str]) -> str:
    grave = [f for f in deciding if f.severity == "blocker"]
    plants = sorted({names[p] for f in grave for p in f.plants if p in names})
    if not plants and isinstance(shown, Shared) and shown.clashes:
        plants = sorted({names[p] for p in shown.clashes[0].plants})
    return ", ".join(plants)


def _outcome(outcome: Any, needs: Mapping[str, Needs]) -> dict[str, Any]:
    made = {
        "plant": outcome.name,
        "taxon": needs[outcome.plant].profile.name,
        "outcome": outcome.word,
        "if_kept": outcome.if_kept,
        "because": outcome.because,
        "months": outcome.months,
        "away": outcome.away,
    }
    return {k: v for k, v in made.items() if v not in ("", None)}


def _finding(finding: Finding, needs: Mapping[str, Needs], rests: Mapping[str, str]) -> dict[str, Any]:
    made: dict[str, Any] = {
        "rule": finding.rule,
        "title": finding.title,
        "severity": finding.severity,
        "certain": finding.certain,
        "says": finding.says,
        "do": finding.do,
        "plants": [needs[p].name for p in finding.plants if p in needs],
        "months": finding.months,
        "axis": finding.axis,
        "why": finding.why,
        "basis": finding.basis,
        "sources": list(finding.sources),
        "claim": _claim(finding, needs, rests),
        "disputed": finding.disputed,
        "unknown": list(finding.unknown),
        "chain": [{"rule": s.rule, "title": s.title, "about": s.row, "concludes": s.concludes} for s in finding.chain],
    }
    return {k: v for k, v in made.items() if v not in ("", [], None)}


def _claim(finding: Finding, needs: Mapping[str, Needs], rests: Mapping[str, str]) -> dict[str, Any] | None:
    """The plant's own claim that a finding weighs: the end its margin tells, else the weaker of both."""
    plant = finding.plants[0] if finding.plants else ""
    phase = rests.get(plant) if finding.resting else GROWTH
    if plant not in needs or not finding.axis or phase is None:
        return None
    demand: Demand | None = needs[plant].demands[phase].get(finding.axis)
    if demand is None:
        return None
    both = (demand.low_origin, demand.high_origin)
    ends = {"low": both[:1], "high": both[1:]}.get(finding.side, both)
    origins = [o for o in ends if o is not None]
    return origin_words(max(origins, key=lambda o: BASIS_ORDER.index(o.basis))) if origins else None


def _rests(shown: Shared | Enclosure) -> dict[str, str]:
    """Plant id → the phase of its rest, or of the first rest any of its ways has."""
    years = {}
    if isinstance(shown, Enclosure):
        years = {p.id: p.chosen.year for p in shown.plants}
        needs = {p.id: p.needs for p in shown.plants}
    else:
        needs = {p.id: p for p in shown.plants}
        if shown.fit is not None:
            years = dict(zip(needs, shown.fit.years, strict=True))
    found = {}
    for plant, one in needs.items():
        own = years[plant].phases if plant in years else ()
        phase = next((p for p in (*own, *one.demands) if p != GROWTH), None)
        if phase is not None:
            found[plant] = phase
    return found


def origin_words(origin: Origin) -> dict[str, Any]:
    """Where an end stands, for JSON and pages."""
    made = {
        "basis": origin.basis,
        "file": kb_path(origin.file) if origin.file else "",
        "line": origin.line,
        "sources": list(origin.sources),
        "method": origin.method,
    }
    return {k: v for k, v in made.items() if v}


def _measure_first(bench: Bench | None, shown: Shared | Enclosure) -> list[dict[str, Any]]:
    """What to state or measure first: what most open findings of a plan wait for, blockers counting threefold."""
    if bench is None or not isinstance(shown, Enclosure):
        return []
    weight: dict[str, int] = {}
    for finding in shown.findings:
        if finding.certain or finding.disputed:
            continue
        asked = {bench.fields.kinds[kind].fields[field].measure for kind, field in finding.loose}
        for what in asked - {""}:
            weight[what] = weight.get(what, 0) + (3 if finding.severity == "blocker" else 1)
    ranked = sorted(weight.items(), key=lambda pair: (-pair[1], pair[0]))
    return [{"what": what, "weight": n} for what, n in ranked[:3]]


def _not_assessed(asked: Sequence[Finding], names: Mapping[str, str]) -> list[dict[str, Any]]:
    """What could matter but was not said: one entry a rule, with the plants it could concern and what to state."""
    by_rule: dict[str, dict[str, Any]] = {}
    for finding in asked:
        entry = by_rule.setdefault(
            finding.rule, {"rule": finding.rule, "title": finding.title, "plants": [], "unknown": []}
        )
        entry["plants"] += [names[p] for p in finding.plants[:1] if p in names and names[p] not in entry["plants"]]
        entry["unknown"] += [u for u in finding.unknown if u not in entry["unknown"]]
    return list(by_rule.values())


def _sharing(shown: Shared, names: Mapping[str, str], bench: Bench | None) -> dict[str, Any]:
    midwinter = shown.midwinter
    made: dict[str, Any] = {"fits": shown.level}
    if shown.fit is not None:
        made["regime"] = {"id": shown.fit.regime.id, "title": shown.fit.regime.title}
        made["window"] = [_window(w, midwinter) for w in shown.windows]
        if bench is not None:
            made["narrow"] = list(narrow_words(shown, bench.axes))
        made["years"] = [_year(shown, n) for n in range(len(shown.plants))]
        made["beds"] = [
            {"plants": [names[p] for p in b.plants], "moisture": [list(s) for s in b.stretch]} for b in shown.beds
        ]
        made["places"] = [_place(p) for p in shown.plants]
    made["clashes"] = [
        {
            "regime": c.title,
            "plants": [names[p] for p in c.plants],
            "axis": c.clash.axis,
            "month": calendar_month(c.month, midwinter),
            "gap": round(c.clash.gap, 2),
        }
        for c in shown.clashes
    ]
    if shown.drops is not None:
        made["drops_complete"] = shown.drops.complete
    return made


def _window(window: MonthWindow, midwinter: int) -> dict[str, Any]:
    return {
        "month": calendar_month(window.month, midwinter),
        "bounds": {a: _bounds(window.low[a], window.high[a]) for a in SHOWN_AXES},
        "set_point": {a: window.set_point[a] for a in SHOWN_AXES if a in window.set_point},
    }


def _bounds(low: float, high: float) -> list[float]:
    """Both ends, finer where they lie so close that the set point would seem to fall out between them."""
    return [round(low, 2), round(high, 2)] if high - low < 1 else [_edge(low), _edge(high)]


def _edge(value: float) -> float:
    return round(value, 1)


def _year(shown: Shared, n: int) -> dict[str, Any]:
    assert shown.fit is not None
    plant, year = shown.plants[n], shown.fit.years[n]
    way = plant.profile.ways.get(year.way)
    resting = year.resting
    made: dict[str, Any] = {"plant": plant.name, "way": way.title if way is not None else year.way}
    if resting:
        made["rest"] = month_words(resting, shown.midwinter)
    if year.absent:
        made["away"] = month_words(year.absent, shown.midwinter)
        rest = plant.demands[year.phases[min(year.absent)]]
        night = rest.get("temperature_night")
        if night is not None and night.low is not None and night.high is not None:
            made["away_at"] = [_edge(night.low[1]), _edge(night.high[0])]
    return made


def _place(plant: Needs) -> dict[str, Any]:
    """What the plant's own spot must give: light a day, and moisture."""
    made: dict[str, Any] = {"plant": plant.name, "moisture": list(plant.moisture[GROWTH])}
    light = plant.demands[GROWTH].get("dli")
    if light is not None:
        low, high = light.low, light.high
        made["light"] = [
            round(low[1], 1) if low and low[1] < 1e8 else None,
            round(high[0], 1) if high and high[0] > -1e8 and high[0] < 1e8 else None,
        ]
    return made
