"""Light: illuminance, photon flux and the daily light integral."""

from __future__ import annotations

# seconds in an hour over micromoles in a mole
MOL_PER_UMOL_HOUR = 0.0036


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
