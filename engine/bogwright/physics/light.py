"""Light: illuminance, photon flux, the daily light integral, and how light falls off from a lamp.

The geometry takes numbers or numpy arrays, in any one unit of length; NaN in gives NaN out.
"""

from __future__ import annotations

import math

from bogwright.physics.elementwise import Number, arctan, maximum, minimum, sqrt
from bogwright.physics.ranges import within

# seconds in an hour over micromoles in a mole
MOL_PER_UMOL_HOUR = 0.0036


def _positive(value: Number, what: str) -> None:
    within(value, 1e-9, math.inf, what)


def daily_light_integral(ppfd: float, hours: float) -> float:
    """Daily light integral of a constant photon flux. [mol m-2 d-1]

    ppfd: photosynthetic photon flux density, 400-700 nm, at least 0. [umol m-2 s-1]
    hours: hours of light a day, 0 to 24. [h]
    NaN in gives NaN out. Source: Apogee Instruments, "Conversion of instantaneous to integrated PPFD".
    """
    return ppfd * hours * MOL_PER_UMOL_HOUR


def photon_flux(illuminance: float, lux_per_ppfd: float) -> float:
    """Photon flux density of a lamp from its illuminance. [umol m-2 s-1]

    illuminance: [lx]. lux_per_ppfd: the lamp's conversion constant, above 0. [lx / (umol m-2 s-1)]
    Source: Thimijan & Heins 1983, HortScience 18(6):818-822, Table 3 (divide lux by the constant).
    """
    return illuminance / lux_per_ppfd


def lamp_flux(lumens: Number, lux_per_ppfd: Number) -> Number:
    """Photon flux of a lamp from its label. [umol s-1]

    lumens: luminous flux, at least 0. [lm] lux_per_ppfd: the lamp's conversion constant, above 0. [lx / (umol m-2 s-1)]
    OutOfRange beyond. Source: Thimijan & Heins 1983, HortScience 18(6):818-822, Table 3.
    """
    within(lumens, 0, math.inf, "luminous flux", "lm")
    _positive(lux_per_ppfd, "lux per photon flux")
    return lumens / lux_per_ppfd


def _corner(x: Number, y: Number) -> Number:
    """Configuration factor of a rectangle x by y heights, one corner above the spot; odd in x and in y."""
    across, along = sqrt(1 + x * x), sqrt(1 + y * y)
    return (x / across * arctan(y / across) + y / along * arctan(x / along)) / (2 * math.pi)


def rectangle_factor(width: Number, depth: Number, dx: Number, dy: Number, height: Number) -> Number:
    """Share of a uniform Lambertian rectangle's brightness that a level spot below it gets, 0 to 1.

    width, depth: of the source, at least 0. dx, dy: from its centre to above the spot, along width and depth.
    height: from spot to source, above 0. OutOfRange beyond. The source faces down and nothing is in between; walls that
    reflect add to it. Source: configuration factor of an element to a parallel rectangle, by superposition of corners.
    """
    within(width, 0, math.inf, "width of the source")
    within(depth, 0, math.inf, "depth of the source")
    _positive(height, "height of the source")
    left, right = (dx - width / 2) / height, (dx + width / 2) / height
    near, far = (dy - depth / 2) / height, (dy + depth / 2) / height
    factor = _corner(right, far) - _corner(left, far) - _corner(right, near) + _corner(left, near)
    return minimum(maximum(factor, 0.0), 1.0)  # rounding


def disc_factor(radius: Number, offset: Number, height: Number) -> Number:
    """Share of a uniform Lambertian disc's brightness that a level spot below it gets, 0 to 1.

    radius: at least 0. offset: from its axis to the spot. height: from spot to disc, above 0. OutOfRange beyond.
    Source: configuration factor of an element to a parallel disc; on the axis r² / (r² + h²).
    """
    within(radius, 0, math.inf, "radius of the source")
    _positive(height, "height of the source")
    to_axis, to_edge = offset * offset + height * height, radius * radius
    span = sqrt((to_axis + to_edge) ** 2 - 4 * offset * offset * to_edge)
    return minimum(maximum((1 - (to_axis - to_edge) / span) / 2, 0.0), 1.0)  # rounding


def ppfd_under(flux: Number, area: Number, factor: Number) -> Number:
    """Photon flux density under a flat lamp. [umol m-2 s-1]

    flux: of the lamp, all of it downward, at least 0. [umol s-1] area: of its shining face, above 0. [m2]
    factor: configuration factor, 0 to 1. OutOfRange beyond.
    """
    within(flux, 0, math.inf, "photon flux", "µmol/s")
    _positive(area, "area of the lamp")
    within(factor, 0, 1, "configuration factor")
    return flux / area * factor


def from_reading(reading: Number, factor_here: Number, factor_at_reading: Number) -> Number:
    """Light at one spot from a reading at another under the same lamp, in the reading's unit.

    reading: at least 0. factor_here, factor_at_reading: configuration factors, 0 to 1, the second above 0.
    OutOfRange beyond.
    """
    within(reading, 0, math.inf, "reading")
    within(factor_here, 0, 1, "configuration factor")
    within(factor_at_reading, 1e-9, 1, "configuration factor at the reading")
    return reading * factor_here / factor_at_reading


def inverse_square(value: Number, distance: Number, other_distance: Number) -> Number:
    """Light on the axis at another distance from a small source, in the value's unit.

    value: at `distance`, at least 0. distances: above 0. OutOfRange beyond. Within 1 % where inverse_square_holds for
    both distances.
    """
    within(value, 0, math.inf, "light")
    _positive(distance, "distance")
    _positive(other_distance, "distance")
    return value * (distance / other_distance) ** 2


def inverse_square_holds(distance: Number, size: Number) -> Number:
    """Whether a source is small enough for the inverse-square law to hold within 1 %: bool, or an array of them.

    distance: at least 0. size: the source's largest dimension, at least 0. OutOfRange below.
    Source: ANSI/IES LS-1, 9.1.1 inverse-square law, note (the five-times rule).
    """
    within(distance, 0, math.inf, "distance")
    within(size, 0, math.inf, "size of the source")
    return distance >= 5 * size


def wall_shade(rise: Number, gap: Number) -> Number:
    """Share of the diffuse light on a level spot that a long wall beside it hides, 0 to 0.5.

    rise: height of the wall above the spot, at least 0. gap: from spot to wall, above 0. OutOfRange beyond.
    (1 - cos β) / 2 under an evenly bright sky, β the angle up to the wall's top.
    """
    within(rise, 0, math.inf, "rise of the wall")
    _positive(gap, "gap to the wall")
    return (1 - gap / sqrt(gap * gap + rise * rise)) / 2
