"""The data of the share check: what a visitor's browser needs to answer as the engine does.

Nothing here is judged by the page: what each plant asks of a case is compiled to the engine's own boxes at every
strictness, and what rules say is asked of the rules beforehand, for every year a plant can be given, every pair of
traits and every shape a group can take. The page searches years, intersects windows and looks the findings up.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from math import prod
from typing import Any

from bogwright.facts.named import group_row, known_rows, light_bands, water_kind, water_row, year_rows
from bogwright.facts.neighbours import acts, name_pair
from bogwright.facts.rows import Row, over, span_of
from bogwright.judge.ask import MOST_READINGS, disputed
from bogwright.judge.bench import Bench
from bogwright.judge.findings import Finding, findings_of, weight
from bogwright.knowledge import Entry, Profile
from bogwright.rules import Rule, meaning, outward
from bogwright.rules.meaning import Interval
from bogwright.sharing.axes import INFINITE
from bogwright.sharing.boxes import LADDER, LEVELS
from bogwright.sharing.demands import Demand
from bogwright.sharing.months import YearOption, trouble
from bogwright.sharing.needs import Needs
from bogwright.sharing.windows import Box, Frame

HORIZON, MIDWINTER = "indefinitely", 12
STRICTNESSES = [*LADDER.values(), *(level.at_best for level in LADDER.values())]
# words of a row that differ from plant to plant and from year to year: the page fills them in
SLOTS = {"plant_name": "{plant}", "first_name": "{first}", "second_name": "{second}", "months": "{months}"}
KEYS = {"plant": "plant", "first": "first", "second": "second"}


class Table:
    """Values that occur often, each kept once and named by its place."""

    def __init__(self) -> None:
        self.items: list[Any] = []
        self._places: dict[str, int] = {}

    def place(self, value: Any) -> int:
        key = json.dumps(value, ensure_ascii=False)
        if key not in self._places:
            self._places[key] = len(self.items)
            self.items.append(value)
        return self._places[key]


@dataclass
class ShareData:
    """Everything the page of the share check loads; ``whole`` is the JSON object. url: address of a plant's page."""

    bench: Bench
    url: Callable[[Entry], str]
    boxes: Table = field(default_factory=Table)
    findings: Table = field(default_factory=Table)
    sets: Table = field(default_factory=Table)
    years: Table = field(default_factory=Table)
    asks: Table = field(default_factory=Table)
    _traits: _Traits = field(default_factory=lambda: _Traits(), repr=False)
    _answers: dict[str, int] = field(default_factory=dict, repr=False)

    def whole(self) -> dict[str, Any]:
        """The tables and the plants, names in order of their ids."""
        bench = self.bench
        regimes = [
            {"id": r.id, "title": r.title, "effort": r.effort, "boxes": [self._box(b) for b in r.boxes]}
            for r in bench.regimes
        ]
        plants = [self._plant(entry) for entry in self.entries]
        return {
            "frame": frame_of(bench.frame),
            "axes": {
                a.id: {"title": a.title, "unit": a.unit, "shared": a.shared_by} for a in bench.axes.by_id.values()
            },
            "moisture": {"order": bench.axes.moisture_order, "span": bench.axes.bed_span},
            "errors": [LADDER[level].error for level in LEVELS[:-1]],
            "mostReadings": MOST_READINGS,
            "regimes": regimes,
            "plants": plants,
            "asks": self.asks.items,
            "years": self.years.items,
            "boxes": self.boxes.items,
            "group": self._groups(),
            "pairs": self._traits.table(self._rules_of({"pair.neighbours"}), self._judged),
            "sets": self.sets.items,
            "findings": self.findings.items,
            "rules": {r.id: r.title for r in bench.rules if r.kind in JUDGED_KINDS},
        }

    @cached_property
    def entries(self) -> list[Entry]:
        """Plants that stand for one plant; the bare name of forms that differ is left to its forms."""
        base = self.bench.base
        found = [e for e in (*base.taxa(), *base.listed()) if not base.differing_forms(e.id)]
        return sorted(found, key=lambda e: e.id)

    def _plant(self, entry: Entry) -> dict[str, Any]:
        profile = self.bench.base.profile(entry.id)
        made: dict[str, Any] = {
            "id": entry.id,
            "name": entry.name,
            "url": self.url(entry),
            "known": "name-only" if entry.outline else "profile",
            **self._asking(entry, profile),
        }
        if entry.form is not None and not entry.differs:
            made["likeSpecies"] = True
        common = profile.value("identity.common_names") or ()
        if common:
            made["common"] = list(common)
        synonyms = {n.shown for n in entry.names if n.kind == "synonym"} - {entry.name}
        if synonyms:
            made["synonyms"] = sorted(synonyms)
        open_fields = disputed(self.bench, profile)
        if open_fields:
            made["disputes"] = [self._dispute(profile, path) for path in open_fields]
        if open_fields and prod(open_fields.values()) <= MOST_READINGS:
            made["readings"] = [
                self._asking(entry, profile.with_readings(dict(zip(open_fields, pick, strict=True))))
                for pick in product(*map(range, open_fields.values()))
            ]
        return made

    @staticmethod
    def _dispute(profile: Profile, path: str) -> dict[str, Any]:
        claim: Any = profile.claim(path)
        return {"title": claim.field.title, "readings": [reading.title for reading in claim.readings]}

    def _asking(self, entry: Entry, profile: Profile) -> dict[str, Any]:
        """What it asks (place in the table), and the traits with which it meets neighbours."""
        needs = self.bench.needs(profile, id=entry.id, name=entry.name)
        return {"ask": self.asks.place(self._ask(needs)), "traits": self._traits.place(needs)}

    def _ask(self, plant: Needs) -> dict[str, Any]:
        bench = self.bench
        years = sorted(plant.years, key=trouble)
        phases = sorted(plant.demands)
        water: dict[tuple[Any, ...], tuple[int, int, str]] = {}
        by_year = []
        for year in years:
            key = (
                year.way,
                year.skipped,
                bool(year.absent),
                year.phases[min(year.absent, default=0)],
                *year.rests_in_place,
            )
            if key not in water:
                rows = [*known_rows(plant, bench.axes), *year_rows(plant, year, HORIZON, MIDWINTER)]
                water[key] = (
                    self._set([*rows, water_row(plant, year, "shared", 1)], plant),
                    self._set([*rows, water_row(plant, year, "own", 1)], plant),
                    water_kind(plant, year),
                )
            by_year.append(water[key])
        return {
            "years": self.years.place([_year(y, phases) for y in years]),
            "ways": [y.way for y in years] if len({y.way for y in years}) > 1 else years[0].way,
            "phases": [self._phase(plant, phase) for phase in phases],
            "known": self._set(known_rows(plant, bench.axes), plant),
            "shared": _alike([s for s, _, _ in by_year]),
            "own": _alike([o for _, o, _ in by_year]),
            "water": _alike([k for _, _, k in by_year]),
            "light": _ends(light_bands(plant)),
        }

    def _phase(self, plant: Needs, phase: str) -> dict[str, Any]:
        bench = self.bench
        made: dict[str, Any] = {
            "boxes": [self._box(plant.box(phase, bench.axes, bench.frame, one)) for one in STRICTNESSES],
            "wish": self._box(plant.wish(phase, bench.axes, bench.frame)),
            "wet": "".join(str(bench.axes.moisture_order.index(w)) for w in plant.moisture[phase]),
            "bands": {axis: _band(demand) for axis, demand in plant.demands[phase].items()},
        }
        if "/" in phase:
            rest = plant.rest(phase)
            made["rest"] = {"key": phase, "kind": rest.kind, "where": rest.where}
        return made

    def _box(self, box: Box) -> int:
        """Ends in the frame's order, null where the case's own range holds; then the falling limits."""
        whole = self.bench.frame.open_box
        ends = [
            None if end == open_end else end
            for end, open_end in zip(box.lows + box.highs, whole.lows + whole.highs, strict=True)
        ]
        return self.boxes.place([ends, box.steps] if box.steps else [ends])

    def _set(self, rows: Sequence[Row], plant: Needs) -> int:
        """What the rules say of one plant, its name and months left open."""
        return self._judged([_unnamed(row, plant.id) for row in rows])

    def _judged(self, rows: Sequence[Row], raw: bool = False) -> int:
        """Place of the set of findings on the rows. raw: the sentences as the rules have them, slots and all."""
        key = json.dumps(rows, sort_keys=True)
        if key not in self._answers:
            rules = self._rules_of({row["kind"] for row in rows})
            found = findings_of(meaning.judge(rows, rules), rules, rows, {}, HORIZON)
            self._answers[key] = self.sets.place([self.findings.place(_finding(f, self._by_id, raw)) for f in found])
        return self._answers[key]

    def _rules_of(self, kinds: set[str]) -> list[Rule]:
        return [r for r in self.bench.rules if r.kind in kinds]

    @cached_property
    def _by_id(self) -> dict[str, Rule]:
        return {r.id: r for r in self.bench.rules}

    def _groups(self) -> dict[str, int]:
        """Findings on the group by (possible level, certain level, some lifted, several waters, several lights,
        search cut short), as in ``0,3,0,0,0,0``.
        """
        found = {}
        levels = [(low, high) for high in range(len(LEVELS)) for low in range(high + 1)]
        for clash, (lifted, waters, lights, cut) in product(levels, product((0, 1), repeat=4)):
            row = group_row(clash, "", "", 3, lifted, 1 + waters, 1 + lights, not cut)
            found[",".join(map(str, (*clash, lifted, waters, lights, cut)))] = self._judged([row], raw=True)
        return found


