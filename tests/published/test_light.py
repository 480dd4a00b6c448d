"""Lamps against the CIE's spectra, and the geometry of light against integrals worked out numerically.

Sources: CIE 15:2018 illuminants and the CIE 1924 luminous efficiency as shipped with colour-science; Thimijan & Heins
1983, HortScience 18(6):818-822, Table 3; ANSI/IES LS-1, 9.1.1 (kb/sources: ies-inverse-square). Closed forms are held
against scipy's quadrature of the definition of the configuration factor.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import dblquad, trapezoid

from bogwright.judge.bench import Bench
from bogwright.physics import daylight, light

from .conftest import published
from .test_conversions import lamp_range

PLANCK, LIGHT_SPEED, AVOGADRO = 6.62607015e-34, 299792458.0, 6.02214076e23  # SI, exact


@pytest.fixture(scope="module")
def measures() -> Callable[[str], tuple[float, float]]:
    """Of a CIE illuminant: lux per µmol m⁻² s⁻¹, µmol per joule (400-700 nm)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it misses matplotlib, which it needs for plots alone
        import colour
    visible = colour.SpectralShape(380, 780, 1)
    efficiency = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"].copy().align(visible).values

    def of(name: str) -> tuple[float, float]:
        spectrum = colour.SDS_ILLUMINANTS[name].copy().align(visible)
        metres, power = spectrum.wavelengths * 1e-9, spectrum.values
        green = (spectrum.wavelengths >= 400) & (spectrum.wavelengths <= 700)
        lumens = 683.002 * trapezoid(power * efficiency, metres)
        photons = 1e6 * trapezoid((power * metres)[green], metres[green]) / (PLANCK * LIGHT_SPEED * AVOGADRO)
        return lumens / photons, photons / trapezoid(power[green], metres[green])

    return of


@pytest.mark.parametrize(
    ("illuminant", "lamp", "within"),
    [
        ("A", "incandescent", 0.01),
        ("D65", "sun", 0.03),  # 55.5 against 54: the constant is for sun and sky together
        ("FL2", "fluorescent-cool-white", 0.04),  # 76.5 against 74
        ("FL3", "fluorescent-warm-white", 0.0),
        ("FL4", "fluorescent-warm-white", 0.0),
        ("HP1", "hps", 0.05),  # 85.8 against 82
        ("HP3", "metal-halide", 0.06),  # 69.9 against 71
        *[(f"LED-B{k}", "white-led", 0.002) for k in range(1, 6)],
    ],
)
def test_lamps_against_spectra(bench: Bench, measures: Callable, illuminant: str, lamp: str, within: float) -> None:
    """Lux per photon flux of kb/lamps.yaml, recomputed from the CIE illuminant that is most like the lamp."""
    low, high = lamp_range(bench, lamp)
    assert low * (1 - within) <= measures(illuminant)[0] <= high * (1 + within)


def test_white_leds_of_the_table(measures: Callable) -> None:
    """The computed factors of conversions.yaml, on which the range of white-led rests, come out again."""
    for name, lux_per_umol in published("conversions.yaml")["white_led"]["lux_per_umol"].items():
        assert measures(name)[0] == pytest.approx(lux_per_umol, rel=1e-3), name


def test_violet_pumped_leds_differ(bench: Bench, measures: Callable) -> None:
    """LED-V1 and V2 give 53 to 57 lx per photon flux, as the note of white-led says: a fourth more light for a lux."""
    low, _ = lamp_range(bench, "white-led")
    for name in ("LED-V1", "LED-V2"):
        assert 53 <= measures(name)[0] <= 57 < low


def test_photons_in_a_joule_of_daylight(measures: Callable) -> None:
    """Thimijan & Heins 1983, Table 3: 4.57 µmol/J for sun and sky; CIE D50 to D75 lie within 2.5 % of it."""
    assert daylight.PHOTONS_PER_JOULE == 4.57
    for name in ("D50", "D55", "D65", "D75"):
        assert measures(name)[1] == pytest.approx(4.57, rel=0.025), name


@pytest.mark.parametrize("lamp", [("sun", 54), ("metal-halide", 71), ("hps", 82), ("fluorescent-cool-white", 74)])
def test_flux_from_the_label(bench: Bench, lamp: tuple[str, int]) -> None:
    """Thimijan & Heins 1983, Table 3: as many lumens as the constant are a micromole a second."""
    name, constant = lamp
    assert light.lamp_flux(constant * 25.0, lamp_range(bench, name)[0]) == pytest.approx(25)


