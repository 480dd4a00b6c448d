"""What a plan's light, air, medium and water will be, as plain data that terminal, JSON, pages and pictures show."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from bogwright.enclosure.failing import until_too_cold, until_too_hot
from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.inputs import Inputs
from bogwright.enclosure.intervals import LIMIT
from bogwright.enclosure.plan import UNKNOWN, Interval, Plan, PlantEntry
from bogwright.enclosure.predict import predict
from bogwright.judge.ask import AskError, resolve
from bogwright.judge.bench import Bench
from bogwright.rules.says import interval
from bogwright.sharing.demands import word
from bogwright.sharing.months import GROWTH, month_words

DIGITS = 3  # as far as a forecast of a glass case is worth printing


class Quantity(NamedTuple):
    """A condition as it is shown. head: of a narrow column."""

    key: str
    title: str
    head: str
    unit: str


CASE = (
    Quantity("temperature_day", "temperature by day", "day °C", "°C"),
    Quantity("peak", "hottest", "hottest °C", "°C"),
    Quantity("temperature_night", "temperature by night", "night °C", "°C"),
    Quantity("lowest", "coldest", "coldest °C", "°C"),
    Quantity("photoperiod", "hours of light", "light h", "h"),
    Quantity("humidity", "humidity by day", "humidity %", "%"),
    Quantity("night_humidity", "humidity by night", "night %", "%"),
    Quantity("vpd", "vapour pressure deficit by day", "VPD kPa", "kPa"),
    Quantity("night_vpd", "vapour pressure deficit by night", "night VPD kPa", "kPa"),
    Quantity("condensing", "condensation by day", "day dew g/h", "g/h"),
    Quantity("night_condensing", "condensation by night", "night dew g/h", "g/h"),
    Quantity("leaving", "water that leaves with the air", "leaves L/day", "L/day"),
)
WATER = (
    Quantity("solids_supply", "solids in the supplied water", "supply mg/L", "mg/L"),
    Quantity("root_solids", "solids that gather at the roots", "at the roots mg/L", "mg/L"),
    Quantity("evaporation", "evaporation", "evaporates L/day", "L/day"),
    Quantity("days_to_refill", "days to refill", "days to refill", "days"),
    Quantity("co2", "carbon dioxide in the open water", "CO₂ mg/L", "mg/L"),
    Quantity("ph", "pH of the open water", "pH", "pH"),
)
PLACE = (
    Quantity("ppfd", "light at the leaf (PPFD)", "PPFD µmol/m²/s", "µmol/m²/s"),
    Quantity("dli", "light a day (DLI)", "DLI mol/m²/day", "mol/m²/day"),
    Quantity("moisture", "moisture", "moisture", ""),
    Quantity("air_filled_porosity", "air-filled pores at the roots", "air in pores %", "%"),
    Quantity("root_temperature", "temperature at the roots", "roots °C", "°C"),
)
COLD, HOT = "lamps and heater fail", "nothing cools it"


def conditions_content(bench: Bench, plan: Plan) -> dict[str, Any]:
    """Conditions, what they rest on, what they lack, and how long the case holds out. Unknown ends are None.

    Names of plants nobody knows are kept as written: the conditions do not hang on them.
    """
    forecast = predict(plan, bench.tables)
    plants = [_plant(bench, entry) for entry in plan.plants]
    parts = [_part("case", "", "Air", forecast.case, CASE)]
    for id, unit in forecast.units.items():
        parts.append(_part("water", id, f"Water {id}", unit, WATER))
    for id, place in forecast.places.items():
        parts.append(_part("place", id, f"Place {id}", place, PLACE))
        parts[-1]["plants"] = [p["id"] for p in plants if p["place"] == id]
    return {
        "conditions": plan.title,
        "parts": parts,
        "plants": plants,
        "holds_out": _holding_out(bench, plan, forecast, plants),
        "rests_on": _resting(forecast.inputs, parts),
        "needs": _needs(parts),
    }


def _plant(bench: Bench, entry: PlantEntry) -> dict[str, Any]:
    """A plant of the plan with the taxa its name may stand for; none where nobody knows it."""
    made: dict[str, Any] = {"id": entry.id, "name": entry.taxon, "stage": entry.stage, "place": entry.place}
    try:
        forms = list(resolve(bench, entry.taxon))
    except AskError as error:
        return made | {"taxa": [], "unknown": error.problems[0]}
    shapes = {word(bench.base.profile(form).claim("habit.growth_form")) for form in forms}
    shape = shapes.pop() if len(shapes) == 1 else "?"
    return made | {"taxa": forms, "growth_form": shape}


def _part(kind: str, id: str, title: str, told: Mapping[str, Told], shown: Sequence[Quantity]) -> dict[str, Any]:
    return {"part": kind, "id": id, "title": title, "rows": [_row(q, told[q.key]) for q in shown if q.key in told]}


def _row(quantity: Quantity, told: Told) -> dict[str, Any]:
    made: dict[str, Any] = {
        "key": quantity.key,
        "title": quantity.title,
        "unit": quantity.unit,
        "how": told.how,
        "months": [ends(v) for v in told.value],
        "rests_on": list(told.rests_on),
        "needs": list(told.needs),
    }
    if told.words:
        made["words"] = [list(pair) for pair in told.words]
        del made["months"]
    return made


def ends(value: Interval) -> list[float | None]:
    """An interval to three digits, None for an end that is not known."""
    return [None if abs(end) >= LIMIT else float(f"{end:.{DIGITS}g}") for end in value]


def _resting(inputs: Inputs, parts: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Every figure a prediction used, those taken for granted first, then by how much rests on them."""
    bears: dict[str, list[str]] = {}
    for part in parts:
        for row in part["rows"]:
            for name in row["rests_on"]:
                bears.setdefault(name, []).append(_of(part, row))
    made = [
        {
            "name": name,
            "title": inputs.known[name].title,
            "unit": inputs.known[name].unit,
            "months": [ends(v) for v in inputs.known[name].value],
            "stated": inputs.known[name].stated,
            "ask": inputs.known[name].ask,
            "bears_on": titles,
        }
        for name, titles in bears.items()
    ]
    return sorted(made, key=lambda one: (one["stated"], -len(one["bears_on"]), one["name"]))


