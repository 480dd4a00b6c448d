"""What a grower can turn of a build so that a condition moves, and how each is told as an order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from bogwright.enclosure.fitting import lid
from bogwright.enclosure.forecast import Forecast
from bogwright.enclosure.inputs import Inputs
from bogwright.enclosure.plan import UNKNOWN, Plan, monthly
from bogwright.rules.meaning import LIMIT

Data = dict[str, Any]
Setting = Callable[[Data, float], None]  # changes a mapping of the plan file in place
LONGEST_DAY, SHORTEST_DAY = 16.0, 6.0  # h a lamp may be asked to burn
CLEAR = 15.0  # cm from crowns up to a lamp: nearer it burns leaves; common practice, no source
CLEAR_OF_LID = 5.0  # cm
THINNEST = 0.5  # cm that a layer keeps
# what tells a lamp's light, the closest first
FLUX = (("photon_flux", "µmol/s"), ("lumens", "lumens"), ("watts", "W"))


@dataclass(frozen=True, slots=True)
class Knob:
    """Something a grower can turn. set(data, value) changes the plan; words(value) tells it, as an order.

    start: where it stands. ends: how far it may be turned either way. step: what a grower can hold. effort: trouble.
    sets: what it sets, where the value alone tells how it then stands, whatever it was before.
    """

    words: Callable[[float], str]
    set: Setting
    start: float
    ends: tuple[float, float]
    step: float
    effort: int
    sets: str = ""


def knobs(key: str, id: str, plan: Plan, forecast: Forecast) -> Iterator[Knob]:
    """What can be turned for a condition of the case, or of the place or water unit ``id``. key "": the water table."""
    if key == "dli":
        yield from _light_knobs(plan)
    elif key == "photoperiod":
        yield from _hours_knob(plan)
    elif key in ("humidity", "temperature_day", "peak"):
        yield from _air_knobs(plan, forecast.inputs)
    elif key in ("suction", "air_filled_porosity", ""):
        yield from _height_knobs(id, plan)
    elif key == "root_solids":
        yield from _flush_knobs(id, plan)
    elif key == "solids_supply":
        yield from _supply_knob(id, forecast)


def _supply_knob(id: str, forecast: Forecast) -> Iterator[Knob]:
    """The supply thinned with pure water: solids and alkalinity fall alike."""
    now = max(v[1] for v in forecast.units[id]["solids_supply"].value)

    def words(share: float) -> str:
        return f"mix the water of {id}: 1 part with {1 / share - 1:.2g} parts of rain or reverse-osmosis water"

    def thin(given: Data, share: float) -> None:
        supply = given.setdefault("supply", {})
        for key in ("solids", "conductivity", "alkalinity"):
            if key in supply:
                supply[key] = [
                    "unknown" if v == UNKNOWN else [v[0] * share, v[1] * share] for v in monthly(supply[key])
                ]

    if now < LIMIT:
        yield Knob(words, _on("water_units", id, thin), 1.0, (0.05, 0.05), 0.05, 2)


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


def _light_knobs(plan: Plan) -> Iterator[Knob]:
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
    top = lid(plan.case["vessel"])
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
    if "vents" in vessel:
        yield _vent_knob(vessel)
    elif vessel["openings"] != "open":  # what is open has nothing to open or close
        yield _air_change_knob(vessel, inputs)
    inside = [n for n, lamp in enumerate(plan.lamps) if lamp.get("mounted") == "inside"]
    if inside and not _light_measured(plan):

        def out(data: Data, _: float) -> None:
            for n in inside:
                lamp = data["lamps"][n]
                lamp["mounted"] = "outside"
                if "height" in lamp:
                    lamp["height"] = max(lamp["height"], vessel["inside_cm"][2])
            data["case"]["lamp_in_lid"] = False
            _aired(data)

        yield Knob(lambda _: "hang the lamps outside, above the lid", out, 0.0, (1.0, 1.0), 1.0, 3)


def _aired(data: Data) -> None:
    """Humidity that was measured before the air was changed no longer holds."""
    for key in ("humidity", "night_humidity"):
        data["case"].pop(key, None)


def _air_change_knob(vessel: Mapping[str, Any], inputs: Inputs) -> Knob:
    """More or less air through the case."""
    width, depth, height = vessel["inside_cm"]
    litres = width * depth * height / 1000
    given = monthly(vessel.get("air_changes"))[0]
    start = given[1] if given != UNKNOWN else max(v[1] for v in inputs["air_changes"])

    def change(data: Data, v: float) -> None:
        data["case"]["vessel"]["air_changes"] = v
        if vessel["openings"] == "closed" and v > start:
            data["case"]["vessel"]["openings"] = "vented"
        _aired(data)

    def words(v: float) -> str:
        return f"let {v * litres / 3600:.2g} L of air a second through the case ({v:g} air changes an hour)"

    return Knob(words, change, start, (60.0, 0.05), 0.5 if start >= 1 else 0.05, 2)


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


def _height_knobs(id: str, plan: Plan) -> Iterator[Knob]:
    """The water level of the unit, and the height of the place above it."""
    place = plan.places[id]
    unit = plan.water_units[place.water]
    level, crown = unit.year("level"), place.given.get("crown_height")
    if crown is None or any(v == UNKNOWN for v in level):
        return
    lowest, highest = min(v[0] for v in level), max(v[1] for v in level)
    if lowest == highest:
        yield Knob(
            lambda v: f"keep the water of {unit.id} at {v:g} cm above the floor",
            _on("water_units", unit.id, _set_level),
            lowest,
            (0.0, crown),
            0.5,
            1,
            f"level of {unit.id}",
        )
    else:
        yield Knob(
            lambda v: f"keep the water of {unit.id} {abs(v):g} cm {'higher' if v > 0 else 'lower'} all year",
            _on("water_units", unit.id, _shift_level),
            0.0,
            (-lowest, crown - highest),
            0.5,
            1,
        )
    # only the lowest layer is built up or taken off; lamps and lid stay clear of the plants
    layers = place.given.get("medium", {}).get("layers")
    thinner = layers[0]["cm"] - THINNEST if layers else 40
    roofs = [lamp["height"] - CLEAR for lamp in plan.lamps if "height" in lamp]
    top = lid(plan.case["vessel"])
    roofs += [] if top is None else [top - CLEAR_OF_LID]
    highest_crown = max(crown, min(crown + min(40, place.given.get("headroom", 40)), *roofs, LIMIT))
    yield Knob(
        lambda v: f"build {place.id} {'up' if v > crown else 'down'} to {v:g} cm, {v - highest:g} cm above its water",
        _on("places", place.id, _raise),
        crown,
        (highest_crown, min(crown, max(highest + 0.5, crown - max(0.0, thinner)))),
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


def _flush_knobs(id: str, plan: Plan) -> Iterator[Knob]:
    """How often to flush, with half of the water held, then all of it."""
    unit = plan.water_units[id]
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

        yield Knob(words, _on("water_units", unit.id, change), 52.0, (0.5, 0.5), 0.5, 1 + n, f"flush of {unit.id}")


def _shift_level(given: Data, more: float) -> None:
    given["level"] = [[low + more, high + more] for low, high in monthly(given["level"])]


def _set_level(given: Data, value: float) -> None:
    given["level"] = value


def _on(part: str, id: str, change: Setting) -> Setting:
    """A change of one water unit or place as a change of the plan."""

    def setting(data: Data, value: float) -> None:
        change(next(one for one in data[part] if one["id"] == id), value)

    return setting