@pytest.mark.parametrize(
    ("distance", "too_much"), [(0.5, 2.0), (1, 1.25), (2, 1.0625), (3, 1.0278), (5, 1.01), (10, 1.0025)]
)
def test_inverse_square_law_over_a_disc(distance: float, too_much: float) -> None:
    """On the axis of a disc of diameter 1 the law, right far away, gives 1 + (D/2d)² times too much."""
    far = 1e4
    law = light.inverse_square(light.disc_factor(0.5, 0, far), far, distance)
    assert law / light.disc_factor(0.5, 0, distance) == pytest.approx(too_much, abs=1e-4)
    assert too_much == pytest.approx(1 + (1 / (2 * distance)) ** 2, abs=1e-4)


def test_five_times_rule() -> None:
    """ANSI/IES LS-1, 9.1.1: within 1 % where the distance is at least 5 times a uniform source's largest dimension."""
    far = 1e4
    sources = {
        1.0: lambda d: light.disc_factor(0.5, 0, d),
        math.hypot(0.6, 0.3): lambda d: light.rectangle_factor(0.6, 0.3, 0, 0, d),
        math.hypot(0.5, 0.5): lambda d: light.rectangle_factor(0.5, 0.5, 0, 0, d),
    }
    for size, factor in sources.items():
        for times in (5.0, 7.0, 20.0):
            distance = times * size
            assert light.inverse_square_holds(distance, size)
            law = light.inverse_square(factor(far), far, distance)
            assert law == pytest.approx(factor(distance), rel=0.01)
    assert not light.inverse_square_holds(4.9, 1.0)
    assert light.inverse_square(light.disc_factor(0.5, 0, far), far, 4.0) > 1.01 * light.disc_factor(0.5, 0, 4.0)


def seen(x: float, y: float, height: float) -> float:
    """What an element gets from an element of a parallel plane, x and y aside: cos² / (π r²)."""
    return height**2 / (math.pi * (x * x + y * y + height * height) ** 2)


@pytest.mark.parametrize(
    ("width", "depth", "dx", "dy", "height"),
    [
        (0.6, 0.3, 0, 0, 0.3),
        (0.6, 0.3, 0.3, 0.15, 0.3),
        (0.6, 0.3, 0.5, -0.1, 0.2),
        (1.2, 0.1, -0.9, 0.4, 0.5),
        (2, 2, 0, 0, 0.1),
    ],
)
def test_rectangle_against_quadrature(width: float, depth: float, dx: float, dy: float, height: float) -> None:
    """Under the middle, under a corner, aside, and close to a wide source."""
    exact, _ = dblquad(
        lambda y, x: seen(x, y, height), dx - width / 2, dx + width / 2, dy - depth / 2, dy + depth / 2, epsabs=1e-10
    )
    assert light.rectangle_factor(width, depth, dx, dy, height) == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize(
    ("radius", "offset", "height"), [(0.3, 0, 0.3), (0.3, 0.2, 0.3), (0.3, 0.6, 0.2), (1, 0.9, 0.2)]
)
def test_disc_against_quadrature(radius: float, offset: float, height: float) -> None:
    """On the axis, off it, beside the disc, and near the rim of a wide one."""
    exact, _ = dblquad(
        lambda turn, r: r * seen(offset + r * math.cos(turn), r * math.sin(turn), height), 0, radius, 0, 2 * math.pi
    )
    assert light.disc_factor(radius, offset, height) == pytest.approx(exact, rel=1e-5)


def test_disc_of_strips() -> None:
    """A disc cut into two thousand rectangles."""
    middles = (np.arange(2000) + 0.5) / 1000 - 1
    strips = light.rectangle_factor(2 * np.sqrt(1 - middles**2), 0.001, 0.4, middles, 0.5)
    assert strips.sum() == pytest.approx(light.disc_factor(1, 0.4, 0.5), rel=1e-4)


@pytest.mark.parametrize(("rise", "gap"), [(0.1, 0.1), (0.3, 0.1), (0.05, 0.4)])
def test_wall_against_quadrature(rise: float, gap: float) -> None:
    """Half the sky behind a long wall: each bearing φ off the wall's normal is hidden up to atan(rise cos φ / gap)."""
    hidden, _ = dblquad(
        lambda up, turn: math.sin(up) * math.cos(up) / math.pi,
        -math.pi / 2,
        math.pi / 2,
        0,
        lambda turn: math.atan(rise * math.cos(turn) / gap),
    )
    assert light.wall_shade(rise, gap) == pytest.approx(hidden, rel=1e-6)
