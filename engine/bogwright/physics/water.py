"""Water: conductivity, alkalinity, mixing, the salt balance of a vessel that is topped up, and the pH of open water.

Concentrations are of dissolved solids or of alkalinity alike: both stay behind when water evaporates.
"""

from __future__ import annotations

import math

from bogwright.physics.elementwise import Number, exp, log, maximum, sqrt, where
from bogwright.physics.ranges import within

# mg/L as CaCO3 in one unit of alkalinity, from the molar masses CaCO3 100.09, CaO 56.08, HCO3 61.02 g/mol:
# a degree is 10 mg/L CaO; an equivalent is half a mole of CaCO3 or one of bicarbonate
ALKALINITY_UNITS = {"mg/L CaCO3": 1.0, "dKH": 10 * 100.09 / 56.08, "meq/L": 100.09 / 2, "mg/L HCO3": 100.09 / 2 / 61.02}

CO2_MASS = 44.01  # g/mol


def at_25(ec: Number, celsius: Number, coefficient: Number) -> Number:
    """Conductivity at 25 °C, from one read at another temperature. [µS/cm]

    ec: conductivity as read. [µS/cm] celsius: of the water, 0 to 50. coefficient: the meter's, usually 1.9 to 2. [%/K]
    Linear compensation: a potassium chloride solution comes out within 2 % between 10 and 35 °C, up to 10 % high at 0
    and 50 °C. Raises OutOfRange.
    """
    within(celsius, 0, 50, "water temperature", "°C")
    within(coefficient, 0, 3, "temperature coefficient", "%/K")
    return ec / (1 + coefficient / 100 * (celsius - 25))


def solids_from_conductivity(ec25: Number, factor: Number) -> Number:
    """Dissolved solids. [mg/L] ec25: conductivity at 25 °C. [µS/cm] factor: of the meter or the water. [mg/L per µS/cm]

    Meters use 0.5 (sodium chloride), 0.64 or 0.7 ("442"); natural waters lie at 0.55 to 0.75 (Water Research Center,
    watercenter.org). A solids figure without its factor is ambiguous by 40 %.
    """
    within(factor, 0.4, 1, "factor of conductivity to solids", "mg/L per µS/cm")
    return ec25 * factor


def conductivity_from_solids(solids: Number, factor: Number) -> Number:
    """Conductivity at 25 °C. [µS/cm] solids: [mg/L] factor: as in `solids_from_conductivity`."""
    within(factor, 0.4, 1, "factor of conductivity to solids", "mg/L per µS/cm")
    return solids / factor


def alkalinity(value: Number, unit: str, to: str = "mg/L CaCO3") -> Number:
    """Alkalinity in another unit. unit, to: names in ALKALINITY_UNITS; KeyError for any other."""
    return value * ALKALINITY_UNITS[unit] / ALKALINITY_UNITS[to]


def mixed(share_of_first: Number, first: Number, second: Number) -> Number:
    """Concentration of two waters mixed by volume. share_of_first: 0 to 1. first, second: in the same unit."""
    within(share_of_first, 0, 1, "share of the first water")
    return second + share_of_first * (first - second)


def share_of_first(target: Number, first: Number, second: Number) -> Number:
    """Share by volume (0 to 1) of the first water that brings a mixture to the target; 0 where the waters are alike.

    Raises OutOfRange where the target does not lie between the two.
    """
    alike = first == second
    between = (target - second) / where(alike, 1.0, first - second)
    share = where(alike, where(target == second, 0.0, math.inf), between)
    within(share, 0, 1, "share of the first water")
    return share


def days_until_dry(volume: Number, evaporation: Number) -> Number:
    """Days until a vessel is empty; infinite without evaporation. volume: [L] evaporation: [L/d]"""
    still = evaporation == 0
    return where(still, math.inf, volume / where(still, 1.0, evaporation))


def _daily_rise(supply: Number, evaporation: Number, volume: Number, source: Number) -> Number:
    """Rise of the concentration in a vessel kept at its level. [mg/L per day]"""
    within(volume, math.ulp(0.0), math.inf, "volume of water", "L")
    return (evaporation * supply + source) / volume


def solids_after(
    days: Number, start: Number, supply: Number, evaporation: Number, volume: Number, source: Number
) -> Number:
    """Concentration in a vessel without outflow after so many days of topping up to the same level. [mg/L]

    start, supply: concentrations at the start and of the water added. [mg/L] evaporation: made up daily. [L/d]
    volume: of water in the vessel with its medium. [L] source: what medium, feed and dust give off. [mg/d]
    Mass balance: what evaporates is pure, so the rise is linear and has no end.
    """
    return start + _daily_rise(supply, evaporation, volume, source) * days


def after_flush(before: Number, supply: Number, flush: Number, volume: Number) -> Number:
    """Concentration after supply water has run through a well-mixed vessel. [mg/L]

    before, supply: [mg/L] flush: water let through. [L] volume: held all the while. [L]
    Well mixed is the cautious case: water that pushes the old before it takes more with it.
    """
    within(volume, math.ulp(0.0), math.inf, "volume of water", "L")
    return supply + (before - supply) * exp(-flush / volume)


def cycle_end(
    supply: Number, evaporation: Number, volume: Number, source: Number, every_days: Number, flush: Number
) -> Number:
    """Highest concentration in the cycle that repeats itself: just before each flush. [mg/L]

    every_days: between flushes. [d] flush: supply water let through each time. [L] Others as in `solids_after`.
    Infinite where salts come in and nothing is flushed.
    """
    rise = _daily_rise(supply, evaporation, volume, source) * every_days
    removed = 1 - exp(-flush / volume)
    kept = removed == 0
    return supply + where(kept & (rise > 0), math.inf, rise / where(kept, 1.0, removed))


