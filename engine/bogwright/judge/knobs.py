"""What a grower can turn of a build so that a condition moves, and how each is told as an order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from bogwright.enclosure.forecast import Forecast
from bogwright.enclosure.inputs import Inputs
from bogwright.enclosure.plan import UNKNOWN, Plan, monthly
from bogwright.rules.meaning import LIMIT

Data = dict[str, Any]
Setting = Callable[[Data, float], None]  # changes a mapping of the plan file in place
LONGEST_DAY, SHORTEST_DAY = 16.0, 6.0  # h a lamp may be asked to burn


@dataclass(frozen=True, slots=True)
class Knob:
    """Something a grower can turn. set(data, value) changes the plan; words(value) tells it, as an order.

    start: where it stands. ends: how far it may be turned either way. step: what a grower can hold. effort: trouble.
    """

    words: Callable[[float], str]
    set: Setting
    start: float
    ends: tuple[float, float]
    step: float
    effort: int


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
                supply[key] = [[low * share, high * share] for low, high in monthly(supply[key])]

    if now < LIMIT:
        yield Knob(words, _on("water_units", id, thin), 1.0, (0.05, 0.05), 0.05, 2)


def _hours_knob(plan: Plan) -> Iterator[Knob]:
    """All lamps longer or shorter, month by month alike."""
    hours = [monthly(lamp.get("hours")) for lamp in plan.lamps]
    if not hours or any(v == UNKNOWN for year in hours for v in year):
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

    yield Knob(words, change, 0.0, (LONGEST_DAY - most, SHORTEST_DAY - least), 0.5, 1)


def _light_knobs(plan: Plan) -> Iterator[Knob]:
    yield from _hours_knob(plan)
    crowns = [p.given.get("crown_height", 0.0) for p in plan.places.values()]
    for lamp in plan.lamps:
        id = lamp["id"]
        if "height" in lamp:
            top = plan.case["vessel"].get("inside_cm", (0, 0, 0))[2]
            low = top if lamp.get("mounted") == "outside" else max(crowns) + 5
            yield Knob(
                partial(_hung, id),
                _on("lamps", id, _writing("height")),
                lamp["height"],
                (low, lamp["height"] + 60),
                1.0,
                2,
            )
        for key, unit in (("lumens", "lumens"), ("photon_flux", "µmol/s")):
            if key in lamp and "reading" not in lamp:
                now = monthly(lamp[key])[0][0]
                yield Knob(
                    partial(_brighter, id, unit),
                    _on("lamps", id, _writing(key)),
                    now,
                    (now * 6, now / 6),
                    max(1.0, round(now / 20)),
                    4,
                )


def _hung(id: str, value: float) -> str:
    return f"hang {id} {value:g} cm above the floor"


def _brighter(id: str, unit: str, value: float) -> str:
    return f"give {id} {value:g} {unit} (a stronger lamp or a second one)"


def _air_knobs(plan: Plan, inputs: Inputs) -> Iterator[Knob]:
    """Openings, by the air changes they give; a lamp out of the case."""
    vessel = plan.case["vessel"]
    if vessel["openings"] == "outdoor" or "inside_cm" not in vessel:
        return
    yield _vent_knob(vessel) if "vents" in vessel else _air_change_knob(vessel, inputs)
    if any(lamp.get("mounted") == "inside" for lamp in plan.lamps):

        def out(data: Data, _: float) -> None:
            for lamp in data["lamps"]:
                if lamp.get("mounted") == "inside":
                    lamp["mounted"] = "outside"

        yield Knob(lambda _: "hang the lamps outside, above the lid", out, 0.0, (1.0, 1.0), 1.0, 3)


def _air_change_knob(vessel: Mapping[str, Any], inputs: Inputs) -> Knob:
    """More or less air through the case."""
    width, depth, height = vessel["inside_cm"]
    litres = width * depth * height / 1000

    def change(data: Data, v: float) -> None:
        data["case"]["vessel"]["air_changes"] = v

    def words(v: float) -> str:
        return f"let {v * litres / 3600:.2g} L of air a second through the case ({v:g} air changes an hour)"

    given = monthly(vessel.get("air_changes"))[0]
    start = given[1] if given != UNKNOWN else max(v[1] for v in inputs["air_changes"])
    return Knob(words, change, start, (60.0, 0.05), 0.5 if start >= 1 else 0.05, 2)


def _vent_knob(vessel: Mapping[str, Any]) -> Knob:
    """Wider or narrower vents."""

    def change(data: Data, cm2: float) -> None:
        data["case"]["vessel"]["vents"]["cm2"] = cm2

    def words(cm2: float) -> str:
        turn = "close the vents to" if cm2 < vessel["vents"]["cm2"] else "open the vents to"
        return f"{turn} {cm2:g} cm² each"

    return Knob(words, change, vessel["vents"]["cm2"], (500.0, 0.0), 5.0, 2)


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
            lambda v: f"keep the water of {unit.id} at {v:g} cm above the floor instead of {lowest:g}",
            _on("water_units", unit.id, _writing("level")),
            lowest,
            (0.0, crown),
            0.5,
            1,
        )

    def raise_place(given: Data, v: float) -> None:
        more = v - crown
        given["crown_height"] = v
        layers = given.get("medium", {}).get("layers")
        if layers:
            layers[0]["cm"] = max(0.5, layers[0]["cm"] + more)

    yield Knob(
        lambda v: (
            f"build {place.id} up to {v:g} cm, {v - highest:g} cm above its water"
            if v > crown
            else f"build {place.id} down to {v:g} cm, {v - highest:g} cm above its water"
        ),
        _on("places", place.id, raise_place),
        crown,
        (crown + 40, max(highest + 0.5, crown - 40)),
        0.5,
        3,
    )


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

        yield Knob(words, _on("water_units", unit.id, change), 52.0, (0.5, 0.5), 0.5, 1 + n)


def _on(part: str, id: str, change: Setting) -> Setting:
    """A change of one water unit, place or lamp as a change of the plan."""

    def setting(data: Data, value: float) -> None:
        change(next(one for one in data[part] if one["id"] == id), value)

    return setting


def _writing(key: str) -> Setting:
    def setting(given: Data, value: float) -> None:
        given[key] = value

    return setting
