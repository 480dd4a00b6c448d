"""The medium of a place: how wet and how airy it stands above the water, and how warm its roots are."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from bogwright.enclosure.forecast import Told, given, resting, tell
from bogwright.enclosure.holding import Holding
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import LIMIT, open_ended, yearly
from bogwright.enclosure.plan import UNKNOWN, Interval, Place, Plan, Year
from bogwright.enclosure.tables import Tables
from bogwright.physics.heat import damped, damping_depth
from bogwright.physics.substrate import Layer, drained_suction, moisture_class, suction_above, suction_passing

DAY = 86_400.0  # s
M2_IN_MM2 = 1e-6
DRIPS = 0.1  # cm/d: drainage this slow no longer dries a bed between two waterings
DRIEST = 1e4  # cm of suction; beyond it nothing in a bog plant's medium flows


@dataclass(frozen=True, slots=True)
class Bed:
    """Layers of one place from its base upward: thickness [cm] and what each holds. base: above the case floor. [cm]"""

    base: float
    layers: tuple[tuple[float, Holding], ...]

    def between(self, low: float, high: float) -> list[tuple[float, Holding]]:
        """The parts of the layers from one height above the floor to another, bottom up."""
        parts, foot = [], self.base
        for cm, held in self.layers:
            top = foot + cm
            inside = min(top, high) - max(foot, low)
            if inside > 1e-9:
                parts.append((inside, held))
            foot = top
        return parts

    @property
    def top(self) -> Holding:
        return self.layers[-1][1]


def bed_of(place: Place, tables: Tables) -> Bed:
    """The bed of a place. Raises Missing where its layers or its height are not told."""
    layers = place.given.get("medium", {}).get("layers")
    if not layers:
        raise Missing(f"the layers of {place.id} (places: medium: layers)")
    if "crown_height" not in place.given:
        raise Missing(f"the height of the crowns of {place.id} (places: crown_height)")
    made = tuple((float(one["cm"]), tables.holding(parts_of(one))) for one in layers)
    return Bed(place.given["crown_height"] - sum(cm for cm, _ in made), made)


def parts_of(layer: Mapping[str, Any]) -> tuple[tuple[str, float], ...]:
    """Materials of a layer with their shares by volume, which add up to 1."""
    mix = layer["mix"] if "mix" in layer else {layer["material"]: 1.0}
    total = sum(mix.values())
    return tuple((material, parts / total) for material, parts in mix.items())


def medium(
    plan: Plan, place: Place, inputs: Inputs, tables: Tables, lost: Told, air: Mapping[str, Told]
) -> dict[str, Told]:
    """Keys: moisture (classes from - to), suction [cm], air_filled_porosity [%], root_temperature [°C].

    lost: what the place's water unit evaporates. [L/d]
    """
    told: dict[str, Told] = {}
    words = place.words("moisture") if "moisture" in place.given else plan.water_units[place.water].words("moisture")
    told["suction"] = resting(tell(inputs, lambda: _suction(plan, place, inputs, tables, lost)), lost)
    if all(w != "?" for w in words):
        told["moisture"] = Told(how="measured", words=tuple((w, w) for w in words))
    else:
        told["moisture"] = _classes(told["suction"], words)
    told["air_filled_porosity"] = given(
        place.year("medium", "air_filled_porosity"),
        lambda: resting(tell(inputs, lambda: _air(place, tables, told["suction"])), told["suction"]),
    )
    told["root_temperature"] = given(
        place.year("medium", "root_temperature"),
        lambda: resting(
            tell(inputs, lambda: _root_temperature(place, inputs, air)),
            air["temperature_day"],
            air["temperature_night"],
        ),
    )
    return told


def _classes(suction: Told, given: Sequence[str]) -> Told:
    """Moisture classes of a suction, wettest and driest, or the word given for the month."""
    if suction.how == "unknown":
        return Told(needs=suction.needs, rests_on=suction.rests_on)
    words = tuple(
        (moisture_class(v[0]), moisture_class(v[1])) if word == "?" else (word, word)
        for v, word in zip(suction.value, given, strict=True)
    )
    return Told(how="predicted", rests_on=suction.rests_on, needs=suction.needs, words=words)


def _suction(plan: Plan, place: Place, inputs: Inputs, tables: Tables, lost: Told) -> Year:
    """Suction where the young roots are. [cm] Below 0: under water."""
    bed = bed_of(place, tables)
    level = plan.water_units[place.water].year("level")
    if any(v == UNKNOWN for v in level):
        raise Missing(f"the water level of {place.water} (water_units: level)")
    flux = _flux(plan, place, inputs, lost)
    crown = float(place.given["crown_height"])
    found: dict[tuple[Interval, Interval, Interval], Interval] = {}
    year = []
    for key in zip(level, flux, inputs["root_layer"], strict=True):
        if key not in found:
            found[key] = _span(bed, crown, *key)
        year.append(found[key])
    return tuple(year)


def _span(bed: Bed, crown: float, level: Interval, flux: Interval, deep: Interval) -> Interval:
    """Least and greatest suction for a water level, an evaporation [cm/d] and a depth of the roots. [cm]"""
    wettest = _suction_at(bed, level[1], crown - deep[1], flux[0], 1)
    driest = _suction_at(bed, level[0], crown - deep[0], flux[1], 0)
    return (wettest, max(wettest, driest))


def _suction_at(bed: Bed, level: float, height: float, flux: float, end: int) -> float:
    """Suction at a height above the floor; end 0 takes the poorest, 1 the best conduction a medium may have.

    A bed that does not reach its water holds what a watering leaves in it and then dries, nobody knows how far.
    """
    if level < bed.base:
        return _drained(bed, height) if end == 1 else LIMIT
    if height <= level:
        return height - level
    column = bed.between(level, height)
    if any(held.conducts is None for _, held in column):
        # what lifts the water is not known: at best all of it, at worst nothing
        return height - level if end == 1 else LIMIT
    layers = [Layer(cm, _conduction(held, end)) for cm, held in column]
    return min(LIMIT, float(suction_above(layers, flux)))


def _drained(bed: Bed, height: float) -> float:
    """Suction at a height once a watering has drained: water stays perched over layers too coarse to draw it down.

    A layer whose conduction nobody measured may hold it as wet at its top as at its foot.
    """
    suction = 0.0
    for cm, held in bed.between(bed.base, height):
        if held.conducts is not None:
            drawn = float(drained_suction(cm, suction))
            suction = min(drawn, float(suction_passing(_conduction(held, 0), DRIPS)))
    return suction


@cache
def _conduction(held: Holding, end: int) -> Callable[[float], float]:
    conducts = held.conducts
    assert conducts is not None
    return lambda suction: conducts(suction)[end]


def _flux(plan: Plan, place: Place, inputs: Inputs, lost: Told) -> Year:
    """What rises through the medium: the unit's loss over the floor its places take. [cm/d]"""
    if lost.how == "unknown":
        raise Missing(*lost.needs)
    own = [p for p in plan.places.values() if p.water == place.water]
    if all("size_cm" in p.given for p in own):
        area = sum(p.given["size_cm"][0] * p.given["size_cm"][1] for p in own)
    elif "inside_cm" in plan.case["vessel"]:
        area = plan.case["vessel"]["inside_cm"][0] * plan.case["vessel"]["inside_cm"][1]
    else:
        raise Missing(f"the size of the places on {place.water} (places: size_cm)")
    return yearly(lambda litres: litres * 1000 / area, lost.value)


