"""Panes and media against published figures.

Sources in kb/sources/physics-air.yaml: iso-6946-resistances, en-iso-10077-2-conductivities, moene-van-dam-2-2,
heiskanen-peat-conductivity-2000, showcase-leakage.
"""

from __future__ import annotations

import math

import pytest

from bogwright.physics import air, heat
from published.assumptions import assumed

SATURATED_PEAT = 4.01e6  # heat that warms it by one kelvin: Moene & van Dam, Table 2.2 [J/(m³ K)]


def test_single_glazing() -> None:
    """4 mm of float glass between a room and the outdoors: around 5.8 W/(m² K) (https://sciwindows.co.uk/glass/)."""
    faces = heat.SURFACE_RESISTANCE["wall"] + heat.SURFACE_RESISTANCE["outdoors"]
    assert heat.pane_conductance(0.004, heat.CONDUCTIVITY["glass"], faces) == pytest.approx(5.8, abs=0.06)


@pytest.mark.parametrize(
    ("conductivity", "capacity", "diffusivity"),
    [
        (2.1, 2.12e6, 0.99e-6),  # sand, loose, 20 % water
        (2.5, 2.96e6, 0.85e-6),  # sand, loose, 40 %
        (2.5, 2.05e6, 1.2e-6),  # sand, tight, 15 %
        (2.9, 2.81e6, 1.0e-6),  # sand, tight, 33 %
        (0.27, 2.13e6, 0.13e-6),  # peat, 45 %
        (0.50, SATURATED_PEAT, 0.12e-6),  # peat, 90 %
    ],
)
def test_media(conductivity: float, capacity: float, diffusivity: float) -> None:
    """Moene & van Dam, Table 2.2 (after de Vries 1963 and others): rows agree with themselves; our range holds them."""
    assert conductivity / capacity == pytest.approx(diffusivity, rel=0.05)
    low, high = assumed("medium_diffusivity")
    assert low <= diffusivity * 1e6 <= high


def test_peat() -> None:
    """Heiskanen 2000: Sphagnum peat conducts 0.5 W/(m K) near saturation; so does our least."""
    assert assumed("medium_diffusivity")[0] * 1e-6 * SATURATED_PEAT == pytest.approx(0.5, rel=0.05)


def test_closed_cases_leak_like_showcases() -> None:
    """Most museum cases have half an air change to 20 a day (Marcon, Canadian Conservation Institute)."""
    low, high = assumed("air_changes", "closed")
    assert low == pytest.approx(0.5 / 24, abs=0.002) and high == pytest.approx(20 / 24, abs=0.02)


@pytest.mark.parametrize(("opening", "warmer"), [(10e-4, 1.0), (100e-4, 3.0)])
def test_vented_cases_by_buoyancy(opening: float, warmer: float) -> None:
    """ASHRAE Fundamentals 1997, equations 37 and 38, for the openings named at air_changes (m², K)."""
    discharge = 0.40 + 0.0045 * warmer
    flow = discharge * opening * math.sqrt(2 * 9.81 * 0.2 * warmer / (273.15 + 22))
    assert air.vent_flow(opening, 0.2, warmer, 22) == pytest.approx(flow * 3600)
    low, high = assumed("air_changes", "vented")
    assert low <= flow * 3600 / 0.18 <= high
