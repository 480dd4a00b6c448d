"""Water vapour in air: pressure, humidity, dew point, content, ventilation and evaporation.

Every function takes numbers or numpy arrays; NaN in gives NaN out. The saturation formula is FAO-56 eq. 11, over liquid
water also below zero, so frost on a pane forms a little sooner than the dew point says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bogwright.physics.elementwise import Number, exp, log, maximum, minimum, sqrt, where
from bogwright.physics.ranges import within

# Gas constant of water vapour. [J/(kg K)] From memory: 8.314 J/(mol K) over 18.015 g/mol.
VAPOUR_GAS_CONSTANT = 461.5
KELVIN = 273.15
COLDEST, HOTTEST = -30.0, 60.0


def _check_humidity(humidity: Number) -> None:
    within(humidity, 0, 100, "humidity", "%")


def _amount(value: Number, what: str, unit: str) -> None:
    within(value, 0, math.inf, what, unit)


def saturation_vapour_pressure(celsius: Number) -> Number:
    """Vapour pressure of saturated air over liquid water. [kPa]

    celsius: air temperature, -30 to 60, else OutOfRange. [°C] Source: FAO-56 (Allen et al. 1998), eq. 11.
    Within 0.15 % of IAPWS-95 from 0 to 60 °C; too low by 0.3 % at -10 °C, 0.7 % at -20 °C and 1.4 % at -30 °C.
    """
    within(celsius, COLDEST, HOTTEST, "temperature", "°C")
    return 0.6108 * exp(17.27 * celsius / (celsius + 237.3))


def saturation_slope(celsius: Number) -> Number:
    """Slope of the saturation vapour pressure. [kPa/K]

    celsius: -30 to 60, else OutOfRange. [°C] Source: FAO-56, eq. 13.
    """
    return 4098 * saturation_vapour_pressure(celsius) / (celsius + 237.3) ** 2


def actual_vapour_pressure(celsius: Number, humidity: Number) -> Number:
    """Vapour pressure of air of a relative humidity. [kPa]

    celsius: -30 to 60. [°C] humidity: 0 to 100. [%] OutOfRange beyond. Source: FAO-56, eq. 10 rearranged.
    """
    _check_humidity(humidity)
    return saturation_vapour_pressure(celsius) * humidity / 100


def vapour_pressure_deficit(celsius: Number, humidity: Number) -> Number:
    """What the air could still take up, for a leaf at air temperature. [kPa]

    celsius: -30 to 60. [°C] humidity: 0 to 100. [%] OutOfRange beyond. Source: FAO-56, es - ea.
    """
    return saturation_vapour_pressure(celsius) - actual_vapour_pressure(celsius, humidity)


def relative_humidity(celsius: Number, vapour_pressure: Number) -> Number:
    """Relative humidity of air that holds a vapour pressure. [%] More than 100 means that the rest condenses.

    celsius: -30 to 60, else OutOfRange. [°C] vapour_pressure: at least 0. [kPa] Source: FAO-56, eq. 10.
    """
    _amount(vapour_pressure, "vapour pressure", "kPa")
    return 100 * vapour_pressure / saturation_vapour_pressure(celsius)


def dew_point(vapour_pressure: Number) -> Number:
    """Temperature at which air of this vapour pressure is saturated. [°C]

    vapour_pressure: that of saturation at -30 to 60 °C, about 0.050 to 19.9, else OutOfRange. [kPa]
    The inverse of FAO-56 eq. 11; within 0.05 K of psychrolib and CoolProp above zero.
    """
    driest, moistest = saturation_vapour_pressure(COLDEST), saturation_vapour_pressure(HOTTEST)
    within(vapour_pressure, driest, moistest, "vapour pressure", "kPa")
    ratio = log(vapour_pressure / 0.6108)
    return 237.3 * ratio / (17.27 - ratio)


def _content(celsius: Number, vapour_pressure: Number) -> Number:
    return 1e6 * vapour_pressure / (VAPOUR_GAS_CONSTANT * (celsius + KELVIN))


def absolute_humidity(celsius: Number, humidity: Number) -> Number:
    """Mass of vapour in a volume of air. [g/m³]

    celsius: -30 to 60. [°C] humidity: 0 to 100. [%] OutOfRange beyond. Ideal gas; real moist air holds 0.5 % more.
    """
    return _content(celsius, actual_vapour_pressure(celsius, humidity))


def saturation_content(celsius: Number) -> Number:
    """Mass of vapour in a volume of saturated air. [g/m³]

    celsius: -30 to 60, else OutOfRange. [°C] Ideal gas; real moist air holds 0.5 % more.
    """
    return _content(celsius, saturation_vapour_pressure(celsius))


def humidity_from_content(celsius: Number, content: Number) -> Number:
    """Relative humidity of air that holds this much vapour. [%] More than 100 means that the rest condenses.

    celsius: -30 to 60, else OutOfRange. [°C] content: at least 0. [g/m³]
    """
    _amount(content, "vapour content", "g/m³")
    return 100 * content / saturation_content(celsius)


def air_pressure(elevation: Number) -> Number:
    """Usual air pressure at a height above the sea. [kPa]

    elevation: -500 to 5000, else OutOfRange. [m] Source: FAO-56, eq. 7 (air of 20 °C at the sea).
    """
    within(elevation, -500, 5000, "elevation", "m")
    return 101.3 * ((293 - 0.0065 * elevation) / 293) ** 5.26


def psychrometric_constant(pressure: Number) -> Number:
    """Psychrometric constant. [kPa/K]

    pressure: air pressure, 50 to 110, else OutOfRange. [kPa] Source: FAO-56, eq. 8.
    """
    within(pressure, 50, 110, "air pressure", "kPa")
    return 0.665e-3 * pressure


def vapour_pressure_by_wet_bulb(dry: Number, wet: Number, pressure: Number, coefficient: Number) -> Number:
    """Actual vapour pressure from a dry and a wet thermometer. [kPa] Below 0 no such air exists: OutOfRange.

    dry, wet: thermometers, wet at most dry. [°C] pressure: 50 to 110. [kPa] coefficient: of the instrument, 0.000662
    where a fan draws 5 m/s. [1/K] Source: FAO-56, eq. 15 and 16.
    """
    within(pressure, 50, 110, "air pressure", "kPa")
    within(dry - wet, 0, math.inf, "wet bulb depression", "K")
    vapour_pressure = saturation_vapour_pressure(wet) - coefficient * pressure * (dry - wet)
    _amount(vapour_pressure, "vapour pressure by wet bulb", "kPa")
    return vapour_pressure


def wind_at_two_metres(speed: Number, height: Number) -> Number:
    """Wind 2 m above short grass from that at another height. [m/s]

    speed: at least 0. [m/s] height: 1 to 10, else OutOfRange. [m] Source: FAO-56, eq. 47.
    """
    _amount(speed, "wind speed", "m/s")
    within(height, 1, 10, "height of the wind gauge", "m")
    return speed * 4.87 / log(67.8 * height - 5.42)


def reference_evapotranspiration(
    celsius: Number,
    net_radiation: Number,
    soil_heat: Number,
    wind: Number,
    saturation: Number,
    actual: Number,
    psychrometric: Number,
) -> Number:
    """What a short, well watered lawn outdoors gives off. [mm/d] Dew, where negative.

    celsius: mean, -30 to 60, else OutOfRange. [°C] net_radiation, soil_heat: [MJ m⁻² d⁻¹], soil heat near 0 over a day.
    wind: at 2 m, at least 0. [m/s] saturation: mean of the saturation pressures at the day's least and greatest
    temperature. [kPa] actual: vapour pressure. [kPa] psychrometric: constant. [kPa/K] Source: FAO-56, eq. 6.
    """
    _amount(wind, "wind speed", "m/s")
    slope = saturation_slope(celsius)
    radiation = 0.408 * slope * (net_radiation - soil_heat)
    drying = psychrometric * 900 / (celsius + 273) * wind * (saturation - actual)
    return (radiation + drying) / (slope + psychrometric * (1 + 0.34 * wind))


@dataclass(frozen=True, slots=True)
class CaseVapour:
    """Steady vapour of a case: content [g/m³]; condensing on the coldest surface, leaving with the air [g/h].

    leaving is below 0 where a moister room brings vapour in.
    """

    content: Number
    condensing: Number
    leaving: Number


def wet_case(
    room_content: Number,
    flow: Number,
    wet_area: Number,
    wet_celsius: Number,
    transfer: Number,
    coldest_celsius: Number,
) -> CaseVapour:
    """Steady vapour of a well-mixed case with wet surfaces, an exchange of air and a cold pane.

    room_content: vapour of the room. [g/m³] flow: exchange of air, at least 0; without any, the air is saturated at the
    coldest surface. [m³/h] wet_area: at least 0. [m²] wet_celsius, coldest_celsius: -30 to 60. [°C]
    transfer: mass transfer coefficient, at least 0. [m/h] OutOfRange beyond.
    NaN where there is neither exchange nor a wet surface: then nothing says what the air holds.
    The coldest surface is taken as a cold trap: large enough that the air holds no more than it lets stand.
    """
    for value, what, unit in (
        (room_content, "vapour content", "g/m³"),
        (flow, "air exchange", "m³/h"),
        (wet_area, "wet area", "m²"),
        (transfer, "mass transfer coefficient", "m/h"),
    ):
        _amount(value, what, unit)
    drive = wet_area * transfer
    exchange = flow + drive
    offered = flow * room_content + drive * saturation_content(wet_celsius)
    open_content = where(exchange > 0, offered / where(exchange > 0, exchange, 1.0), math.nan)
    content = minimum(open_content, saturation_content(coldest_celsius))
    leaving = flow * (content - room_content)
    condensing = maximum(exchange * (open_content - content), 0.0)
    return CaseVapour(content, condensing, leaving)


def vent_flow(opening: Number, rise: Number, warmer: Number, celsius: Number) -> Number:
    """Air that warmth drives in through a low opening and out through a high one of the same size. [m³/h]

    opening: of each, at least 0. [m²] rise: from the middle between them to either, at least 0. [m] warmer: how much
    the air inside is, 0 to 40. [K] celsius: inside, -30 to 60. [°C] OutOfRange beyond.
    Source: ASHRAE Handbook Fundamentals 1997, chapter 25, equations 37 and 38 (ashrae-thermal-flow).
    """
    _amount(opening, "opening", "m²")
    _amount(rise, "rise between the openings", "m")
    within(warmer, 0, 40, "warmth above the room", "K")
    within(celsius, COLDEST, HOTTEST, "temperature", "°C")
    discharge = 0.40 + 0.0045 * warmer
    return 3600 * discharge * opening * sqrt(2 * 9.81 * rise * warmer / (celsius + KELVIN))


def steady_content(room_content: Number, source: Number, flow: Number) -> Number:
    """Vapour that air settles to where a source feeds it, not capped at saturation. [g/m³]

    room_content: of the incoming air. [g/m³] source: at least 0. [g/h] flow: at least 0. [m³/h] OutOfRange below.
    Infinite without flow; NaN where there is neither flow nor source.
    """
    _amount(room_content, "vapour content", "g/m³")
    _amount(source, "vapour source", "g/h")
    _amount(flow, "air exchange", "m³/h")
    sealed = where(source > 0, math.inf, math.nan)
    return room_content + where(flow > 0, source / where(flow > 0, flow, 1.0), sealed)


def content_after(hours: Number, start: Number, steady: Number, air_changes: Number) -> Number:
    """Vapour of well-mixed air on its way to the steady value. [g/m³]

    hours: at least 0. [h] start, steady: [g/m³] air_changes: at least 0. [1/h] OutOfRange below.
    """
    _amount(hours, "time", "h")
    _amount(air_changes, "air changes", "1/h")
    return steady + (start - steady) * exp(-air_changes * hours)


def acclimation(celsius: Number, start_humidity: Number, target_humidity: Number, steps: int) -> list[Number]:
    """Humidities from one to another by equal steps of vapour pressure deficit, the last the target. [%]

    celsius: -30 to 60. [°C] humidities: 0 to 100. [%] steps: at least 1. OutOfRange beyond.
    """
    within(steps, 1, math.inf, "number of steps")
    saturation = saturation_vapour_pressure(celsius)
    start = vapour_pressure_deficit(celsius, start_humidity)
    target = vapour_pressure_deficit(celsius, target_humidity)
    return [100 * (1 - (start + k * (target - start) / steps) / saturation) for k in range(1, steps + 1)]
