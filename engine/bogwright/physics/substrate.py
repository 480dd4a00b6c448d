"""Substrate: water held at a suction, water passed at a suction, and water lifted through layers.

Suction is in centimetres of water, positive where water is held above the level of free water; in a substrate at rest
over a water table it equals the height above that table.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from bogwright.physics.elementwise import Number, exp, log, maximum, sin, sqrt, where
from bogwright.physics.ranges import OutOfRange, within

Conductivity = Callable[[Number], Number]  # suction [cm] to conductivity [cm/d]

# Suctions of De Boodt & Verdonck 1972, Acta Horticulturae 26:37-44: container capacity, the ends of the easily
# available and of the buffering water. [cm] EN 13041:2011 measures air and water at the first.
CONTAINER_CAPACITY, EASILY_AVAILABLE, BUFFERING = 10.0, 50.0, 100.0

# Water at 20 °C (CoolProp 8.0.0) and standard gravity
SURFACE_TENSION, DENSITY, VISCOSITY, GRAVITY = 0.07282, 998.21, 1.0016e-3, 9.80665  # N/m, kg/m³, Pa s, m/s²


@dataclass(frozen=True)
class Retention:
    """Van Genuchten curve of one material, with Mualem's conductivity where ks is given.

    theta_r, theta_s: residual and saturated water content. [m³/m³] alpha: [1/cm] n: above 1.
    ks: conductivity at saturation; None where it was not measured. [cm/d] l: Mualem's exponent, from -1 where ks is
    given: fitted Sphagnum sets below that lift water by metres, against measurement (Price et al. 2008); take
    `exponential_through` measured points there. porosity: where pores hold air even at saturation, as in living moss.
    Raises OutOfRange. Source: van Genuchten 1980, Soil Sci. Soc. Am. J. 44:892-898.
    """

    theta_r: float
    theta_s: float
    alpha: float
    n: float
    ks: float | None = None
    l: float = 0.5  # noqa: E741 - the letter of the literature
    porosity: float | None = None

    def __post_init__(self) -> None:
        within(self.theta_r, 0, self.theta_s, "residual water content", "m³/m³")
        within(self.theta_s, 0, self.pore_space, "saturated water content", "m³/m³")
        within(self.pore_space, 0, 1, "porosity", "m³/m³")
        within(self.alpha, math.ulp(0.0), math.inf, "alpha", "1/cm")
        within(self.n, math.nextafter(1, 2), math.inf, "n")
        if self.ks is not None:
            within(self.ks, 0, math.inf, "conductivity at saturation", "cm/d")
            within(self.l, -1, math.inf, "exponent l of the conductivity")

    @property
    def pore_space(self) -> float:
        return self.theta_s if self.porosity is None else self.porosity

    def _saturation(self, suction: Number) -> Number:
        return (1 + (self.alpha * maximum(suction, 0.0)) ** self.n) ** (1 / self.n - 1)

    def content(self, suction: Number) -> Number:
        return self.theta_r + (self.theta_s - self.theta_r) * self._saturation(suction)

    def conducts(self, suction: Number) -> Number:
        if self.ks is None:
            raise ValueError("capillary supply not predicted: needs the material's conductivity")
        m = 1 - 1 / self.n
        scaled = (self.alpha * maximum(suction, 0.0)) ** self.n
        open_share = 1 - (1 - 1 / (1 + scaled)) ** m  # 1 / (1 + scaled) is saturation^(1/m)
        return self.ks * self._saturation(suction) ** self.l * open_share**2


@dataclass(frozen=True)
class Campbell:
    """Power-law curve of one material, as fitted to peat tiers by Letts et al. 2000, Atmosphere-Ocean 38.

    porosity: [m³/m³] b: exponent. entry: suction at which air enters. [cm] ks: [cm/d] or None. Raises OutOfRange.
    """

    porosity: float
    b: float
    entry: float
    ks: float | None = None

    def __post_init__(self) -> None:
        within(self.porosity, 0, 1, "porosity", "m³/m³")
        within(self.b, math.ulp(0.0), math.inf, "exponent b")
        within(self.entry, math.ulp(0.0), math.inf, "suction at which air enters", "cm")

    @property
    def pore_space(self) -> float:
        return self.porosity

    def content(self, suction: Number) -> Number:
        return self.porosity * (self.entry / maximum(suction, self.entry)) ** (1 / self.b)

    def conducts(self, suction: Number) -> Number:
        if self.ks is None:
            raise ValueError("capillary supply not predicted: needs the material's conductivity")
        return self.ks * (self.entry / maximum(suction, self.entry)) ** (2 + 3 / self.b)


@dataclass(frozen=True)
class Tabled:
    """Water content read at a few suctions, for a material known only by its classes; it has no conductivity.

    points: (suction cm, water content m³/m³), suctions rising, contents not rising; the first is the porosity at 1 cm.
    """

    points: tuple[tuple[float, float], ...]
    ks: ClassVar[None] = None

    def __post_init__(self) -> None:
        for (drier, less), (wetter, more) in zip(self.points[1:], self.points, strict=False):
            if not (0 < wetter < drier and 0 <= less <= more <= 1):
                raise OutOfRange("water contents must not rise with suction, nor lie outside 0 to 1")

    @property
    def pore_space(self) -> float:
        return self.points[0][1]

    def content(self, suction: Number) -> Number:
        within(suction, -math.inf, self.points[-1][0], "suction of a material known by its classes", "cm")
        found = suction * 0 + self.points[0][1]
        for (low, more), (high, less) in zip(self.points, self.points[1:], strict=False):
            share = log(maximum(suction, low) / low) / math.log(high / low)
            found = where(suction > low, more + (less - more) * share, found)
        return found

    def conducts(self, suction: Number) -> Number:
        raise ValueError("capillary supply not predicted: needs the material's conductivity")


_NONE = 1e-300  # cm/d: so that a material that passes nothing divides nothing by zero

Material = Retention | Campbell | Tabled
Mix = Sequence[tuple[Material, float]]  # materials and their shares by volume


def by_classes(porosity: tuple[float, float], contents: Mapping[float, tuple[float, float]]) -> tuple[Tabled, Tabled]:
    """Driest and wettest curve of a material known by its classes only. [m³/m³]

    porosity: least and greatest. contents: suction [cm], such as 10, 50 and 100, to least and greatest water content.
    Linear in the logarithm of suction between; saturated up to 1 cm (pF 0); beyond the last suction OutOfRange.
    """
    for suction in contents:
        within(suction, math.nextafter(1, 2), math.inf, "suction of a class", "cm")
    rows = {1.0: porosity, **contents}
    driest, wettest = (Tabled(tuple((h, rows[h][k]) for h in sorted(rows))) for k in (0, 1))
    return driest, wettest


def water_content(material: Material, suction: Number) -> Number:
    """Water content at a suction. [m³/m³] suction: [cm]; below 0 the material is under water."""
    return material.content(suction)


def air_content(material: Material, suction: Number) -> Number:
    """Air-filled share of the volume at a suction. [m³/m³] suction: [cm]"""
    return material.pore_space - material.content(suction)


def conductivity(material: Material, suction: Number) -> Number:
    """Conductivity at a suction. [cm/d] ValueError where the material's conductivity is not known."""
    return material.conducts(suction)


