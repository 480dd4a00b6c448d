"""Units that sources state figures in, and their conversion to the units of the schema.

Factors marked NIST are those of NIST Special Publication 811 (2008), Appendix B.8, cited from memory: the
publication was not at hand. A test holds the footcandle against the exact foot.
"""

from __future__ import annotations

INCH = 25.4  # mm, exact (NIST)
FOOT = 304.8  # mm, exact (NIST)
FOOTCANDLE = 10.76391  # lx (NIST)
FAHRENHEIT_ZERO = 32.0  # degF at 0 degC (NIST: t/degC = (t/degF - 32) / 1.8)
FAHRENHEIT_STEP = 5 / 9  # K in a step of 1 degF, exact (NIST)

DAYS_IN_MONTH = 365.2425 / 12  # mean Gregorian month; 4.348 weeks
DAYS_IN_YEAR = 365.2425
CALCIUM_CARBONATE = 50.04  # mg of CaCO3 in a milliequivalent, from its molar mass of 100.09 g/mol
CARBON_DIOXIDE = 44.01  # g/mol
GERMAN_DEGREE = 17.85  # mg/L as CaCO3 in 1 degree dH, 10 mg/L of CaO (56.08 g/mol)

# Unit of a figure → (what it measures, factor to the first unit of that kind)
_SCALES: dict[str, tuple[str, float]] = {
    "mm": ("length", 1.0),
    "cm": ("length", 10.0),
    "dm": ("length", 100.0),
    "m": ("length", 1000.0),
    "inch": ("length", INCH),
    "foot": ("length", FOOT),
    "lux": ("illuminance", 1.0),
    "klx": ("illuminance", 1000.0),
    "footcandle": ("illuminance", FOOTCANDLE),
    "ppm": ("concentration", 1.0),
    "mg/L": ("concentration", 1.0),
    "g/L": ("concentration", 1000.0),
    "hours": ("time", 1 / 24),
    "days": ("time", 1.0),
    "weeks": ("time", 7.0),
    "months": ("time", DAYS_IN_MONTH),
    "years": ("time", DAYS_IN_YEAR),
    "%": ("share", 1.0),
    "umol": ("photon flux", 1.0),
    "mol": ("photon dose", 1.0),
    "pH": ("pH", 1.0),
}

# Unit of the schema → the same
_FIELD_SCALES: dict[str, tuple[str, float]] = {
    "%": ("share", 1.0),
    "h": ("time", 1 / 24),
    "mol m-2 d-1": ("photon dose", 1.0),
    "umol m-2 s-1": ("photon flux", 1.0),
    "lux": ("illuminance", 1.0),
    "mg/L": ("concentration", 1.0),
    "mg/L as CaCO3": ("concentration", 1.0),
    "mg/L as CO2": ("concentration", 1.0),
    "mm": ("length", 1.0),
    "cm": ("length", 10.0),
    "cm/year": ("length", 10.0),
    "m": ("length", 1000.0),
    "days": ("time", 1.0),
    "weeks": ("time", 7.0),
    "months": ("time", DAYS_IN_MONTH),
    "years": ("time", DAYS_IN_YEAR),
    "pH": ("pH", 1.0),
}
# Of one substance, so that an amount in moles is a mass: bicarbonate counted as CaCO3, and carbon dioxide.
_OF_SUBSTANCE = {
    "mg/L as CaCO3": {
        "meq/L": CALCIUM_CARBONATE,
        "mmol/L": CALCIUM_CARBONATE,
        "umol/L": CALCIUM_CARBONATE / 1000,
        "dH": GERMAN_DEGREE,
    },
    "mg/L as CO2": {"mmol/L": CARBON_DIOXIDE, "umol/L": CARBON_DIOXIDE / 1000},
}


def fahrenheit_to_celsius(value: float) -> float:
    """A temperature in degrees Fahrenheit, in degrees Celsius (NIST SP 811, B.8)."""
    return (value - FAHRENHEIT_ZERO) * FAHRENHEIT_STEP


def convert(value: float, unit: str | None, wanted: str) -> list[float]:
    """A figure in the unit of a field: usually one value, none if it measures something else.

    unit : degF, degC, deg (bare degrees: read both ways), K or one that this module knows; None for a bare number,
    which is taken to be in the wanted unit. wanted : a unit of the schema, or ``mg/L as CO2``.
    """
    if unit is None:
        return [value]
    if wanted in ("degC", "K"):
        return _temperatures(value, unit, difference=wanted == "K")
    if unit in _OF_SUBSTANCE.get(wanted, ()):
        return [value * _OF_SUBSTANCE[wanted][unit]]
    measured, factor = _SCALES.get(unit, ("", 1.0))
    wanted_kind, wanted_factor = _FIELD_SCALES.get(wanted, ("other", 1.0))
    return [value * factor / wanted_factor] if measured == wanted_kind else []


def _temperatures(value: float, unit: str, difference: bool) -> list[float]:
    celsius = [value] if unit in ("degC", "deg", "K") else []
    if unit in ("degF", "deg"):
        celsius.append(value * FAHRENHEIT_STEP if difference else fahrenheit_to_celsius(value))
    return celsius
