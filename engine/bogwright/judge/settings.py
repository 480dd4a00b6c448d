"""Which setting of the build to change and to what, solved on the model of the enclosure and judged again.

A finding says by how much a condition misses what a plant stands; a knob is something a grower can turn. The knob
is turned as little as the model needs for the condition to meet the plant, then the plan is judged with it.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bogwright.enclosure.conditions import minus
from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.plan import Plan, read_plan
from bogwright.enclosure.predict import predict
from bogwright.enclosure.tables import Tables
from bogwright.judge.findings import GRAVE, Finding
from bogwright.judge.knobs import Data, Knob, knobs
from bogwright.physics.substrate import BUFFERING, CONTAINER_CAPACITY, EASILY_AVAILABLE
from bogwright.rules import Row, Rule
from bogwright.rules.meaning import LIMIT

HALVINGS = 12
LOW, HIGH = 0, 1
# margin of a row → where the condition stands, which, and the end of it that must move
MARGINS = {
    "light_short": ("places", "dli", LOW),
    "light_over": ("places", "dli", HIGH),
    "day_over": ("case", "temperature_day", HIGH),
    "peak_over": ("case", "peak", HIGH),
    "humidity_under": ("case", "humidity", LOW),
    "humidity_over": ("case", "humidity", HIGH),
    "hours_under": ("case", "photoperiod", LOW),
    "hours_over": ("case", "photoperiod", HIGH),
    "root_solids_over": ("units", "root_solids", HIGH),
    "solids_over": ("units", "solids_supply", HIGH),
    "air_short": ("places", "air_filled_porosity", LOW),
    "table_near": ("table", "", LOW),
    "table_far": ("table", "", HIGH),
    "wetter_by": ("places", "suction", LOW),
    "drier_by": ("places", "suction", HIGH),
}
# suction a class of moisture spans [cm]
SPANS = {
    "flooded": (-LIMIT, 0.0),
    "wet": (0.0, CONTAINER_CAPACITY - 0.05),
    "damp": (CONTAINER_CAPACITY, EASILY_AVAILABLE),
    "barely-damp": (EASILY_AVAILABLE, BUFFERING),
    "dry": (BUFFERING, LIMIT),
}
SAFE = 1e-6


@dataclass(frozen=True, slots=True)
class Want:
    """A condition that must lie between ``least`` and ``most`` in some months (0 = January). key "": water table."""

    part: str
    id: str
    key: str
    months: tuple[int, ...]
    least: float
    most: float

    def met(self, plan: Plan, forecast: Forecast) -> bool:
        year = self._year(plan, forecast)
        return all(self.least - SAFE <= year[m][0] and year[m][1] <= self.most + SAFE for m in self.months)

    def _year(self, plan: Plan, forecast: Forecast) -> Sequence[tuple[float, float]]:
        if self.part == "table":
            place = plan.places[self.id]
            crown, level = place.given["crown_height"], plan.water_units[place.water].year("level")
            return [minus((crown, crown), one) for one in level]
        told: Told = forecast.case[self.key] if self.part == "case" else getattr(forecast, self.part)[self.id][self.key]
        return told.value


@dataclass(frozen=True, slots=True)
class Change:
    """One setting with the value that satisfies the plants."""

    words: str
    apply: Callable[[Data], None]
    effort: int


def changes_for(
    finding: Finding, rows: Sequence[Row], rules: Mapping[str, Rule], data: Data, tables: Tables
) -> list[Change]:
    """Single changes of the build that meet what a finding misses, least trouble first. Not judged yet."""
    plan = read_plan(data)
    forecast = predict(plan, tables)
    found: dict[str, Change] = {}
    wants = list(_wants(finding, rows, rules, plan, forecast))
    for want in wants:
        for knob in knobs(want.key, want.id, plan, forecast):
            value = _solve(knob, wants, data, tables)
            if value is not None:
                change = Change(knob.words(value), _setter(knob, value), knob.effort)
                found.setdefault(change.words, change)
    return sorted(found.values(), key=lambda c: (c.effort, c.words))


def _setter(knob: Knob, value: float) -> Callable[[Data], None]:
    return lambda data: knob.set(data, value)


def _wants(
    finding: Finding, rows: Sequence[Row], rules: Mapping[str, Rule], plan: Plan, forecast: Forecast
) -> Iterator[Want]:
    """What the conditions must be so that the margins the finding's rule reads are all kept."""
    read = {leaf.field for leaf in rules[finding.rule].leaves} & set(MARGINS)
    plants = {p.id: p for p in plan.plants}
    for field in sorted(read):
        for row in rows:
            if row["kind"] != finding.kind or row.get("plant") not in finding.plants or row["plant"] not in plants:
                continue
            margin = row[field]
            if not 0 < margin[1] < LIMIT:
                continue
            place = plan.places[plants[row["plant"]].place]
            part, key, end = MARGINS[field]
            id = {"places": place.id, "table": place.id, "units": place.water, "case": ""}[part]
            months = row.get("run", tuple(range(12)))
            if key == "suction":
                stood = [SPANS[w] for w in row["stands_moisture"].split(" or ") if w in SPANS]
                if stood:
                    yield Want(part, id, key, months, min(s[0] for s in stood), max(s[1] for s in stood))
                continue
            probe = Want(part, id, key, months, -LIMIT, LIMIT)
            try:
                year = probe._year(plan, forecast)
            except KeyError:
                continue
            here = [year[m][end] for m in months]
            if any(abs(v) >= LIMIT for v in here):
                continue
            # the row's margin is the same in all its months, so the end may move by it from where it is worst
            if end == LOW:
                yield Want(part, id, key, months, min(here) + margin[1], LIMIT)
            else:
                yield Want(part, id, key, months, -LIMIT, max(here) - margin[1])