JUDGED_KINDS = frozenset(
    {
        "plant.law", "plant.standing", "plant.gaps", "plant.year", "plant.lift", "plant.pool", "plant.bed",
        "pair.neighbours", "case.group",
    }
)  # fmt: skip


class _Traits:
    """Plants that act alike on any neighbour, told apart by everything but their height; one of each stands for all."""

    def __init__(self) -> None:
        self._kinds = Table()
        self._one: list[Needs] = []
        self._heights: list[set[Interval]] = []

    def place(self, plant: Needs) -> list[Any]:
        """[kind, least height, greatest height]; null where unknown."""
        row = _unnamed(name_pair(plant, plant), plant.id)
        kind = self._kinds.place([acts(plant), {k: v for k, v in row.items() if k != "height_over"}])
        if kind == len(self._one):
            self._one.append(plant)
            self._heights.append(set())
        height = span_of(plant.profile, "habit.height")
        self._heights[kind].add(height)
        return [kind, *_open(height)]

    def table(self, rules: Sequence[Rule], judged: Callable[[Sequence[Row]], int]) -> dict[str, Any]:
        """bounds: what rules hold a difference in height against; cells: set of findings by ``first,second,place``,
        the place telling where both ends of the difference lie among the bounds; missing where no rule speaks.
        """
        bounds = sorted({leaf.bound for r in rules for leaf in r.leaves if leaf.field == "height_over"})
        cells: dict[str, int] = {}
        numbered = list(enumerate(self._one))
        for (a, first), (b, second) in product((one for one in numbered if acts(one[1])), numbered):
            row = _unnamed(name_pair(first, second), "")
            for one, other in product(self._heights[a], self._heights[b]):
                row["height_over"] = outward(*over(one, other))
                key = f"{a},{b},{','.join(str(_position(end, bounds)) for end in row['height_over'])}"
                if key not in cells:
                    speaks = any(meaning.meets(r.when, row, possible=True) for r in rules)
                    cells[key] = judged([row]) if speaks else -1
        return {"bounds": bounds, "cells": {key: place for key, place in cells.items() if place >= 0}}


