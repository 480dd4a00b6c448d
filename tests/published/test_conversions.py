"""Units of sources, daily light and lamps against published factors.

Sources: NIST SP 811 (2008), Appendix B.8 and B.9; Apogee Instruments; Thimijan & Heins 1983, Table 3; Sharakshane 2018;
CIE 15:2018 illuminants LED-B1 to LED-B5 computed with colour-science 0.4.7. Figures and places in conversions.yaml.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.judge.bench import Bench
from bogwright.knowledge.figures import agrees, figures
from bogwright.knowledge.units import convert, fahrenheit_to_celsius
from bogwright.physics.light import daily_light_integral, photon_flux

from .conftest import published

KNOWN = published("conversions.yaml")
NIST = KNOWN["nist"]["factors"]


def lamp_range(bench: Bench, lamp: str) -> tuple[float, float]:
    """Lux per umol m-2 s-1 of a lamp in kb/lamps.yaml, least and greatest."""
    value = bench.lamps[lamp]["lux_per_ppfd"]
    return (value[0], value[1]) if isinstance(value, list) else (value, value)


@pytest.mark.parametrize(("unit", "wanted", "scale"), [("inch", "cm", 100), ("foot", "cm", 100), ("foot", "m", 1)])
def test_lengths(unit: str, wanted: str, scale: float) -> None:
    """NIST SP 811, B.8: 1 in = 2.54 E-02 m, 1 ft = 3.048 E-01 m, both exact."""
    assert convert(1, unit, wanted) == [pytest.approx(NIST[unit]["factor"] * scale, rel=1e-12)]


def test_footcandle() -> None:
    """NIST SP 811, B.8: 1 footcandle = 1.076 391 E+01 lx, which follows from the exact foot."""
    (lux,) = convert(1, "footcandle", "lux")
    assert lux == pytest.approx(NIST["footcandle"]["factor"], rel=1e-7)
    assert lux == pytest.approx(1 / NIST["foot"]["factor"] ** 2, rel=1e-6)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 65, 80, 98.6, 212])
def test_temperatures(fahrenheit: float) -> None:
    """NIST SP 811, B.8: t/degC = (t/degF - 32) / 1.8."""
    expected = (fahrenheit - NIST["degF"]["zero"]) / NIST["degF"]["divide"]
    assert fahrenheit_to_celsius(fahrenheit) == pytest.approx(expected, abs=1e-12)
    assert convert(fahrenheit, "degF", "degC") == [pytest.approx(expected, abs=1e-12)]


def test_temperature_intervals() -> None:
    """NIST SP 811, B.8: an interval of 1 degF is 5.555 556 E-01 K."""
    assert convert(1, "degF", "K") == [pytest.approx(NIST["degF-interval"]["factor"], abs=5e-8)]


@pytest.mark.parametrize("phrase", KNOWN["phrases"], ids=lambda phrase: phrase["as_stated"])
def test_figures_in_sources_words(phrase: dict[str, Any]) -> None:
    """A phrase yields the values that NIST's factors give, and not values one last digit off."""
    stated = figures(phrase["as_stated"])
    for value in phrase["values"]:
        assert agrees(value, stated, phrase["unit"]), (value, stated)
        assert not agrees(value * 1.25 + 1.11, stated, phrase["unit"]), (value, stated)


@pytest.mark.parametrize("row", KNOWN["daily_light_integral"], ids=lambda row: row["source"].split(",")[0])
def test_daily_light_integral(row: dict[str, Any]) -> None:
    """Worked values of Apogee Instruments and of Spectrum Technologies."""
    for ppfd, hours, expected in zip(row["ppfd"], row["hours"], row["dli"], strict=True):
        assert daily_light_integral(ppfd, hours) == pytest.approx(expected, abs=row["tolerance"])


@pytest.mark.parametrize("row", KNOWN["lux_per_umol"], ids=lambda row: row["source"].split(",")[0])
def test_lamp_constants(bench: Bench, row: dict[str, Any]) -> None:
    """Lux per umol m-2 s-1 of Thimijan & Heins 1983, Table 3, repeated by Apogee Instruments."""
    for lamp, constant in row["lamps"].items():
        assert lamp_range(bench, lamp) == (constant, constant), lamp


@pytest.mark.parametrize("row", KNOWN["photon_flux"], ids=lambda row: row["source"].split(",")[0])
def test_photon_flux(bench: Bench, row: dict[str, Any]) -> None:
    """Examples of Apogee Instruments (sun) and Sharakshane 2018 (white LED)."""
    for constant in lamp_range(bench, row["lamp"]):
        assert photon_flux(row["lux"], constant) == pytest.approx(row["ppfd"], abs=row["tolerance"])


def test_white_led_range(bench: Bench) -> None:
    """CIE 15:2018 illuminants LED-B1 to LED-B5 (computed with colour-science 0.4.7) span the range, to whole lux."""
    computed = KNOWN["white_led"]["lux_per_umol"].values()
    low, high = lamp_range(bench, "white-led")
    assert (low, high) == (round(min(computed)), round(max(computed)))


def test_unknown_lamp_holds_every_usual_one(bench: Bench) -> None:
    """A figure in lux without its lamp is read as any of the lamps of Thimijan & Heins or a white LED."""
    low, high = lamp_range(bench, "unknown")
    for lamp in ("sun", "metal-halide", "hps", "fluorescent-cool-white", "white-led"):
        least, greatest = lamp_range(bench, lamp)
        assert low <= least and greatest <= high, lamp
