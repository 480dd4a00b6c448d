"""Vapour in air against FAO-56, psychrolib, CoolProp and a handbook of housing.

Sources: Allen, Pereira, Raes & Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56 (tables and
worked examples as quoted in public test files and in the documentation of NCL, where the examples are named);
psychrolib 2.5.0 (ASHRAE Handbook Fundamentals 2017); CoolProp 8.0.0 (IAPWS-95; HAPropsSI for moist air); Table 10.1.1
and equation 10.2 on humidity in a handbook of solar housing (kb/sources: solar-housing-humidity).
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from bogwright.physics import air
from published.assumptions import assumed

psychrolib.SetUnitSystem(psychrolib.SI)
SEA_LEVEL = 101.325  # kPa
# pairs of temperature [°C] and humidity [%] across what plants are kept in
PAIRS = [
    (20, 50), (25, 50), (25, 60), (25, 80), (25, 95), (22, 70), (30, 40), (15, 90), (18, 95), (28, 85), (35, 30),
    (10, 80), (1, 60), (45, 20),
]  # fmt: skip


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [(0, 0.611), (1, 0.657), (5, 0.872), (10, 1.228), (15, 1.705), (20, 2.338), (25, 3.168), (30, 4.243)],
)
def test_table_2_3(celsius: float, expected: float) -> None:
    """FAO-56 Annex 2, Table 2.3, to its last digit."""
    assert air.saturation_vapour_pressure(celsius) == pytest.approx(expected, abs=0.0006)


@pytest.mark.parametrize(("celsius", "expected"), [(35, 5.624), (40, 7.384), (45, 9.585)])
def test_table_2_3_hot(celsius: float, expected: float) -> None:
    """The same table as transcribed: above 30 °C it lies up to 0.008 kPa above its own equation 11."""
    assert air.saturation_vapour_pressure(celsius) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(("celsius", "expected"), [(1, 0.047), (10, 0.082), (20, 0.145), (30, 0.243), (40, 0.393)])
def test_table_2_4(celsius: float, expected: float) -> None:
    """FAO-56 Annex 2, Table 2.4: slope of the saturation vapour pressure."""
    assert air.saturation_slope(celsius) == pytest.approx(expected, abs=0.0006)


@pytest.mark.parametrize(
    ("elevation", "expected"), [(0, 0.067), (500, 0.064), (1000, 0.060), (1500, 0.056), (2000, 0.053), (3000, 0.047)]
)
def test_table_2_2(elevation: float, expected: float) -> None:
    """FAO-56 Annex 2, Table 2.2: psychrometric constant by altitude."""
    assert air.psychrometric_constant(air.air_pressure(elevation)) == pytest.approx(expected, abs=0.0006)


def test_example_2() -> None:
    """FAO-56 chapter 3, example 2: pressure and psychrometric constant at 1800 m."""
    assert air.air_pressure(1800) == pytest.approx(81.8, abs=0.05)
    assert air.psychrometric_constant(air.air_pressure(1800)) == pytest.approx(0.054, abs=0.0005)


def test_example_3() -> None:
    """FAO-56 chapter 3, example 3: 24.5 and 15 °C give 3.075 and 1.705 kPa, mean 2.39, not the 2.30 of the mean."""
    warm, cool = air.saturation_vapour_pressure(24.5), air.saturation_vapour_pressure(15.0)
    assert (warm, cool) == pytest.approx((3.075, 1.705), abs=0.0006)
    assert (warm + cool) / 2 == pytest.approx(2.39, abs=0.005)
    assert air.saturation_vapour_pressure(19.75) == pytest.approx(2.30, abs=0.005)


def test_example_4() -> None:
    """FAO-56 chapter 3, example 4: thermometers at 25.6 and 19.5 °C, 1200 m, Assmann type."""
    assert air.air_pressure(1200) == pytest.approx(87.9, abs=0.05)
    assert air.saturation_vapour_pressure(19.5) == pytest.approx(2.267, abs=0.001)
    assert air.vapour_pressure_by_wet_bulb(25.6, 19.5, 87.9, 0.000662) == pytest.approx(1.91, abs=0.005)


def test_examples_5_and_6() -> None:
    """FAO-56 chapter 3, examples 5 and 6: 18 to 25 °C, 54 to 82 %: 1.70 kPa, deficit 0.91 kPa."""
    assert air.saturation_vapour_pressure(18) == pytest.approx(2.064, abs=0.001)
    assert air.saturation_vapour_pressure(25) == pytest.approx(3.168, abs=0.001)
    cool, warm = air.actual_vapour_pressure(18, 82), air.actual_vapour_pressure(25, 54)
    assert cool == pytest.approx(1.69, abs=0.005)
    actual = (cool + warm) / 2
    assert actual == pytest.approx(1.70, abs=0.005)
    deficit = (air.vapour_pressure_deficit(18, 82) + air.vapour_pressure_deficit(25, 54)) / 2
    assert deficit == pytest.approx(0.91, abs=0.005)


def test_example_14() -> None:
    """FAO-56 chapter 3, example 14: 3.2 m/s at 10 m is 2.4 m/s at 2 m."""
    assert air.wind_at_two_metres(3.2, 10) == pytest.approx(2.4, abs=0.05)


def test_example_17() -> None:
    """FAO-56 chapter 4, example 17: Bangkok in April, 5.72 mm a day; it rounds what lies between."""
    assert air.saturation_slope(30.2) == pytest.approx(0.246, abs=0.0005)
    lawn = air.reference_evapotranspiration(30.2, 14.33, 0.14, 2.0, 4.42, 2.85, 0.0674)
    assert lawn == pytest.approx(5.72, abs=0.02)


def test_example_18() -> None:
    """FAO-56 chapter 4, example 18: Uccle on 6 July, 12.3 to 21.5 °C, 63 to 84 %, 10 km/h at 10 m: 3.9 (3.88) mm."""
    wind = air.wind_at_two_metres(10 / 3.6, 10)
    assert wind == pytest.approx(2.078, abs=0.002)
    saturation = (air.saturation_vapour_pressure(21.5) + air.saturation_vapour_pressure(12.3)) / 2
    actual = (air.actual_vapour_pressure(12.3, 84) + air.actual_vapour_pressure(21.5, 63)) / 2
    assert (saturation, actual) == pytest.approx((1.997, 1.409), abs=0.001)
    constant = air.psychrometric_constant(air.air_pressure(100))
    assert constant == pytest.approx(0.0666, abs=0.0001)
    assert air.saturation_slope((21.5 + 12.3) / 2) == pytest.approx(0.122, abs=0.0005)
    lawn = air.reference_evapotranspiration((21.5 + 12.3) / 2, 13.28, 0, wind, saturation, actual, constant)
    assert lawn == pytest.approx(3.88, abs=0.01)


def test_saturation_against_psychrolib() -> None:
    """0 to 45 °C: within 0.13 % of the ASHRAE formulation."""
    celsius = np.linspace(0.02, 45, 91)
    ashrae = np.array([psychrolib.GetSatVapPres(t) for t in celsius]) / 1e3
    np.testing.assert_allclose(air.saturation_vapour_pressure(celsius), ashrae, rtol=1.3e-3)


def test_saturation_against_coolprop() -> None:
    """0 to 60 °C: within 0.15 % of IAPWS-95, as the docstring says."""
    celsius = np.linspace(0.02, 60, 121)
    iapws = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water") / 1e3
    np.testing.assert_allclose(air.saturation_vapour_pressure(celsius), iapws, rtol=1.5e-3)


@pytest.mark.parametrize(("celsius", "share"), [(-1, 0.001), (-5, 0.002), (-10, 0.003), (-20, 0.007), (-30, 0.014)])
def test_supercooled_water_against_coolprop(celsius: float, share: float) -> None:
    """Below zero over liquid water: IAPWS-95 carried on by CoolProp; the equation lies below it by what its text says.

    psychrolib is no measure here: it turns to ice below the triple point.
    """
    iapws = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water") / 1e3
    assert 1 - share - 5e-4 <= air.saturation_vapour_pressure(celsius) / iapws < 1
    ice = psychrolib.GetSatVapPres(celsius) / 1e3
    assert air.saturation_vapour_pressure(celsius) > ice, "air over supercooled water holds more than over ice"


@pytest.mark.parametrize(("celsius", "humidity"), PAIRS)
def test_humid_air(celsius: float, humidity: float) -> None:
    """Deficit, dew point and content of air: psychrolib and CoolProp at sea level.

    Dew points of the usual formulas differ by up to 0.05 K; CoolProp's real gas holds 0.5 % more than an ideal one.
    """
    share = humidity / 100
    ashrae = (1 - share) * psychrolib.GetSatVapPres(celsius) / 1e3
    assert air.vapour_pressure_deficit(celsius, humidity) == pytest.approx(ashrae, rel=1.5e-3)

    dew = air.dew_point(air.actual_vapour_pressure(celsius, humidity))
    if dew > 0:  # below, both give the frost point over ice
        assert dew == pytest.approx(psychrolib.GetTDewPointFromRelHum(celsius, share), abs=0.05)
        coolprop = HAPropsSI("D", "T", celsius + 273.15, "R", share, "P", SEA_LEVEL * 1e3) - 273.15
        assert dew == pytest.approx(coolprop, abs=0.05)

    ratio = psychrolib.GetHumRatioFromRelHum(celsius, share, SEA_LEVEL * 1e3)
    ideal = 1e3 * ratio / psychrolib.GetMoistAirVolume(celsius, ratio, SEA_LEVEL * 1e3)
    assert air.absolute_humidity(celsius, humidity) == pytest.approx(ideal, rel=1.5e-3)
    state = ("T", celsius + 273.15, "R", share, "P", SEA_LEVEL * 1e3)
    real = 1e3 * HAPropsSI("W", *state) / HAPropsSI("V", *state)
    assert air.absolute_humidity(celsius, humidity) == pytest.approx(real, rel=7e-3)


@pytest.mark.parametrize(("celsius", "humidity", "wet"), [(20, 50, 13.783), (25, 50, 17.889), (30, 40, 20.064)])
def test_wet_bulb_against_psychrolib(celsius: float, humidity: float, wet: float) -> None:
    """Wet bulbs of psychrolib (adiabatic saturation) read back to the humidity, within 1 %."""
    assert wet == pytest.approx(psychrolib.GetTWetBulbFromRelHum(celsius, humidity / 100, SEA_LEVEL * 1e3), abs=0.001)
    pressure = air.vapour_pressure_by_wet_bulb(celsius, wet, SEA_LEVEL, 0.000662)
    assert air.relative_humidity(celsius, pressure) == pytest.approx(humidity, abs=1)


@pytest.mark.parametrize(("outdoors", "grams", "an_hour"), [(10, 3.8, 110), (0, 7.0, 210)])
def test_vapour_carried_off(outdoors: float, grams: float, an_hour: float) -> None:
    """Solar-housing handbook, equation 10.2: rooms of 20 °C and 60 %, air of 70 % outdoors, 30 m³/h; whole tens."""
    room, outside = air.absolute_humidity(20, 60), air.absolute_humidity(outdoors, 70)
    assert room - outside == pytest.approx(grams, abs=0.05)
    assert 30 * (room - outside) == pytest.approx(an_hour, abs=5)
    assert air.steady_content(outside, an_hour, 30) == pytest.approx(room, abs=0.2)


def test_still_water_indoors() -> None:
    """Solar-housing handbook, Table 10.1.1: 30 to 50 g an hour from a square metre of aquarium lie in our still air."""
    drive = air.saturation_content(22) - air.absolute_humidity(22, 50)
    least, greatest = (transfer * drive for transfer in assumed("transfer", "still"))
    assert least < 30 and greatest > 50


def test_case_against_psychrolib() -> None:
    """Steady boxes in a room of 22 °C and 50 %, from contents by psychrolib: volume, changes, source, humidity.

    The second would be above saturation, so that the rest condenses.
    """
    room = air.absolute_humidity(22, 50)
    assert room == pytest.approx(9.708, rel=0.005)
    assert air.saturation_content(22) == pytest.approx(19.416, rel=0.005)
    for volume, changes, source, content, share in (
        (0.1, 1, 0.5, 14.708, 75.8),
        (0.1, 0.5, 0.5, 19.708, 101.5),
        (0.2, 2, 1.0, 12.208, 62.9),
        (0.1, 0.2, 0.1, 14.708, 75.8),
    ):
        box = air.steady_content(room, source, changes * volume)
        assert box == pytest.approx(content, rel=0.005)
        assert air.humidity_from_content(22, box) == pytest.approx(share, rel=0.005)


def test_pane_at_the_dew_point() -> None:
    """Air of 22 °C and 70 % wets a pane below 16.28 °C (psychrolib)."""
    assert air.dew_point(air.actual_vapour_pressure(22, 70)) == pytest.approx(16.28, abs=0.02)