def flush_interval(
    limit: Number, supply: Number, evaporation: Number, volume: Number, source: Number, flush: Number
) -> Number:
    """Longest time between flushes that keeps the repeating cycle within a limit. [d]

    limit: [mg/L] Others as in `cycle_end`. 0 where no interval keeps it; infinite where nothing builds up.
    """
    rise = _daily_rise(supply, evaporation, volume, source)
    room = limit - supply
    days = maximum(room, 0.0) * (1 - exp(-flush / volume)) / where(rise == 0, 1.0, rise)
    return where((rise == 0) & (room >= 0), math.inf, days)


def flush_volume(
    limit: Number, supply: Number, evaporation: Number, volume: Number, source: Number, every_days: Number
) -> Number:
    """Least water to let through at each flush that keeps the repeating cycle within a limit. [L]

    Arguments as in `flush_interval` and `cycle_end`. 0 where nothing builds up; infinite where no flush suffices.
    """
    rise = _daily_rise(supply, evaporation, volume, source) * every_days
    room = limit - supply
    enough = (room > 0) & (rise < room)
    kept = where(enough, 1 - rise / where(room > 0, room, 1.0), 1.0)
    answer = where(enough, -volume * log(kept), where((rise == 0) & (room >= 0), 0.0, math.inf))
    return where((rise != rise) | (room != room), math.nan, answer)


def leaching_requirement(ecw: Number, ece: Number) -> Number:
    """Share of the water given that must run off to hold a soil's salinity. (0 to 1; above 1 none suffices)

    ecw, ece: conductivity of the water, and the greatest of the soil's saturation extract, in the same unit.
    Raises OutOfRange at ecw ≥ 5 ece. Source: Ayers & Westcot 1985, FAO Irrigation and Drainage Paper 29 Rev. 1, eq. 9.
    """
    within(ece, math.ulp(0.0), math.inf, "conductivity of the extract")
    within(ecw / ece, 0, math.nextafter(5, 0), "conductivity of water over that of the extract")
    return ecw / (5 * ece - ecw)


def water_to_apply(evapotranspiration: Number, leaching: Number) -> Number:
    """Water to give so that the leaching share runs off; in the unit of evapotranspiration. leaching: 0 to below 1."""
    within(leaching, 0, math.nextafter(1, 0), "leaching share")
    return evapotranspiration / (1 - leaching)


def cycles_of_concentration(concentration: Number, supply: Number) -> Number:
    """How many times more concentrated the held water is than the supply. Both in the same unit, supply above 0."""
    return concentration / supply


def blowdown(evaporation: Number, cycles: Number) -> Number:
    """Steady outflow that holds so many cycles of concentration; infinite at 1 or less. In the unit of evaporation.

    Outflow counts however it leaves: drain, overflow or splash. Source: Skasol Inc., "Cycles of concentration".
    """
    never = cycles <= 1
    return where(never, math.inf, evaporation / where(never, 1.0, cycles - 1))


def _constant(celsius: Number, a: float, b: float, c: float, d: float, e: float) -> Number:
    """Equilibrium constant by absolute temperature T: log10 K = a + bT + c/T + d log10 T + e/T²."""
    kelvin = celsius + 273.15
    return 10 ** (a + b * kelvin + c / kelvin + d * log(kelvin) / math.log(10) + e / kelvin**2)


def co2_in_water(celsius: Number, air_ppm: Number) -> Number:
    """Carbon dioxide in water at equilibrium with the air, at sea-level pressure. [mg/L]

    celsius: 0 to 50. air_ppm: of carbon dioxide in the air, by volume.
    Henry's constant of Plummer & Busenberg 1982, Geochim. Cosmochim. Acta 46:1011-1040. Raises OutOfRange.
    """
    within(celsius, 0, 50, "water temperature", "°C")
    henry = _constant(celsius, 108.3865, 0.01985076, -6919.53, -40.45154, 669365.0)  # mol/L per atm
    return henry * air_ppm * 1e-6 * CO2_MASS * 1000


def ph_of_water(alkalinity: Number, co2: Number, celsius: Number) -> Number:
    """pH of water that holds so much alkalinity and carbon dioxide and no other acid or base.

    alkalinity: 0 to 300. [mg/L CaCO3] co2: at least 0. [mg/L] celsius: 0 to 35.
    Not for water stained by peat or in contact with peat or living Sphagnum: their acids are not in the sum.
    From the charge balance without carbonate ions and activities, which together take off less than 0.1 pH here.
    First dissociation of carbonic acid: Plummer & Busenberg 1982; ion product of
    water: Harned & Hamer 1933, both as given by Dreybrodt 1988, Table 2.2. Raises OutOfRange.
    """
    within(alkalinity, 0, 300, "alkalinity", "mg/L CaCO3")
    within(celsius, 0, 35, "water temperature", "°C")
    within(co2, 0, math.inf, "carbon dioxide", "mg/L")
    k1 = _constant(celsius, -356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0)
    kw = _constant(celsius, 22.801, -0.010365, -4787.3, -7.1321, 0.0)
    base = alkalinity / ALKALINITY_UNITS["meq/L"] / 1000  # mol/L
    acids = k1 * co2 / CO2_MASS / 1000 + kw
    hydrogen = 2 * acids / (base + sqrt(base**2 + 4 * acids))
    return -log(hydrogen) / math.log(10)
