"""Hardening a plant off, dew point, day length."""

from __future__ import annotations

import argparse
from datetime import timedelta

from bogwright.enclosure.intervals import hull
from bogwright.enclosure.watering import DAYS_IN_WEEK
from bogwright.physics import air, daylight
from bogwright.reckon.answer import Answer, Refused, Tables, figure, shown
from bogwright.sharing.months import NAMES

MOST_STEPS = 100
STOP = (
    "If leaves wilt or new growth stalls, go back one step, wait a week and go on in half steps; "
    "stop at the driest step that holds."
)


def acclimate(options: argparse.Namespace, _: Tables) -> Answer:
    """Humidity for each step of hardening off, by equal steps of drying power."""
    start, target, warm = options.first, options.target, options.at
    steps = options.steps or max(1, round(options.weeks))
    if steps > MOST_STEPS:
        raise Refused(
            f"{figure(options.weeks)} weeks are {steps} steps — give fewer --weeks, or --steps to {MOST_STEPS}"
        )
    humidities = air.acclimation(warm, start, target, steps)
    if start == target:
        raise Refused(f"it stands at {figure(start)} % already — give another --to")
    days = options.weeks * DAYS_IN_WEEK / steps
    try:
        dates = [options.start + timedelta(round(k * days)) for k in range(steps)] if options.start else None
    except OverflowError:
        raise Refused("the last step lies beyond the calendar — give an earlier --start or fewer --weeks") from None
    rows = []
    for k, humidity in enumerate(humidities):
        deficit = air.vapour_pressure_deficit(warm, humidity)
        rows.append({"step": k + 1, "from_day": round(k * days), "humidity": humidity, "vpd": deficit})
        if dates:
            rows[-1]["date"] = dates[k].isoformat()
    lines = [f"From {figure(start)} to {figure(target)} % at {figure(warm)} °C over {figure(options.weeks)} weeks:"]
    for row in rows:
        when = f"from {row['date']}" if dates else f"from day {row['from_day']}"
        lines.append(f"  step {row['step']}, {when}: {figure(row['humidity'])} %, VPD {figure(row['vpd'])} kPa")
    figures = {"steps": rows}
    return Answer((*lines, STOP), figures, ("air.acclimation", "air.vapour_pressure_deficit"))


def dew(options: argparse.Namespace, _: Tables) -> Answer:
    """Dew point, vapour pressure deficit and vapour content."""
    warm, humid = options.at, options.humidity
    pressure = hull(air.actual_vapour_pressure, warm, humid)
    point = (air.dew_point(pressure[0]), air.dew_point(pressure[1]))
    deficit = hull(air.vapour_pressure_deficit, warm, humid)
    content = hull(air.absolute_humidity, warm, humid)
    line = f"Dew point {shown(point, '°C')}: what is colder than that gets wet. VPD {shown(deficit, 'kPa')}; "
    figures = {"dew_point": point, "vpd": deficit, "content": content}
    formulas = ("air.dew_point", "air.vapour_pressure_deficit", "air.absolute_humidity")
    return Answer((f"{line}the air holds {shown(content, 'g/m³')}.",), figures, formulas)


def day(options: argparse.Namespace, _: Tables) -> Answer:
    """Day length in the middle of each month."""
    hours = [daylight.day_length(options.latitude, middle) for middle in daylight.MIDMONTH]
    told = [f"{month} {figure(h)}" for month, h in zip(NAMES, hours, strict=True)]
    where = f"{figure(abs(options.latitude))}° {'south' if options.latitude < 0 else 'north'}"
    lines = (f"Hours of day in the middle of each month, {where}:", "  " + ", ".join(told))
    return Answer(lines, {"hours": dict(zip(NAMES, hours, strict=True))}, ("daylight.day_length",))
