"""What the conditions of a build must be so that the margins which a finding weighs are all kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.intervals import minus
from bogwright.enclosure.plan import Plan, Year
from bogwright.judge.findings import Finding
from bogwright.physics.substrate import BUFFERING, CONTAINER_CAPACITY, EASILY_AVAILABLE
from bogwright.rules import Row, Rule
from bogwright.rules.meaning import LIMIT

ROUNDING = 1e-6  # what arithmetic may lose of a bound
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
        year = year_of(plan, forecast, self.part, self.id, self.key)
        return all(self.least - ROUNDING <= year[m][0] and year[m][1] <= self.most + ROUNDING for m in self.months)


def year_of(plan: Plan, forecast: Forecast, part: str, id: str, key: str) -> Year:
    """Where a condition stands, January to December. KeyError where the plan leaves out what tells it."""
    if part == "table":
        place = plan.places[id]
        crown, level = place.given["crown_height"], plan.water_units[place.water].year("level")
        return tuple(minus((crown, crown), one) for one in level)
    told: Told = forecast.case[key] if part == "case" else getattr(forecast, part)[id][key]
    return told.value


def wants(
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
            try:
                year = year_of(plan, forecast, part, id, key)
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
