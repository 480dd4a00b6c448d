"""Light under lamps and beside walls: what must hold whatever the geometry."""

import math

import numpy as np
import pytest

from arrays import agrees_on_arrays
from bogwright.physics import light
from bogwright.physics.ranges import OutOfRange

RANDOM = np.random.default_rng(20261125)


def column(low, high):
    return RANDOM.uniform(low, high, 200)


@pytest.mark.parametrize(
    ("function", "columns"),
    [
        (light.lamp_flux, [column(0, 1e4), column(50, 90)]),
        (light.rectangle_factor, [column(0, 2), column(0, 2), column(-2, 2), column(-2, 2), column(0.05, 2)]),
        (light.disc_factor, [column(0, 2), column(0, 2), column(0.05, 2)]),
        (light.ppfd_under, [column(0, 500), column(0.01, 1), column(0, 1)]),
        (light.from_reading, [column(0, 1e4), column(0, 1), column(0.01, 1)]),
        (light.inverse_square, [column(0, 500), column(0.1, 2), column(0.1, 2)]),
        (light.wall_shade, [column(0, 2), column(0.01, 2)]),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_arrays(function, columns):
    """Columns are worked out as their numbers are."""
    agrees_on_arrays(function, *columns)


def test_factor_lies_between_nothing_and_all():
    """Touching a wide source all of its brightness, far away or far aside none; without a source none."""
    width, depth, dx, dy, height = column(0, 3), column(0, 3), column(-3, 3), column(-3, 3), column(0.01, 3)
    for factor in (
        light.rectangle_factor(width, depth, dx, dy, height),
        light.disc_factor(width, np.hypot(dx, dy), height),
    ):
        assert (factor >= 0).all()
        assert (factor <= 1).all()
    for near, far, aside, none in (
        [light.rectangle_factor(w, 1, x, 0, h) for w, x, h in ((1, 0, 1e-4), (1, 0, 1e6), (1, 1e4, 1), (0, 0, 1))],
        [light.disc_factor(r, x, h) for r, x, h in ((1, 0, 1e-4), (1, 0, 1e6), (1, 1e4, 1), (0, 0, 1))],
    ):
        assert near == pytest.approx(1, abs=1e-3)
        assert far == pytest.approx(0, abs=1e-11)
        assert aside == pytest.approx(0, abs=1e-7)
        assert none == 0


def test_factor_falls_with_distance():
    """Away from under the source, and down from it, light only falls."""
    away = np.linspace(0, 3, 100)
    assert (np.diff(light.rectangle_factor(0.6, 0.3, away, 0, 0.3)) < 0).all()
    assert (np.diff(light.rectangle_factor(0.6, 0.3, 0, 0, 0.01 + away)) < 0).all()
    assert (np.diff(light.disc_factor(0.3, away, 0.3)) < 0).all()
    assert (np.diff(light.disc_factor(0.3, 0, 0.01 + away)) < 0).all()


def test_rectangle_is_the_sum_of_its_parts():
    """Cut anywhere, the halves together give what the whole gives; either side is like the other."""
    whole = light.rectangle_factor(0.8, 0.4, 0.1, 0.05, 0.3)
    left, right = (light.rectangle_factor(0.4, 0.4, 0.1 + shift, 0.05, 0.3) for shift in (-0.2, 0.2))
    assert left + right == pytest.approx(whole, rel=1e-12)
    assert light.rectangle_factor(0.8, 0.4, -0.1, -0.05, 0.3) == pytest.approx(whole, rel=1e-12)
    assert light.rectangle_factor(0.4, 0.8, 0.05, 0.1, 0.3) == pytest.approx(whole, rel=1e-12)


def test_photons_are_conserved():
    """A lamp's whole flux falls on a plane wide enough to catch it."""
    side = np.linspace(-20, 20, 401)
    dx, dy = np.meshgrid(side, side)
    on_plane = light.ppfd_under(60, 0.18, light.rectangle_factor(0.6, 0.3, dx, dy, 0.5)).sum() * 0.1**2
    assert on_plane == pytest.approx(60, rel=0.002)


def test_reading_carries_over():
    """A reading under the lamp gives itself back, and elsewhere what the factors say."""
    here, there = light.rectangle_factor(0.6, 0.3, 0, 0, 0.3), light.rectangle_factor(0.6, 0.3, 0.2, 0.1, 0.4)
    flux = light.lamp_flux(4000, 70)
    reading = light.ppfd_under(flux, 0.18, here)
    assert light.from_reading(reading, here, here) == pytest.approx(reading)
    assert light.from_reading(reading, there, here) == pytest.approx(light.ppfd_under(flux, 0.18, there))


def test_inverse_square():
    """Twice as far a quarter, there and back the same; far enough to hold only at five times the source's size."""
    assert light.inverse_square(200, 0.5, 1.0) == pytest.approx(50)
    assert light.inverse_square(light.inverse_square(200, 0.5, 0.8), 0.8, 0.5) == pytest.approx(200)
    assert light.inverse_square_holds(1.5, 0.3)
    assert not light.inverse_square_holds(0.5, 0.3)


def test_wall_shade():
    """No wall hides nothing, a wall without end half the sky; nearer and higher ones hide more."""
    assert light.wall_shade(0, 0.1) == 0
    assert light.wall_shade(1e9, 0.1) == pytest.approx(0.5)
    assert light.wall_shade(0.1, 0.1) == pytest.approx((1 - math.cos(math.pi / 4)) / 2)
    rising = np.linspace(0.01, 2, 100)
    assert (np.diff(light.wall_shade(rising, 0.2)) > 0).all()
    assert (np.diff(light.wall_shade(0.2, rising)) < 0).all()


@pytest.mark.parametrize(
    "call",
    [
        lambda: light.lamp_flux(-1, 70),
        lambda: light.lamp_flux(1000, 0),
        lambda: light.rectangle_factor(1, 1, 0, 0, 0),
        lambda: light.disc_factor(-1, 0, 1),
        lambda: light.ppfd_under(10, 0, 0.5),
        lambda: light.ppfd_under(10, 1, 1.2),
        lambda: light.from_reading(10, 0.5, 0),
        lambda: light.inverse_square(10, 0, 1),
        lambda: light.wall_shade(1, 0),
    ],
)
def test_beyond_the_range(call):
    """No distance, no lamp, no light less than none."""
    with pytest.raises(OutOfRange, match="outside"):
        call()
