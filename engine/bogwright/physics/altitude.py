"""Air temperature at another height, by a lapse rate."""

from __future__ import annotations


def at_height(value: float, here: float, there: float, lapse: tuple[float, float]) -> tuple[float, float]:
    """Least and greatest temperature at the height `there`, from one measured at the height `here`. [degC]

    value: air temperature. [degC] here, there: heights above the sea. [m]
    lapse: least and greatest fall of temperature with height, at least 0. [K/km]
    NaN in gives NaN out. Source of the usual 6.5 K/km: ICAO Standard Atmosphere (ISO 2533:1975).
    """
    shifts = [-rate * (there - here) / 1000 for rate in lapse]
    return value + min(shifts), value + max(shifts)