def _air(place: Place, tables: Tables, suction: Told) -> Year:
    """Air-filled pores at the young roots. [%]"""
    if suction.how == "unknown":
        raise Missing(*suction.needs)
    top = bed_of(place, tables).top
    if top.silent:
        held = f"how much water is held by {' and '.join(top.silent)}"
        raise Missing(f"{held}, or the air at the roots (places: medium: air_filled_porosity)")
    return tuple(
        (round(100 * top.air(max(0.0, low))[0], 1), round(100 * top.air(min(high, DRIEST))[1], 1))
        for low, high in suction.value
    )


def _root_temperature(place: Place, inputs: Inputs, air: Mapping[str, Told]) -> Year:
    """Coolest and warmest the roots get half way down: the swing of the air, damped. [°C]"""
    day, night = air["temperature_day"].value, air["temperature_night"].value
    if any(open_ended(v) for v in (*day, *night)):
        raise Missing("the temperatures of the case (case: temperature_day, case: temperature_night)")
    depth = place.given.get("medium", {}).get("depth") or _depth(place.given.get("medium", {}).get("layers"))
    if depth is None:
        raise Missing(f"the depth of the medium of {place.id} (places: medium: depth)")
    metres = depth / 200
    year = []
    for d, n in zip(day, night, strict=True):
        ends: list[float] = []
        for diffusivity in inputs["medium_diffusivity"][0]:
            for top, low in ((d[0], n[0]), (d[1], n[1])):
                mean, swing = (top + low) / 2, max(0.0, top - low) / 2
                ends += damped(mean, swing, metres, damping_depth(diffusivity * M2_IN_MM2, DAY))
        year.append((float(min(ends)), float(max(ends))))
    return tuple(year)


def _depth(layers: Sequence[Mapping[str, Any]] | None) -> float | None:
    return sum(float(one["cm"]) for one in layers) if layers else None
