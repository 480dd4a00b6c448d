"""Demands as boxes: control error, strictness, and light as a product of level and hours, against brute force."""

import random

import numpy as np
import pytest

from bogwright.sharing.axes import INFINITE
from bogwright.sharing.boxes import LADDER, Strictness, compile_box, control_error, regime_of
from bogwright.sharing.demands import UNKNOWN, Demand


def ask(low=None, high=None, outside=("decline", "decline")) -> Demand:
    """A demand with point ends."""
    return Demand(
        None if low is None else (low, low) if not isinstance(low, tuple) else low,
        None if high is None else (high, high) if not isinstance(high, tuple) else high,
        *outside,
    )


def bounds(box, frame, axis):
    n = frame.order.index(axis)
    return box.lows[n], box.highs[n]


def test_bands_shrink_by_the_control_error_and_the_drop_by_the_sum_of_both(axes, frame):
    """Half the error at half strictness; a drop carries the errors of day and night."""
    demands = {"temperature_day": ask(10, 30), "night_drop": ask(5)}
    full = compile_box(demands, None, False, axes, frame, LADDER["full"])
    half = compile_box(demands, None, False, axes, frame, LADDER["half"])
    assert bounds(full, frame, "temperature_day") == (11.5, 28.5)
    assert bounds(half, frame, "temperature_day") == (10.75, 29.25)
    assert bounds(full, frame, "night_drop")[0] == 8
    assert control_error(axes, axes["night_drop"]) == 3


def test_bands_that_merely_touch_are_a_clash(axes, frame):
    """A flytrap's rest up to 10 degC in a case that is never colder than 10 degC."""
    rest = compile_box({"temperature_night": ask(-3, 10)}, None, False, axes, frame, LADDER["full"])
    warm = compile_box({"temperature_night": ask(10, 24)}, None, False, axes, frame, LADDER["full"])
    assert not frame.feasible(rest & warm)


def test_ends_that_only_slow_growth_give_way_on_the_last_rung(axes, frame):
    """The slow rung keeps deadly ends and drops slow ones."""
    demand = {"temperature_day": ask(10, 30, ("slow", "death"))}
    box = compile_box(demand, None, False, axes, frame, LADDER["slow"])
    assert bounds(box, frame, "temperature_day") == (axes["temperature_day"].settable[0], 28.5)


def test_doubt_presses_hard_when_certain_and_gives_way_when_possible(axes, frame):
    """An end known to lie in 26-32: certain takes 26, possible 32; an unknown end does not bind."""
    demand = {"temperature_day": ask(high=(26, 32)), "temperature_night": Demand(UNKNOWN, UNKNOWN, "death", "death")}
    certain = compile_box(demand, None, False, axes, frame, Strictness())
    possible = compile_box(demand, None, False, axes, frame, Strictness(certain=False))
    assert bounds(certain, frame, "temperature_day")[1] == 24.5
    assert bounds(possible, frame, "temperature_day")[1] == 30.5
    assert bounds(certain, frame, "temperature_night") == axes["temperature_night"].settable


def test_light_a_day_bounds_the_hours_as_brute_force_finds(axes, frame):
    """Each plant's place may have any level a lamp gives.

    The hours are the case's. 400 random groups on a fine grid.
    """
    rng = random.Random(13)
    level, hours, dli = axes["ppfd"], axes["photoperiod"], axes["dli"]
    error = (1 + level.relative_error) * (1 + hours.relative_error)
    grid = np.linspace(*hours.settable, 1601)
    levels = np.geomspace(*level.settable, 1201)
    light = np.outer(grid, levels) * dli.coupling.factor
    seen = {True: 0, False: 0}
    for _ in range(400):
        group = []
        for _ in range(rng.randint(1, 3)):
            low = rng.choice([None, rng.uniform(1, 70)])
            high = None if low is not None and rng.random() < 0.5 else (low or 0.2) * rng.uniform(1.1, 3)
            group.append({"dli": ask(low, high), "photoperiod": ask(*sorted(rng.uniform(4, 20) for _ in range(2)))})
        whole = frame.open_box
        truth = np.ones(len(grid), dtype=bool)
        for demands in group:
            whole &= compile_box(demands, None, False, axes, frame, LADDER["full"])
            asked, day = demands["dli"], demands["photoperiod"]
            ok = np.ones_like(light, dtype=bool)
            if asked.low is not None:
                ok &= light >= asked.low[0] * error
            if asked.high is not None:
                ok &= light <= asked.high[0] / error
            truth &= (
                ok.any(axis=1)
                & (grid >= day.low[0] + hours.control_error)
                & (grid <= day.high[0] - hours.control_error)
            )
        feasible = frame.feasible(whole)
        seen[feasible] += 1
        low, high = bounds(whole, frame, "photoperiod")
        if abs(high - low) > 0.05:  # the grid cannot tell a window narrower than its step
            assert bool(truth.any()) is feasible
            if feasible:
                assert grid[truth].min() == pytest.approx(low, abs=0.02) and grid[truth].max() == pytest.approx(
                    high, abs=0.02
                )
    assert min(seen.values()) > 60


def test_darkness_is_no_demand(axes, frame):
    """A plant that rests without light bounds no hours."""
    box = compile_box({"dli": ask(8, 20)}, None, True, axes, frame, LADDER["full"])
    assert bounds(box, frame, "photoperiod") == axes["photoperiod"].settable


def test_regimes_are_boxes_by_month(frame):
    """A month's own bounds hold before those of the whole year; what a regime leaves out stays open."""
    made = regime_of("r", {"title": "r", "effort": 1, "temperature_day": {"all": [15, 30], "0": [2, 10]}}, frame)
    assert bounds(made.boxes[0], frame, "temperature_day") == (2, 10)
    assert bounds(made.boxes[5], frame, "temperature_day") == (15, 30)
    assert bounds(made.boxes[5], frame, "night_drop") == (-INFINITE, INFINITE)
