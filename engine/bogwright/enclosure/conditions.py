"""Conditions of a plan as intervals, per place and month: stated or measured values, and what follows from them.

Months here are the plants' months of a case (0 = the month that plays midwinter), so that they meet the plants' needs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bogwright.enclosure.intervals import minus
from bogwright.enclosure.plan import UNKNOWN, Interval, Place, Plan, Year, span
from bogwright.physics.light import daily_light_integral, photon_flux


@dataclass(frozen=True, slots=True)
class MonthConditions:
    """What one place has in one month; an unknown value is unbounded, an unknown word ``?``."""

    temperature_day: Interval
    temperature_night: Interval
    peak: Interval
    lowest: Interval
    night_drop: Interval
    photoperiod: Interval
    humidity: Interval
    night_humidity: Interval
    air_speed: Interval
    ppfd: Interval
    dli: Interval
    table_below_crown: Interval
    moisture: str
    solids_supply: Interval
    alkalinity: Interval
    root_solids: Interval
    root_temperature: Interval


# a place's own moisture, as stated, else as a prediction filled in
WETNESS = ("moisture", "moisture_foreseen")

# a bed in the open ground or a large tub stays warmer in a cold night than the air: nobody says by how much
GROUND_KEEPS = 10.0  # K at most; common practice, no source


def conditions(
    plan: Plan, place: Place, lamps: Mapping[str, Any], potted_saucer: bool = False, in_ground: bool = False
) -> tuple[MonthConditions, ...]:
    """Twelve months of one place, in the plants' months.

    potted_saucer: the pot has water of its own, so neither the unit's level nor its moisture tells how wet it stands.
    in_ground: planted in the open, where the ground keeps the coldest night from it to a degree nobody knows.
    """
    unit = plan.water_units[place.water]
    day, night = plan.year("temperature_day", "usual"), plan.year("temperature_night", "usual")
    peak, lowest = plan.year("temperature_day", "peak"), plan.year("temperature_night", "lowest")
    hours, humidity, night_humidity = plan.year("photoperiod"), plan.year("humidity"), plan.year("night_humidity")
    speed, level = plan.year("air_speed"), unit.year("level")
    flux = flux_at_leaf(place, lamps)
    light = place.year("light", "dli")
    crown = place.given.get("crown_height")
    moisture = next((place.words(key) for key in WETNESS if key in place.given), unit.words("moisture"))
    solids, alkalinity, root = (
        unit.year("supply", "solids"),
        unit.year("supply", "alkalinity"),
        unit.year("root_solids"),
    )
    root_temperature = place.year("medium", "root_temperature")
    months = []
    for plant_month in range(12):
        m = (plan.midwinter - 1 + plant_month) % 12
        dli = light[m] if light[m] != UNKNOWN else _dli(flux[m], hours[m])
        table = UNKNOWN if crown is None or level[m] == UNKNOWN or potted_saucer else minus((crown, crown), level[m])
        months.append(
            MonthConditions(
                temperature_day=day[m],
                temperature_night=night[m],
                peak=_peak(peak[m], day[m]),
                lowest=_lowest(lowest[m], night[m], GROUND_KEEPS if in_ground else 0.0),
                night_drop=minus(day[m], night[m]),
                photoperiod=hours[m],
                humidity=humidity[m],
                night_humidity=night_humidity[m],
                air_speed=speed[m],
                ppfd=flux[m],
                dli=dli,
                table_below_crown=table,
                moisture="?" if potted_saucer and "moisture" not in place.given else moisture[m],
                solids_supply=solids[m],
                alkalinity=alkalinity[m],
                root_solids=root[m],
                root_temperature=root_temperature[m],
            )
        )
    return tuple(months)


def _peak(stated: Interval, usual: Interval) -> Interval:
    """An unstated peak is at least the usual high."""
    return stated if stated != UNKNOWN else (usual[0], UNKNOWN[1]) if usual != UNKNOWN else UNKNOWN


def _lowest(stated: Interval, usual: Interval, kept: float) -> Interval:
    """An unstated lowest is at most the usual low; ``kept``: how much milder it may be at the plant. [K]"""
    lowest = stated if stated != UNKNOWN else (UNKNOWN[0], usual[1]) if usual != UNKNOWN else UNKNOWN
    return lowest if lowest == UNKNOWN else (lowest[0], lowest[1] + kept)


def flux_at_leaf(place: Place, lamps: Mapping[str, Any]) -> Year:
    """Photon flux as stated, else from the illuminance stated and the kind of lamp. [umol m-2 s-1]"""
    stated = place.year("light", "ppfd")
    if stated[0] != UNKNOWN:
        return stated
    lux = place.year("light", "illuminance")
    constant = lamps.get(place.given.get("light", {}).get("lamp", "unknown"), lamps["unknown"]).get("lux_per_ppfd")
    if constant is None:  # lux is not valid under this lamp
        return tuple(UNKNOWN for _ in lux)
    low, high = span(constant)
    return tuple(UNKNOWN if v == UNKNOWN else (photon_flux(v[0], high), photon_flux(v[1], low)) for v in lux)


def _dli(flux: Interval, hours: Interval) -> Interval:
    if UNKNOWN in (flux, hours):
        return UNKNOWN
    return (daily_light_integral(flux[0], hours[0]), daily_light_integral(flux[1], hours[1]))