def _needs(parts: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """What to state, with the conditions that wait for it: those for which most wait first."""
    waiting: dict[str, list[str]] = {}
    for part in parts:
        for row in part["rows"]:
            end = "" if row["how"] == "unknown" else ", its other end"
            for need in row["needs"]:
                waiting.setdefault(need, []).append(_of(part, row) + end)
    made = [{"needs": need, "for": titles} for need, titles in waiting.items()]
    return sorted(made, key=lambda one: -len(one["for"]))


def _of(part: Mapping[str, Any], row: Mapping[str, Any]) -> str:
    """A condition with what it is of: 'evaporation of tray'."""
    return f"{row['title']} of {part['id']}" if part["id"] else str(row["title"])


def _holding_out(
    bench: Bench, plan: Plan, forecast: Forecast, plants: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """For each known plant in growth: hours until it is as cold, or as hot, as it survives; the soonest first."""
    made: list[dict[str, Any]] = []
    if plan.case["vessel"]["openings"] == "outdoor":
        return made  # nothing keeps the weather off that could fail
    for plant in plants:
        if not plant["taxa"]:
            continue
        cold, hot = _survived(bench, plant)
        for failure, limit, wanted in ((COLD, cold, "coldest night"), (HOT, hot, "hottest day")):
            one: dict[str, Any] = {"plant": plant["name"], "failure": failure}
            if limit is None:
                made.append(one | {"needs": [f"a figure of the {wanted} that {plant['name']} survives"]})
                continue
            until = until_too_cold if failure == COLD else until_too_hot
            told = until(plan, forecast.inputs, forecast.case, limit)
            one["limit"] = ends(limit)
            if told.how == "unknown":
                made.append(one | {"needs": list(told.needs)})
                continue
            soonest = min(v[0] for v in told.value)
            worst = [m for m, v in enumerate(told.value) if v[0] == soonest]
            one["hours"] = ends((soonest, min(v[1] for v in told.value)))
            made.append(one | {"months": month_words(worst, 1)})
    return sorted(made, key=lambda one: _first(one.get("hours")))


def _first(hours: Sequence[float | None] | None) -> float:
    return LIMIT if hours is None or hours[0] is None else hours[0]


def _survived(bench: Bench, plant: Mapping[str, Any]) -> tuple[Interval | None, Interval | None]:
    """Coldest night and hottest day it survives in growth, over every form its name may mean."""
    lows, highs = [], []
    for taxon in plant["taxa"]:
        needs = bench.needs(bench.base.profile(taxon), id=taxon, name=plant["name"], stage=plant["stage"])
        asked = needs.demands[GROWTH]
        night, day = asked.get("temperature_night"), asked.get("temperature_day")
        lows.append(night.survives_low if night else None)
        highs.append(day.survives_high if day else None)
    return _hull(lows), _hull(highs)


def _hull(spans: Sequence[Interval | None]) -> Interval | None:
    known = [s for s in spans if s is not None and s != UNKNOWN]
    if len(known) < len(spans):
        return None
    return (min(s[0] for s in known), max(s[1] for s in known))


def in_words(pair: Sequence[float | None], unit: str = "") -> str:
    """An interval for reading: '16–20 °C', 'at least 60 %', 'up to 5', 'unknown'."""
    low, high = (-LIMIT if pair[0] is None else pair[0], LIMIT if pair[1] is None else pair[1])
    return interval(low, high, unit).replace("at most", "up to")


def class_words(pair: Sequence[str]) -> str:
    """Two classes of moisture, the wetter first: 'wet', 'wet to damp'."""
    return pair[0] if pair[0] == pair[1] else f"{pair[0]} to {pair[1]}"


def cells(row: Mapping[str, Any], unit: str = "") -> list[str]:
    """The twelve months of a condition in words."""
    if "words" in row:
        return [class_words(pair) for pair in row["words"]]
    return [in_words(pair, unit) for pair in row["months"]]


def alike(shown: Sequence[Any]) -> list[tuple[str, Any]]:
    """Months with the same content under one name: ('all year', …), or ('Dec–Feb', …), ('Mar', …)."""
    groups: list[tuple[list[int], Any]] = []
    for month, one in enumerate(shown):
        for months, same in groups:
            if same == one:
                months.append(month)
                break
        else:
            groups.append(([month], one))
    return [(month_words(months, 1), one) for months, one in groups]


def year_in_words(row: Mapping[str, Any]) -> str:
    """A whole year of a condition: '16–20 °C', or '16–20 °C (Jan–Mar); 18–24 °C (Apr–Dec)'."""
    groups = alike(cells(row, row["unit"]))
    return groups[0][1] if len(groups) == 1 else "; ".join(f"{words} ({months})" for months, words in groups)


def span_of(rows: Iterable[Mapping[str, Any]]) -> list[list[float | None]]:
    """The hull of several rows, month by month."""
    years = [row["months"] for row in rows]
    return [
        [
            None if any(y[m][0] is None for y in years) else min(y[m][0] for y in years),
            None if any(y[m][1] is None for y in years) else max(y[m][1] for y in years),
        ]
        for m in range(12)
    ]


def wide(one: Mapping[str, Any]) -> bool:
    """Whether a closer figure could change anything."""
    return any(low != high for low, high in one["months"])


def year_span(row: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Least and greatest value of a year; None where an end is not known in every month."""
    lows, highs = [v[0] for v in row["months"]], [v[1] for v in row["months"]]
    return (None if None in lows else min(lows), None if None in highs else max(highs))


def heading(part: Mapping[str, Any], made: Mapping[str, Any]) -> str:
    """The title of a part, and of a place its plants."""
    names = [p["name"] for p in made["plants"] if p["id"] in part.get("plants", ())]
    return f"{part['title']}{': ' if names else ''}{', '.join(names)}"


def rows_of(part: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    """The conditions of a part by key."""
    return {row["key"]: row for row in part["rows"]}


def dew(made: Mapping[str, Any]) -> list[str]:
    """What the panes do by day and by night, in words."""
    case = rows_of(made["parts"][0])
    said: dict[str, list[str]] = {}
    for key, when in (("condensing", "by day"), ("night_condensing", "at night")):
        if case[key]["how"] != "unknown":
            for months, what in alike([_drips(pair) for pair in case[key]["months"]]):
                said.setdefault(what, []).append(when if months == "all year" else f"{when} ({months})")
    return [f"The panes {what} {' and '.join(whens)}." for what, whens in said.items()]


def _drips(pair: Sequence[float | None]) -> str:
    low, high = pair
    if high is not None and high <= 0:
        return "stay clear"
    return "drip" if low is not None and low > 0 else "may drip"


def fates(made: Mapping[str, Any], failure: str) -> dict[str, list[Mapping[str, Any]]]:
    """How long the case holds out when something fails, in words, with the plants for which that is so."""
    found: dict[str, list[Mapping[str, Any]]] = {}
    for one in made["holds_out"]:
        if one["failure"] == failure:
            found.setdefault(hours_words(one), []).append(one)
    return found


def limit_words(one: Mapping[str, Any]) -> str:
    """What a plant survives, in brackets behind its name; nothing where no figure is known."""
    return f" ({in_words(one['limit'], '°C')})" if "limit" in one else ""


def hours_words(one: Mapping[str, Any]) -> str:
    """How long the case holds out for one plant."""
    if "needs" in one:
        return f"not worked out: needs {'; '.join(one['needs'])}"
    low, high = one["hours"]
    if low is None or low >= LIMIT:
        return "never: it does not get that far"
    if high is None:
        return f"after {_rounded(low)} at the soonest, or never ({one['months']})"
    if high == 0:
        return f"at once: it is beyond that anyway ({one['months']})"
    return f"after {_rounded(low)} to {_rounded(high)} ({one['months']})" if low < high else f"after {_rounded(low)}"


def _rounded(hours: float) -> str:
    return f"{hours:.2g} h" if hours < 100 else f"{hours / 24:.0f} days"