def _solve(knob: Knob, wants: Sequence[Want], data: Data, tables: Tables) -> float | None:
    """The value nearest to where the knob stands that meets every want, rounded to its step; None if none does."""

    def met(value: float) -> bool:
        changed = copy.deepcopy(data)
        knob.set(changed, value)
        plan = read_plan(changed)
        forecast = predict(plan, tables)
        return all(want.met(plan, forecast) for want in wants)

    for end in knob.ends:
        turned = list(_turns(knob, end))
        # too far can be as wrong as too little, so the end itself need not do
        first = next((n for n, value in enumerate(turned) if met(value)), None)
        if first is None:
            continue
        near, far = turned[first - 1] if first else knob.start, turned[first]
        for _ in range(HALVINGS):
            middle = (near + far) / 2
            near, far = (near, middle) if met(middle) else (middle, far)
            if abs(far - near) < knob.step / 4:
                break
        steps = (far - knob.start) / knob.step
        rounded = knob.start + knob.step * (int(steps - SAFE) + 1 if steps > 0 else int(steps + SAFE) - 1)
        turns = (knob.start, *knob.ends)
        inside = min(max(rounded, min(turns)), max(turns))
        if met(inside):
            return round(inside, 4)
    return None


def _turns(knob: Knob, end: float) -> Iterator[float]:
    """Values on the way to an end, in growing strides."""
    away = 1.0 if end > knob.start else -1.0
    stride = knob.step
    while abs(end - knob.start) > stride + SAFE:
        yield knob.start + away * stride
        stride *= 1.6
    if abs(end - knob.start) >= knob.step - SAFE:
        yield end


def treatable(finding: Finding, rules: Mapping[str, Rule]) -> bool:
    """Whether a finding weighs a condition that a setting of the build could move."""
    grave = GRAVE[finding.severity] >= GRAVE["condition"]
    return grave and not finding.disputed and any(leaf.field in MARGINS for leaf in rules[finding.rule].leaves)