def _shares(mix: Mix) -> None:
    within(sum(share for _, share in mix), 0.999, 1.001, "sum of the shares of a mix")


def mixed_water_content(mix: Mix, suction: Number) -> Number:
    """Water content of a mix: the contents of its materials by their shares of volume. [m³/m³]

    Basis: every material keeps its own pores, as loose components of like grain do. Where a fine one fills the gaps of
    a coarse one the mix holds less air and less in all than this says.
    """
    _shares(mix)
    return sum(share * material.content(suction) for material, share in mix)


def mixed_conductivity(mix: Mix, suction: Number) -> tuple[Number, Number]:
    """Least and greatest conductivity a mix can have: its materials in series and side by side. [cm/d]

    No arrangement of the materials passes less or more: the bounds of Wiener 1912, told by Sawicz & Golden 1995.
    """
    _shares(mix)
    each = [(maximum(material.conducts(suction), _NONE), share) for material, share in mix]
    return 1 / sum(share / k for k, share in each), sum(share * k for k, share in each)


class WaterClasses(NamedTuple):
    """Shares of the volume. [m³/m³]"""

    air: Number
    easily_available: Number
    buffer: Number


def water_classes(content_at: Callable[[Number], Number], pore_space: float | None = None) -> WaterClasses:
    """Air at 10 cm suction, water released from 10 to 50 and from 50 to 100 cm. [m³/m³]

    content_at: suction [cm] to water content. pore_space: where the material is not full at suction 0.
    Source: De Boodt & Verdonck 1972; air and water at 10 cm as in EN 13041:2011.
    """
    full = content_at(0.0) if pore_space is None else pore_space
    held, tight, tighter = (content_at(h) for h in (CONTAINER_CAPACITY, EASILY_AVAILABLE, BUFFERING))
    return WaterClasses(full - held, held - tight, tight - tighter)


