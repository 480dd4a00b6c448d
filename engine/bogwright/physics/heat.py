"""Heat of a case and its pots: what panes and air carry off, how warm it settles, how fast it cools.

Every function takes numbers or numpy arrays; NaN in gives NaN out.
"""

from __future__ import annotations

import math

from bogwright.physics.elementwise import Number, exp, log, sqrt, where
from bogwright.physics.ranges import within

# Heat that a cubic metre of air carries for each kelvin. [Wh/(m³ K)] From memory: 1.2 kg/m³ of 1005 J/(kg K), at 20 °C
# by the sea; a tenth less at 1000 m.
AIR_HEAT_CAPACITY = 0.335
LEAST_LOSS = 1e-6

# Figures for those who compose. Ids are of kb/sources.
# Resistance of one face of a pane: upright, under a lid (heat goes up), on a floor (heat goes down), outdoors in wind.
# [m² K/W] Source: ISO 6946 (iso-6946-resistances).
SURFACE_RESISTANCE = {"wall": 0.13, "lid": 0.10, "floor": 0.17, "outdoors": 0.04}
# Thermal conductivity. [W/(m K)] Source: EN ISO 10077-2 (en-iso-10077-2-conductivities).
CONDUCTIVITY = {"glass": 1.0, "acrylic": 0.18, "polycarbonate": 0.20}


def _amount(value: Number, what: str, unit: str) -> None:
    within(value, 0, math.inf, what, unit)


def pane_conductance(thickness: Number, conductivity: Number, surface_resistance: Number) -> Number:
    """Heat through a pane for each square metre and kelvin between the air on both sides. [W/(m² K)]

    thickness: at least 0. [m] conductivity: above 0. [W/(m K)] surface_resistance: of both faces together, above 0.
    [m² K/W] OutOfRange beyond. Source: ISO 6946, 1 / (Rsi + d/λ + Rse).
    """
    _amount(thickness, "thickness of the pane", "m")
    within(conductivity, 1e-3, math.inf, "conductivity", "W/(m K)")
    within(surface_resistance, 1e-3, math.inf, "surface resistance", "m² K/W")
    return 1 / (surface_resistance + thickness / conductivity)


def heat_loss(area: Number, conductance: Number, flow: Number) -> Number:
    """Heat that panes and exchanged air carry off for each kelvin above the room, evaporation aside. [W/K]

    area: of the panes, at least 0. [m²] conductance: at least 0. [W/(m² K)] flow: at least 0. [m³/h] OutOfRange below.
    """
    _amount(area, "area of the panes", "m²")
    _amount(conductance, "conductance", "W/(m² K)")
    _amount(flow, "air exchange", "m³/h")
    return area * conductance + AIR_HEAT_CAPACITY * flow


def warmth_above_room(power: Number, loss: Number) -> Number:
    """How much warmer than the room a case settles. [K]

    power: heat that stays in the case, at least 0. [W] loss: above 0. [W/K] OutOfRange beyond.
    """
    _amount(power, "power", "W")
    within(loss, LEAST_LOSS, math.inf, "heat loss", "W/K")
    return power / loss


def hours_until(
    start: Number, outside: Number, limit: Number, capacity: Number, loss: Number, power: Number = 0.0
) -> Number:
    """Time until a case that cools or warms reaches a limit. [h] Infinite if it never does, or moves away from it.

    start, outside, limit: [°C] capacity: heat that warms the case by one kelvin, above 0. [J/K] loss: above 0. [W/K]
    power: heat that goes on, at least 0. [W] OutOfRange beyond. One lump of one temperature.
    """
    within(capacity, LEAST_LOSS, math.inf, "heat capacity", "J/K")
    within(loss, LEAST_LOSS, math.inf, "heat loss", "W/K")
    _amount(power, "power", "W")
    settles = outside + power / loss
    before, after = start - settles, limit - settles
    # the limit lies on the way: on the same side of the end as the start, and nearer to it
    unknown = (before != before) | (after != after)
    reached = (before == after) | ((before * after > 0) & (abs(before) > abs(after)))
    ratio = where(reached & (after != 0), before / where(after != 0, after, 1.0), 1.0)
    return where(unknown, math.nan, where(reached, capacity / loss / 3600 * log(ratio), math.inf))


def damping_depth(diffusivity: Number, period: Number) -> Number:
    """Depth at which a swing of the surface's temperature has shrunk to 37 %. [m]

    diffusivity: thermal, of the medium, at least 0. [m²/s] period: of the swing, at least 0. [s] OutOfRange below.
    Source: heat conduction into a half space, √(κP/π).
    """
    _amount(diffusivity, "thermal diffusivity", "m²/s")
    _amount(period, "period", "s")
    return sqrt(diffusivity * period / math.pi)


def damped(mean: Number, amplitude: Number, depth: Number, damping: Number) -> tuple[Number, Number]:
    """Least and greatest temperature at a depth under a surface that swings. [°C]

    mean, amplitude: of the surface, amplitude half of the swing, at least 0. [°C, K] depth: at least 0. [m]
    damping: damping depth, above 0. [m] OutOfRange beyond. Holds under a surface that is wide against the depth: the
    wall of a pot in the sun lets the swing in from the side.
    """
    _amount(amplitude, "amplitude", "K")
    _amount(depth, "depth", "m")
    within(damping, LEAST_LOSS, math.inf, "damping depth", "m")
    swing = amplitude * exp(-depth / damping)
    return mean - swing, mean + swing
