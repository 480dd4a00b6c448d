"""Figures in sources' own words: found, converted and compared."""

from __future__ import annotations

import pytest

from bogwright.knowledge import units
from bogwright.knowledge.figures import Figure, agrees, figures, numbers, tolerance
from bogwright.knowledge.units import convert

# NIST Special Publication 811 (2008), Appendix B.8, from memory: the publication itself was not at hand.
# The footcandle is rounded there to seven digits; 1/0.3048² = 10.76391042.
NIST_SP_811 = [
    ("degree Fahrenheit to degree Celsius, t/°C = (t/°F − 32)/1.8", convert(212, "degF", "degC"), 100.0, 1e-12),
    ("degree Fahrenheit to degree Celsius, t/°C = (t/°F − 32)/1.8", convert(-40, "degF", "degC"), -40.0, 1e-12),
    ("degree Fahrenheit to kelvin, as an interval: 1/1.8", convert(18, "degF", "K"), 10.0, 1e-12),
    ("inch to metre: 2.54 E-02, exact", convert(1, "inch", "m"), 0.0254, 1e-15),
    ("foot to metre: 3.048 E-01, exact", convert(1, "foot", "m"), 0.3048, 1e-15),
    ("footcandle to lux: 1.076391 E+01", convert(1, "footcandle", "lux"), 10.76391, 1e-12),
]


@pytest.mark.parametrize(("locator", "converted", "expected", "within"), NIST_SP_811)
def test_factors_of_nist_sp_811_appendix_b8(
    locator: str, converted: list[float], expected: float, within: float
) -> None:
    assert converted == [pytest.approx(expected, abs=within)], locator


def test_the_footcandle_is_one_lumen_a_square_foot() -> None:
    assert pytest.approx(1 / 0.3048**2, abs=5e-6) == units.FOOTCANDLE


@pytest.mark.parametrize(
    ("text", "found"),
    [
        # temperatures
        ("65-80 °F", [(65, "degF"), (80, "degF")]),
        ("50 to 60 degrees F during the day", [(50, "degF"), (60, "degF")]),
        ("between 65 and 80 Fahrenheit", [(65, "degF"), (80, "degF")]),
        ("64°F (18°C)", [(64, "degF"), (18, "degC")]),
        ("60-104 F (16-40 C)", [(60, "degF"), (104, "degF"), (16, "degC"), (40, "degC")]),
        ("65 F-70 F", [(65, "degF"), (70, "degF")]),
        ("40°-98°F", [(40, "degF"), (98, "degF")]),
        ("14-16 degrees at night", [(14, "deg"), (16, "deg")]),
        ("20 bis 30 Grad", [(20, "deg"), (30, "deg")]),
        ("below 60, to as low as 50 [F]", [(60, "degF"), (50, "degF")]),
        ("65 by day and 50 F by night", [(65, "degF"), (50, "degF")]),
        ("18,5 °C", [(18.5, "degC")]),
        ("80f", [(80, "degF")]),
        ("above freezing to 45ºF", [(0, "degC"), (45, "degF")]),
        # signs
        ("minus 7 C", [(-7, "degC")]),
        ("−7 °C", [(-7, "degC")]),
        ("down to -5C", [(-5, "degC")]),
        ("-1 to plus 2C", [(-1, "degC"), (2, "degC")]),
        ("-5 – -10 °C", [(-5, "degC"), (-10, "degC")]),
        ("20 -30 °C", [(20, "degC"), (30, "degC")]),
        ("18---35 C", [(18, "degC"), (35, "degC")]),
        # decades are no figures
        ("nights in the 30's", []),
        ("60s and 70s F", []),
        # lengths
        ('8" - 28"', [(8, "inch"), (28, "inch")]),
        ("1 1/2 inches", [(1.5, "inch")]),
        ("½ inch", [(0.5, "inch")]),
        ("1½ in.", [(1.5, "inch")]),
        ("3' tall, 5 feet wide", [(3, "foot"), (5, "foot")]),
        ("0.5 x 1.5 cm", [(0.5, "cm"), (1.5, "cm")]),
        ("4–6(–10) dm", [(4, "dm"), (6, "dm"), (10, "dm")]),
        ("from sea level to 1,200 m", [(0, "m"), (1200, "m")]),
        ("2 in the morning", [(2, None)]),
        # light
        ("1,000-1,500 foot-candles", [(1000, "footcandle"), (1500, "footcandle")]),
        ("800 fc", [(800, "footcandle")]),
        ("15,000 lux", [(15000, "lux")]),
        ("10 klx", [(10, "klx")]),
        ("10k lux", [(10000, "lux")]),
        ("15.000 lux", [(15, "lux"), (15000, "lux")]),
        ("100 µmol m-2 s-1", [(100, "umol")]),
        ("200 umol/m2/s", [(200, "umol")]),
        ("12 mol/m²/day", [(12, "mol")]),
        ("45 ... 300 (12-14 hour photoperiod)", [(45, None), (300, None), (12, "hours"), (14, "hours")]),
        ("14/10 hours", [(14, "hours"), (10, "hours")]),
        # water
        ("under 50 ppm", [(50, "ppm")]),
        ("50 mg/L", [(50, "mg/L")]),
        ("100 µS/cm", [(100, "uS/cm")]),
        ("1.0-2.7 meq/L", [(1, "meq/L"), (2.7, "meq/L")]),
        ("0.2-0.5 mM", [(0.2, "mmol/L"), (0.5, "mmol/L")]),
        ("60 to 90 %", [(60, "%"), (90, "%")]),
        ("70 per cent", [(70, "%")]),
        # time, also in words and in other languages
        ("at least two solid months", [(2, "months")]),
        ("2, 3 or 4 weeks", [(2, "weeks"), (3, "weeks"), (4, "weeks")]),
        ("a month", [(1, "months")]),
        ("fortnightly", [(2, "weeks")]),
        ("weekly", [(1, "weeks")]),
        ("12-hour days", [(12, "hours")]),
        ("dopo 30 giorni", [(30, "days")]),
        ("half of them died in twelve years", [(12, "years")]),
        # no unit
        ("300 plants", [(300, None)]),
        ("pH 4.5-5.5 at 20 °C", [(4.5, "pH"), (5.5, "pH"), (20, "degC")]),
        ("a pH of about 6", [(6, "pH")]),
        ("300 of (1833)", [(300, None), (1833, None)]),
        ("always moist", []),
    ],
)
def test_figures(text: str, found: list[tuple[float, str | None]]) -> None:
    assert figures(text) == [Figure(value, unit) for value, unit in found]