def frame_of(frame: Frame) -> dict[str, Any]:
    """The order of a box's numbers, how they couple, and the case's own range."""
    return {
        "order": frame.order,
        "differences": frame.differences,
        "stepped": frame.stepped,
        "stepErrors": frame.step_errors,
        "low": frame.open_box.lows,
        "high": frame.open_box.highs,
    }


def _position(value: float, bounds: Sequence[float]) -> int:
    """Twice the number of bounds below a value, one more where it is a bound itself."""
    return 2 * sum(b < value for b in bounds) + (value in bounds)


def _unnamed(row: Row, plant: str) -> Row:
    """A row with its plant's name and months as slots, so that plants of which the same is known look alike."""
    made = {**row, **{k: v for k, v in (SLOTS | KEYS).items() if k in row}}
    made["id"] = (
        f"{row['kind']} {row['id'].partition(plant + '/')[2]}" if plant and row["kind"] == "plant.gaps" else row["kind"]
    )
    return made


def _finding(found: Finding, rules: Mapping[str, Rule], raw: bool) -> dict[str, Any]:
    """One finding as the page shows it. weight: the verdict it leads to alone."""
    said = rules[found.rule].finding
    assert said is not None
    made: dict[str, Any] = {
        "rule": found.rule,
        "severity": found.severity,
        "certain": found.certain,
        "weight": weight(found),
        "says": said.says if raw else found.says,
        "do": said.do if raw else found.do,
    }
    if found.holds_back:
        made["holdsBack"] = True
    if found.disputed:
        made["disputed"] = True
    return made


def _year(year: YearOption, phases: Sequence[str]) -> list[Any]:
    """[effort, phase of each month by its place, months away by place]; a fourth, true, where winters are skipped."""
    made = [year.effort, [phases.index(p) for p in year.phases], sorted(year.absent)]
    return [*made, True] if year.skipped else made


def _band(demand: Demand) -> dict[str, Any]:
    """Ends as [surely tolerated, tolerated at best], null where nobody knows; an end without demand is left out."""
    made: dict[str, Any] = {}
    if demand.low is not None:
        made["low"] = _ends((demand.low[1], demand.low[0]))
    if demand.high is not None:
        made["high"] = _ends(demand.high)
    if demand.prefers_low is not None or demand.prefers_high is not None:
        made["prefers"] = [demand.prefers_low, demand.prefers_high]
    return made


def _ends(span: Interval | None) -> list[float | None] | None:
    return None if span is None else _open(span)


def _open(span: Interval) -> list[float | None]:
    return [end if abs(end) < INFINITE else None for end in span]


def _alike(items: Sequence[Any]) -> Any:
    """The one value that all years share, or the list."""
    return items[0] if all(item == items[0] for item in items) else list(items)
