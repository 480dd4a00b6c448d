"""Heat of a case: what must hold whatever the numbers."""

import math

import numpy as np
import pytest

from arrays import agrees_on_arrays
from bogwright.physics import heat
from bogwright.physics.ranges import OutOfRange

RANDOM = np.random.default_rng(20261125)


def column(low, high):
    return RANDOM.uniform(low, high, 200)


@pytest.mark.parametrize(
    ("function", "columns"),
    [
        (heat.pane_conductance, [column(0.001, 0.02), column(0.1, 2), column(0.1, 0.4)]),
        (heat.heat_loss, [column(0, 3), column(1, 6), column(0, 10)]),
        (heat.warmth_above_room, [column(0, 100), column(0.5, 20)]),
        (heat.hours_until, [column(-10, 30), column(-10, 30), column(-10, 30), column(1e4, 1e6), column(0.5, 20)]),
        (heat.damping_depth, [column(1e-7, 1e-6), column(1e3, 1e7)]),
        (heat.damped, [column(-5, 30), column(0, 20), column(0, 1), column(0.05, 0.3)]),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_arrays(function, columns):
    """Columns are worked out as their numbers are."""
    agrees_on_arrays(function, *columns)


def test_pane():
    """ISO 6946: 1 / (Rsi + d/λ + Rse). Four millimetres of glass indoors hardly count beside the air at both faces."""
    indoors = 2 * heat.SURFACE_RESISTANCE["wall"]
    glass = heat.pane_conductance(0.004, heat.CONDUCTIVITY["glass"], indoors)
    assert glass == pytest.approx(1 / (0.13 + 0.004 / 1.0 + 0.13))
    assert glass == pytest.approx(1 / indoors, rel=0.02)
    assert heat.pane_conductance(0.004, heat.CONDUCTIVITY["acrylic"], indoors) < glass
    thicker = heat.pane_conductance(np.linspace(0, 0.1, 50), 1.0, indoors)
    assert (np.diff(thicker) < 0).all()


def test_loss_adds_up():
    """Losses of two panes and two exchanges add; nothing loses nothing."""
    assert heat.heat_loss(3, 4, 2) == pytest.approx(heat.heat_loss(1, 4, 0) + heat.heat_loss(2, 4, 2))
    assert heat.heat_loss(0, 4, 0) == 0
    # 1.2 kg/m³ of 1005 J/(kg K), by memory of air at 20 °C
    assert heat.heat_loss(0, 4, 1) == pytest.approx(1.2 * 1005 / 3600)


def test_power_in_is_power_out():
    """The warmth at which the case settles loses just what it gets."""
    power, loss = column(0, 100), column(0.5, 20)
    np.testing.assert_allclose(heat.warmth_above_room(power, loss) * loss, power, rtol=1e-12)


def test_hours_until_against_small_steps():
    """The closed form against a case stepped second by second."""
    start, outside, limit, capacity, loss, power = 20.0, -5.0, 3.0, 2e5, 4.0, 10.0
    celsius, seconds = start, 0
    while celsius > limit:
        celsius += (power - loss * (celsius - outside)) / capacity
        seconds += 1
    assert heat.hours_until(start, outside, limit, capacity, loss, power) == pytest.approx(seconds / 3600, abs=1e-3)


def test_hours_until_never_and_at_once():
    """It never gets below where it settles, nor to what lies the other way; where it is, it is at once."""
    assert heat.hours_until(20, 5, 5, 1e5, 2) == math.inf
    assert heat.hours_until(20, 5, 4, 1e5, 2) == math.inf
    assert heat.hours_until(20, 5, 25, 1e5, 2) == math.inf
    assert heat.hours_until(20, -5, 0, 1e5, 2, power=20) == math.inf, "10 K above -5 °C is kept"
    assert heat.hours_until(20, 5, 20, 1e5, 2) == 0
    assert heat.hours_until(20, 20, 20, 1e5, 2) == 0
    assert heat.hours_until(20, 20, 25, 1e5, 2, power=20) > 0, "a heater warms"


def test_hours_until_is_monotonic():
    """More mass buys time, more loss costs it."""
    rising = np.linspace(1, 50, 100)
    assert (np.diff(heat.hours_until(20, -5, 3, rising * 1e4, 4)) > 0).all()
    assert (np.diff(heat.hours_until(20, -5, 3, 1e5, rising)) < 0).all()


def test_damping():
    """At the surface the whole swing, deep down the mean, at the damping depth 1/e of it; slow swings go deeper."""
    day = heat.damping_depth(0.12e-6, 86400)
    year = heat.damping_depth(0.12e-6, 365 * 86400)
    assert year / day == pytest.approx(math.sqrt(365))
    assert heat.damped(15, 10, 0, day) == (5, 25)
    assert heat.damped(15, 10, 20 * day, day) == pytest.approx((15, 15), abs=1e-6)
    assert heat.damped(15, 10, day, day)[1] == pytest.approx(15 + 10 / math.e)


def test_damping_solves_the_heat_equation():
    """√(κP/π) against a stepped half space of wet sand under a daily swing."""
    diffusivity, period, step, cells = 0.9e-6, 86400.0, 0.01, 120
    seconds = 0.4 * step**2 / diffusivity
    column_ = np.full(cells, 15.0)
    swings = []
    for k in range(int(6 * period / seconds)):
        column_[0] = 15 + 10 * math.sin(2 * math.pi * k * seconds / period)
        column_[1:-1] += diffusivity * seconds / step**2 * (column_[2:] - 2 * column_[1:-1] + column_[:-2])
        if k * seconds > 5 * period:
            swings.append(column_[10])
    low, high = heat.damped(15, 10, 10 * step, heat.damping_depth(diffusivity, period))
    assert (min(swings), max(swings)) == pytest.approx((low, high), abs=0.1)


@pytest.mark.parametrize(
    "call",
    [
        lambda: heat.pane_conductance(-0.004, 1, 0.26),
        lambda: heat.pane_conductance(0.004, 0, 0.26),
        lambda: heat.warmth_above_room(10, 0),
        lambda: heat.hours_until(20, 5, 10, 0, 2),
        lambda: heat.damped(15, 10, 0.1, 0),
        lambda: heat.damping_depth(np.array([-1.0, 1.0]), 86400),
    ],
)
def test_beyond_the_range(call):
    """What makes no sense is refused."""
    with pytest.raises(OutOfRange, match="outside"):
        call()