def moisture_class(suction: Number) -> Number:
    """Word for a suction: flooded below 0, wet below 10, damp to 50, barely-damp to 100, else dry; None where unknown.

    suction: [cm] The boundaries are those of De Boodt & Verdonck 1972; the words are this project's.
    """
    drier = where(suction > EASILY_AVAILABLE, where(suction > BUFFERING, "dry", "barely-damp"), "damp")
    found = where(suction < CONTAINER_CAPACITY, where(suction < 0, "flooded", "wet"), drier)
    return where(suction != suction, None, found)


# Lift through layers

DRIEST = 15000.0  # cm, near pF 4.2, the wilting point: beyond it the lift has ended
_NEAR = 0.1  # cm: steps are even below this suction and grow with it above
_STEP = 0.15  # of the logarithm of suction


@dataclass(frozen=True)
class Layer:
    """One layer of substrate. thickness: [cm] conductivity: suction [cm] to conductivity [cm/d], not rising."""

    thickness: float
    conductivity: Conductivity


def exponential(ks: float, alpha: float) -> Conductivity:
    """Conductivity ks·exp(−alpha·suction), the form of Gardner 1958. [cm/d] ks: [cm/d] alpha: [1/cm]"""
    return lambda suction: ks * exp(-alpha * maximum(suction, 0.0))


def exponential_through(ks: float, suction: float, passes: float) -> Conductivity:
    """Exponential conductivity through two measured points. [cm/d] ks: at 0. suction: [cm] passes: measured there.

    Beyond the second point the fall is carried on at the same rate.
    """
    return exponential(ks, math.log(ks / passes) / suction)


def _across(layer: Layer, start: float, flux: float) -> float:
    """Suction at the top of a layer with `start` at its foot, infinite where it would pass DRIEST. [cm]

    Darcy-Buckingham for a steady upward flux q: dz = dh / (1 + q/K(h)); Simpson's rule in steps even in ln(h + _NEAR).
    """

    def per_suction(h: float) -> float:
        k: float = layer.conductivity(h)
        return k / (k + flux)

    def risen(low: float, at_low: float, x: float) -> tuple[float, float, float]:
        """Height gained from suction low over a step of x, the suction at its end, the integrand there."""
        scale = low + _NEAR
        middle, high = scale * math.exp(x / 2) - _NEAR, scale * math.exp(x) - _NEAR
        at_high = per_suction(high)
        inner = 4 * per_suction(middle) * (middle + _NEAR)
        return x / 6 * (at_low * scale + inner + at_high * (high + _NEAR)), high, at_high

    h, left, at_h = start, layer.thickness, per_suction(start)
    while h < DRIEST:
        gained, high, at_high = risen(h, at_h, _STEP)
        if gained >= left:
            break
        h, left, at_h = high, left - gained, at_high
    else:
        return math.inf
    shortest, longest = 0.0, _STEP  # the top lies within this step: halve its length
    for _ in range(12):
        middle = (shortest + longest) / 2
        shortest, longest = (middle, longest) if risen(h, at_h, middle)[0] < left else (shortest, middle)
    return (h + _NEAR) * math.exp(longest) - _NEAR


def suction_above(layers: Sequence[Layer], flux: float) -> float:
    """Suction at the top of layers over a water table while so much water rises steadily. [cm]

    layers: from the water table up. flux: at least 0, what the surface gives off. [cm/d]
    Infinite where the lift breaks: the top dries out. Plain numbers only. Within 0.5 % of an exact integral for the
    conductivities of this module. Source: steady Darcy-Buckingham flow, as in Gardner 1958.
    """
    within(flux, 0, math.inf, "flux", "cm/d")
    if any(v != v for v in (flux, *(layer.thickness for layer in layers))):
        return math.nan
    h = 0.0
    for layer in layers:
        if h == math.inf:
            break
        h = h + layer.thickness if flux == 0 else _across(layer, h, flux)
    return h


def greatest_supply(layers: Sequence[Layer]) -> float:
    """Greatest steady flux the layers can lift from the water table; infinite without layers. [cm/d]

    layers: from the water table up. Below 0.0001 cm/d given as 0. Within 0.5 %. Plain numbers only.
    """
    low, high = math.log(1e-4), math.log(1e-4)
    if suction_above(layers, math.exp(low)) == math.inf:
        return 0.0
    while suction_above(layers, math.exp(high)) < math.inf:
        low, high = high, high + 3
        if high > 30:
            return math.inf
    while high - low > 2e-3:
        middle = (low + high) / 2
        low, high = (middle, high) if suction_above(layers, math.exp(middle)) < math.inf else (low, middle)
    return math.exp((low + high) / 2)


