"""Day length and sunlight of a latitude through the year, after FAO-56 (Allen et al. 1998), chapter 3.

Every function takes numbers or numpy arrays; NaN in gives NaN out. Day length is geometric: from sunrise to sunset it
is 0.1 to 0.5 h longer, since air bends light and the sun is a disc.
"""

from __future__ import annotations

import math

from bogwright.physics.elementwise import Number, arccos, cos, maximum, minimum, sin, tan
from bogwright.physics.ranges import within

# day of the year of the 15th of January to December, in a common year
MIDMONTH = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)
# micromoles of photons (400-700 nm) in a joule of them, sun and sky: Thimijan & Heins 1983, Table 3
PHOTONS_PER_JOULE = 4.57
# Share of the energy of sun and sky in 400-700 nm, least and greatest: 0.451 to 0.467 from day to day in Cyprus
# (par-share-cyprus), 0.473 a year in Athens (par-share-athens), 50 ± 3 % (szeicz-1974). Ids are of kb/sources.
PHOTOSYNTHETIC_SHARE = (0.45, 0.53)
# MJ m⁻² min⁻¹: FAO-56 eq. 21
SOLAR_CONSTANT = 0.0820


def _check_day(day: Number) -> None:
    within(day, 1, 366, "day of the year")


def declination(day: Number) -> Number:
    """Declination of the sun. [rad]

    day: of the year, 1 to 366, else OutOfRange. Source: FAO-56, eq. 24.
    """
    _check_day(day)
    return 0.409 * sin(2 * math.pi / 365 * day - 1.39)


def sunset_hour_angle(latitude: Number, day: Number) -> Number:
    """Hour angle of sunset: 0 in polar night, π where the sun does not set. [rad]

    latitude: -90 to 90, north positive. [°] day: 1 to 366. OutOfRange beyond. Source: FAO-56, eq. 25.
    """
    within(latitude, -90, 90, "latitude", "°")
    cosine = -tan(latitude * math.pi / 180) * tan(declination(day))
    return arccos(maximum(minimum(cosine, 1.0), -1.0))


def day_length(latitude: Number, day: Number) -> Number:
    """Hours from geometric sunrise to sunset. [h]

    latitude: -90 to 90. [°] day: 1 to 366. OutOfRange beyond. Source: FAO-56, eq. 34.
    """
    return 24 / math.pi * sunset_hour_angle(latitude, day)


def extraterrestrial_radiation(latitude: Number, day: Number) -> Number:
    """Sun on a level surface above the air. [MJ m⁻² d⁻¹]

    latitude: -90 to 90. [°] day: 1 to 366. OutOfRange beyond. Source: FAO-56, eq. 21 and 23.
    """
    sunset = sunset_hour_angle(latitude, day)
    phi, delta = latitude * math.pi / 180, declination(day)
    nearness = 1 + 0.033 * cos(2 * math.pi / 365 * day)
    height = sunset * sin(phi) * sin(delta) + cos(phi) * cos(delta) * sin(sunset)
    # the sum can fall below 0 by rounding in polar night
    return 24 * 60 / math.pi * SOLAR_CONSTANT * nearness * maximum(height, 0.0)


def solar_radiation(extraterrestrial: Number, sunshine: Number) -> Number:
    """Sun and sky on open, level ground. [MJ m⁻² d⁻¹]

    extraterrestrial: at least 0. [MJ m⁻² d⁻¹] sunshine: share of the day with sun, 0 to 1. OutOfRange beyond.
    Source: FAO-56, eq. 35 with its a = 0.25 and b = 0.50 where none were fitted.
    """
    within(extraterrestrial, 0, math.inf, "extraterrestrial radiation", "MJ m⁻² d⁻¹")
    within(sunshine, 0, 1, "share of sunshine")
    return (0.25 + 0.5 * sunshine) * extraterrestrial


def daylight_integral(radiation: Number, photosynthetic: Number) -> Number:
    """Daily light integral of sun and sky. [mol m⁻² d⁻¹]

    radiation: at least 0. [MJ m⁻² d⁻¹] photosynthetic: share of its energy in 400-700 nm, 0 to 1, such as
    PHOTOSYNTHETIC_SHARE. OutOfRange beyond.
    """
    within(radiation, 0, math.inf, "solar radiation", "MJ m⁻² d⁻¹")
    within(photosynthetic, 0, 1, "photosynthetic share")
    return radiation * photosynthetic * PHOTONS_PER_JOULE
