"""Which setting of the build to change and to what, solved on the model of the enclosure and judged again.

A finding says by how much a condition misses what a plant stands; a knob is something a grower can turn. The knob
is turned as little as the model needs for the condition to meet the plant, then the plan is judged with it.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from bogwright.enclosure.conditions import minus
from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.inputs import Inputs
from bogwright.enclosure.plan import UNKNOWN, Plan, monthly, read_plan
from bogwright.enclosure.predict import predict
from bogwright.enclosure.tables import Tables
from bogwright.judge.findings import GRAVE, Finding
from bogwright.physics.substrate import BUFFERING, CONTAINER_CAPACITY, EASILY_AVAILABLE
from bogwright.rules import Row, Rule
from bogwright.rules.meaning import LIMIT

Data = dict[str, Any]
HALVINGS = 12
LONGEST_DAY, SHORTEST_DAY = 16.0, 6.0  # h a lamp may be asked to burn
CLEAR = 15.0  # cm from crowns up to a lamp: nearer it burns leaves; common practice, no source
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
THINNEST = 0.5  # cm that a layer keeps
# what tells a lamp's light, the closest first
FLUX = (("photon_flux", "µmol/s"), ("lumens", "lumens"), ("watts", "W"))


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
class Knob:
    """Something a grower can turn. set(data, value) changes the plan; words(value) tells it, as an order.

    start: where it stands. ends: how far it may be turned either way. step: what a grower can hold. effort: trouble.
    sets: what it sets, where the value alone tells how it then stands, whatever it was before.
    """

    words: Callable[[float], str]
    set: Callable[[Data, float], None]
    start: float
    ends: tuple[float, float]
    step: float
    effort: int
    sets: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """One setting with the value that satisfies the plants. sets: as of its knob."""

    words: str
    apply: Callable[[Data], None]
    effort: int
    sets: str = ""


def changes_for(
    finding: Finding, rows: Sequence[Row], rules: Mapping[str, Rule], data: Data, tables: Tables
) -> list[Change]:
    """Single changes of the build that meet what a finding misses, least trouble first. Not judged yet."""
    plan = read_plan(data)
    forecast = predict(plan, tables)
    found: dict[str, Change] = {}
    wants = list(_wants(finding, rows, rules, plan, forecast))
    for want in wants:
        for knob in _knobs(want, plan, forecast):
            value = _solve(knob, wants, data, tables)
            if value is not None:
                change = Change(knob.words(value), _setter(knob, value), knob.effort, knob.sets)
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


def _knobs(want: Want, plan: Plan, forecast: Forecast) -> Iterator[Knob]:
    """What can be turned for a condition."""
    if want.key == "dli":
        yield from _light_knobs(want, plan)
    elif want.key == "photoperiod":
        yield from _hours_knob(plan)
    elif want.key in ("humidity", "temperature_day", "peak"):
        yield from _air_knobs(plan, forecast.inputs)
    elif want.key in ("suction", "air_filled_porosity", ""):
        yield from _height_knobs(want, plan)
    elif want.key == "root_solids":
        yield from _flush_knobs(want, plan)
    elif want.key == "solids_supply":
        yield from _supply_knob(want, forecast)


def _supply_knob(want: Want, forecast: Forecast) -> Iterator[Knob]:
    """The supply thinned with pure water: solids and alkalinity fall alike."""
    now = max(v[1] for v in forecast.units[want.id]["solids_supply"].value)

    def words(share: float) -> str:
        return f"mix the water of {want.id}: 1 part with {1 / share - 1:.2g} parts of rain or reverse-osmosis water"

    def thin(given: Data, share: float) -> None:
        supply = given.setdefault("supply", {})
        for key in ("solids", "conductivity", "alkalinity"):
            if key in supply:
                supply[key] = [
                    "unknown" if v == UNKNOWN else [v[0] * share, v[1] * share] for v in monthly(supply[key])
                ]

    if now < LIMIT:
        yield Knob(words, _unit_setter(want.id, thin), 1.0, (0.05, 0.05), 0.05, 2)


def _hours_knob(plan: Plan) -> Iterator[Knob]:
    """All lamps longer or shorter, month by month alike."""
    hours = [monthly(lamp.get("hours")) for lamp in plan.lamps]
    measured = any("dli" in p.given.get("light", {}) for p in plan.places.values())
    if not hours or measured or any(v == UNKNOWN for year in hours for v in year):
        return
    least, most = min(v[0] for year in hours for v in year), max(v[1] for year in hours for v in year)
    lamps = "the lamp" if len(plan.lamps) == 1 else "the lamps"

    def words(more: float) -> str:
        if least == most:
            return f"burn {lamps} {least + more:g} h a day instead of {least:g}"
        return f"burn {lamps} {abs(more):g} h a day {'longer' if more > 0 else 'less'}"

    def change(data: Data, more: float) -> None:
        for lamp in data["lamps"]:
            lamp["hours"] = [[low + more, high + more] for low, high in monthly(lamp["hours"])]
            if least == most:
                lamp["hours"] = least + more
        data["case"].pop("photoperiod", None)  # that of the hours before; the lamps' own tell it now

    yield Knob(words, change, 0.0, (LONGEST_DAY - most, SHORTEST_DAY - least), 0.5, 1)


def _light_knobs(want: Want, plan: Plan) -> Iterator[Knob]:
    yield from _hours_knob(plan)
    for n, lamp in enumerate(() if _light_measured(plan) else plan.lamps):
        if "height" in lamp:
            ends = _hangs_between(plan, lamp)
            sets = f"height of {lamp['id']}"
            yield Knob(partial(_hung, lamp["id"]), partial(_hang, n), lamp["height"], ends, 1.0, 2, sets)
        # a temperature measured under the lamp that hangs there tells nothing of a stronger one
        if "reading" not in lamp and "temperature_day" not in plan.case:
            yield from _stronger_knob(n, lamp)


def _hangs_between(plan: Plan, lamp: Mapping[str, Any]) -> tuple[float, float]:
    """How low and how high a lamp may hang: clear of the crowns, on its own side of the lid. [cm]"""
    now = lamp["height"]
    crowns = max(p.given.get("crown_height", 0.0) for p in plan.places.values())
    top = plan.case["vessel"].get("inside_cm", (0, 0, None))[2]
    low, high = crowns + CLEAR, now + 60
    if top is not None:
        low, high = (low, min(high, top)) if lamp.get("mounted") == "inside" else (max(low, top), high)
    return min(low, now), max(high, now)


def _hang(n: int, data: Data, height: float) -> None:
    """Lamp ``n`` at another height; inside the case its places lose headroom to it."""
    lamp = data["lamps"][n]
    lamp["height"] = height
    if lamp.get("mounted") == "inside":
        for place in data["places"]:
            if "headroom" in place and "crown_height" in place:
                place["headroom"] = max(0.0, min(place["headroom"], height - place["crown_height"]))


def _light_measured(plan: Plan) -> bool:
    """Whether light was measured at some place: what another lamp or height would make of it no model knows."""
    return any({"ppfd", "illuminance", "dli"} & set(p.given.get("light", {})) for p in plan.places.values())


def _stronger_knob(n: int, lamp: Mapping[str, Any]) -> Iterator[Knob]:
    """A stronger or weaker lamp of the same kind, whose power and warmth follow its light."""
    given = [(key, unit) for key, unit in FLUX if key in lamp]
    if not given or any(v == UNKNOWN for v in monthly(lamp[given[0][0]])):
        return
    key, unit = given[0]
    now = monthly(lamp[key])[0][0]
    watts = monthly(lamp.get("watts"))

    def change(data: Data, value: float) -> None:
        if UNKNOWN not in watts:
            data["lamps"][n]["watts"] = [[low * value / now, high * value / now] for low, high in watts]
        data["lamps"][n][key] = value

    def words(value: float) -> str:
        drawn = "" if UNKNOWN in watts or key == "watts" else f" and about {watts[0][1] * value / now:.2g} W"
        what = "a stronger lamp or a second one" if value > now else "a weaker lamp"
        return f"give {lamp['id']} {value:g} {unit}{drawn} ({what})"

    if now > 0:
        yield Knob(words, change, now, (now * 6, now / 6), max(1.0, round(now / 20)), 4)


def _hung(id: str, value: float) -> str:
    return f"hang {id} {value:g} cm above the floor"


def _air_knobs(plan: Plan, inputs: Inputs) -> Iterator[Knob]:
    """Openings, by the air changes they give; a lamp out of the case."""
    vessel = plan.case["vessel"]
    if vessel["openings"] == "outdoor" or "inside_cm" not in vessel:
        return
    width, depth, height = vessel["inside_cm"]
    litres = width * depth * height / 1000

    def words(v: float) -> str:
        return f"let {v * litres / 3600:.2g} L of air a second through the case ({v:g} air changes an hour)"

    def change(data: Data, v: float) -> None:
        data["case"]["vessel"]["air_changes"] = v
        if vessel["openings"] == "closed" and v > start:
            data["case"]["vessel"]["openings"] = "vented"
        _aired(data)

    given = monthly(vessel.get("air_changes"))[0]
    start = given[1] if given != UNKNOWN else max(v[1] for v in inputs["air_changes"])
    if "vents" in vessel:
        yield _vent_knob(vessel)
    elif vessel["openings"] != "open":  # what is open has nothing to open or close
        yield Knob(words, change, start, (60.0, 0.05), 0.5 if start >= 1 else 0.05, 2)
    inside = [n for n, lamp in enumerate(plan.lamps) if lamp.get("mounted") == "inside"]
    if inside and not _light_measured(plan):

        def out(data: Data, _: float) -> None:
            for n in inside:
                lamp = data["lamps"][n]
                lamp["mounted"] = "outside"
                if "height" in lamp:
                    lamp["height"] = max(lamp["height"], height)
            data["case"]["lamp_in_lid"] = False
            _aired(data)

        yield Knob(lambda _: "hang the lamps outside, above the lid", out, 0.0, (1.0, 1.0), 1.0, 3)


def _aired(data: Data) -> None:
    """Humidity that was measured before the air was changed no longer holds."""
    for key in ("humidity", "night_humidity"):
        data["case"].pop(key, None)


def _vent_knob(vessel: Mapping[str, Any]) -> Knob:
    """Wider or narrower vents."""

    def change(data: Data, cm2: float) -> None:
        data["case"]["vessel"]["vents"]["cm2"] = cm2
        _aired(data)

    def words(cm2: float) -> str:
        turn = "close the vents to" if cm2 < vessel["vents"]["cm2"] else "open the vents to"
        return f"{turn} {cm2:g} cm² each"

    now = vessel["vents"]["cm2"]
    width, depth, height = vessel["inside_cm"]
    widest = max(now, min(500.0, min(width, depth) * height / 4))  # both in the smaller side take half of it
    return Knob(words, change, now, (widest, 0.0), 5.0, 2)


def _height_knobs(want: Want, plan: Plan) -> Iterator[Knob]:
    """The water level of the unit, and the height of the place above it."""
    place = plan.places[want.id]
    unit = plan.water_units[place.water]
    level, crown = unit.year("level"), place.given.get("crown_height")
    if crown is None or any(v == UNKNOWN for v in level):
        return
    lowest, highest = min(v[0] for v in level), max(v[1] for v in level)
    if lowest == highest:
        yield Knob(
            lambda v: f"keep the water of {unit.id} at {v:g} cm above the floor",
            _unit_setter(unit.id, _set_level),
            lowest,
            (0.0, crown),
            0.5,
            1,
            f"level of {unit.id}",
        )
    else:
        yield Knob(
            lambda v: f"keep the water of {unit.id} {abs(v):g} cm {'higher' if v > 0 else 'lower'} all year",
            _unit_setter(unit.id, _shift_level),
            0.0,
            (-lowest, crown - highest),
            0.5,
            1,
        )
    # only the lowest layer is built up or taken off
    layers = place.given.get("medium", {}).get("layers")
    thinner = layers[0]["cm"] - THINNEST if layers else 40
    yield Knob(
        lambda v: f"build {place.id} {'up' if v > crown else 'down'} to {v:g} cm, {v - highest:g} cm above its water",
        lambda data, v: _raise(next(p for p in data["places"] if p["id"] == place.id), v),
        crown,
        (crown + min(40, place.given.get("headroom", 40)), max(highest + 0.5, crown - max(0.0, thinner))),
        0.5,
        3,
    )


def _raise(given: Data, crown: float) -> None:
    """A place whose crowns stand at another height; its lowest layer and its headroom give way."""
    more = crown - given["crown_height"]
    given["crown_height"] = crown
    if "headroom" in given:
        given["headroom"] = max(0.0, given["headroom"] - more)
    medium = given.get("medium", {})
    if "layers" in medium:
        medium["layers"][0]["cm"] += more
    if "depth" in medium:
        medium["depth"] = max(0.0, medium["depth"] + more)


def _flush_knobs(want: Want, plan: Plan) -> Iterator[Knob]:
    """How often to flush, with half of the water held, then all of it."""
    unit = plan.water_units[want.id]
    litres = unit.year("litres")
    if any(v == UNKNOWN for v in litres):
        return
    for n, share in enumerate((0.5, 1.0)):
        poured = round(max(v[1] for v in litres) * share, 1)

        def change(given: Data, weeks: float, poured: float = poured) -> None:
            given["flush"] = {"every_weeks": weeks, "litres": poured}

        def words(weeks: float, poured: float = poured) -> str:
            every = "every week" if weeks == 1 else f"every {weeks:g} weeks"
            return f"flush {unit.id} with {poured:g} L of its supply {every}, and let it drain away"

        yield Knob(words, _unit_setter(unit.id, change), 52.0, (0.5, 0.5), 0.5, 1 + n, f"flush of {unit.id}")


def _shift_level(given: Data, more: float) -> None:
    given["level"] = [[low + more, high + more] for low, high in monthly(given["level"])]


def _set_level(given: Data, value: float) -> None:
    given["level"] = value


def _unit_setter(id: str, change: Callable[[Data, float], None]) -> Callable[[Data, float], None]:
    def setting(data: Data, value: float) -> None:
        change(next(u for u in data["water_units"] if u["id"] == id), value)

    return setting


def treatable(finding: Finding, rules: Mapping[str, Rule]) -> bool:
    """Whether a finding weighs a condition that a setting of the build could move."""
    grave = GRAVE[finding.severity] >= GRAVE["condition"]
    return grave and not finding.disputed and any(leaf.field in MARGINS for leaf in rules[finding.rule].leaves)