def test_plain_numbers() -> None:
    assert numbers("three or 4, then 1.5") == [3, 4, 1.5]


@pytest.mark.parametrize(
    ("value", "text", "unit", "agreed"),
    [
        (18, "65 °F", "degC", True),  # 18.33
        (18.3, "65 °F", "degC", True),
        (18.4, "65 °F", "degC", False),
        (19, "65 °F", "degC", False),
        (26.7, "80 °F", "degC", True),
        (10, "50 degrees", "degC", True),  # read as °F
        (50, "50 degrees", "degC", True),  # read as °C
        (5.6, "a drop of 10 °F", "K", True),
        (5, "two inches", "cm", True),
        (5.1, "two inches", "cm", True),
        (6, "two inches", "cm", False),
        (10800, "1000 foot candles", "lux", True),  # 10764
        (11000, "1000 foot candles", "lux", True),  # last significant digit ± 500
        (10000, "1000 foot candles", "lux", False),  # two digits always count
        (15000, "15,400 lux", "lux", True),
        (15000, "15,600 lux", "lux", False),
        (9, "2 months", "weeks", True),  # 8.7
        (8, "2 months", "weeks", False),
        (60, "2 months", "days", True),  # 60.9, and half a week is allowed
        (65, "2 months", "days", False),
        (21, "3 weeks", "days", True),
        (22, "3 weeks", "days", False),
        (50, "50 ppm", "mg/L", True),
        (50, "75 µS/cm", "mg/L", False),  # ambiguous: never
        (75, "75 µS/cm", "mg/L", False),
        (50, "1 meq/L", "mg/L as CaCO3", True),
        (8.8, "0.2 mM", "mg/L as CO2", True),
        (5.5, "pH 5.5 at 20 °C", "pH", True),
        (20, "pH 5.5 at 20 °C", "pH", False),
        (65, "65 °F", "%", False),
        (1.5, "18 months", "years", True),
    ],
)
def test_agreement(value: float, text: str, unit: str, agreed: bool) -> None:
    assert agrees(value, figures(text), unit) is agreed


@pytest.mark.parametrize(
    ("value", "unit", "stated_in", "allowed"),
    [
        (30, "cm", "years", 0.5),  # "3 years old" beside a length measures something else
        (18, "degC", "degF", 0.5),
        (18.3, "degC", "degF", 0.05),
        (20, "degC", "degF", 0.5),
        (18.25, "degC", None, 0.005),
        (15000, "lux", "lux", 500),
        (10764, "lux", "footcandle", 0.5),
        (300, "mg/L", "ppm", 0.5),
        (8, "weeks", "months", 0.5),
        (8.5, "weeks", "months", 0.5),
        (60, "days", "months", 3.5),
        (60, "days", "weeks", 0.5),
    ],
)
def test_half_of_the_last_digit(value: float, unit: str, stated_in: str | None, allowed: float) -> None:
    assert tolerance(value, unit, stated_in) == pytest.approx(allowed)