def suction_passing(passes: Conductivity, flux: float) -> float:
    """Suction at which water runs down through a deep layer at so small a flux; 0 where it cannot pass so much. [cm]

    passes: the layer's conductivity by suction. flux: above 0. [cm/d]
    Under gravity alone a layer carries a flux equal to its conductivity. Over a coarse layer this is the suction at
    which drainage into it has all but ended, once flux is a rate that no longer matters.
    """
    within(flux, math.ulp(0.0), math.inf, "flux", "cm/d")
    low, high = 0.0, DRIEST
    if passes(low) <= flux:
        return low
    while high - low > 1e-3 * max(low, 1e-2):
        middle = (low + high) / 2
        low, high = (middle, high) if passes(middle) > flux else (low, middle)
    return (low + high) / 2


def drained_suction(height: Number, boundary: Number = 0.0) -> Number:
    """Suction at a height above the foot of a layer that has drained and gives off nothing. [cm]

    height: above the foot. [cm] boundary: suction at the foot: 0 at a pot's open bottom, where water must stand before
    it drips; over a coarse layer `suction_passing` of that layer, so that water is perched above it; never more than
    the height of the foot above standing water.
    """
    within(height, 0, math.inf, "height", "cm")
    return boundary + height


# Closed forms


def gardner_flux(ks: Number, alpha: Number, depth: Number, surface_suction: Number = math.inf) -> Number:
    """Steady flux up from a water table through conductivity ks·exp(−alpha·suction); below 0 is downward. Unit of ks.

    alpha: [1/cm] depth: of the water table. [cm] surface_suction: [cm]; infinite gives the greatest flux.
    Source: Gardner 1958, Soil Sci. 85:228-232 (closed form derived).
    """
    within(depth, math.ulp(0.0), math.inf, "depth of the water table", "cm")
    still = exp(-alpha * depth)  # relative conductivity where suction equals height: no flow
    return ks * (still - exp(-alpha * surface_suction)) / (1 - still)


def gardner_limit(n: Number, a: Number, depth: Number) -> Number:
    """Greatest steady flux up from a water table through conductivity a / suction^n. [cm/d for a in cm^(n+1)/d]

    n: above 1. depth: of the water table. [cm]
    Source: Gardner 1958, for all n > 1 by Warrick 1988; Gardner's printed coefficients are up to 0.5 % off.
    """
    within(n, math.nextafter(1, 2), math.inf, "n")
    return (math.pi / (n * sin(math.pi / n))) ** n * a * depth**-n


def jurin_rise(diameter: Number) -> Number:
    """Height to which water at 20 °C rises in a fully wetted tube or pore. [cm] diameter: up to 2. [mm]

    Source: Jurin's law. Dry peat repels water and does not lift it until wetted.
    """
    within(diameter, math.ulp(0.0), 2, "diameter", "mm")
    return 4 * SURFACE_TENSION / (DENSITY * GRAVITY * diameter / 1000) * 100


def widest_wet_pore(suction: Number) -> Number:
    """Diameter of the widest pore that still holds water. [mm] suction: at least 1.5. [cm] Inverse of `jurin_rise`."""
    within(suction, 1.48, math.inf, "suction", "cm")
    return 4 * SURFACE_TENSION / (DENSITY * GRAVITY * suction / 100) * 1000


def washburn(diameter: Number, seconds: Number) -> Number:
    """Distance water at 20 °C runs along level pores in a time; upright only while small against `jurin_rise`. [cm]

    diameter: of the pores, fully wetted. [mm] Source: Washburn 1921, Phys. Rev. 17:273.
    """
    return sqrt(SURFACE_TENSION * diameter / 1000 * seconds / (4 * VISCOSITY)) * 100


def wick_capacity(passes: Number, area: Number, lift: Number, length: Number, suction: Number) -> Number:
    """Water a wick carries in a day; 0 where the medium does not pull hard enough. [L/d]

    passes: conductivity of the wick at its mean suction. [cm/d] area: of its section. [cm²]
    lift: height of the medium's end above the water. [cm] length: of the wick. [cm]
    suction: of the medium at the wick's end. [cm] Darcy's law, with the head suction − lift.
    """
    return passes * area * maximum(suction - lift, 0.0) / length / 1000
