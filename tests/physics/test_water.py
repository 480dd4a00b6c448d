"""Water: mass is conserved, limits hold, unknown stays unknown, arrays give what numbers give."""

from __future__ import annotations

import math

import pytest

from bogwright.physics import water
from bogwright.physics.ranges import OutOfRange

numpy = pytest.importorskip("numpy")

NAN = math.nan
SALTS = [(2.0, 0.05, 3.0, 0.0), (20.0, 0.1, 2.0, 0.0), (8.0, 0.2, 12.0, 5.0), (60.0, 0.02, 0.8, 1.5)]

# a function and a few lists of arguments within its range
CASES = [
    (water.at_25, [(100.0, 18.0, 1.9), (1147.0, 15.0, 2.0), (50.0, 25.0, 1.94)]),
    (water.solids_from_conductivity, [(100.0, 0.5), (78.1, 0.64)]),
    (water.conductivity_from_solids, [(50.0, 0.5), (50.0, 0.7)]),
    (water.mixed, [(0.25, 5.0, 250.0), (1.0, 5.0, 250.0)]),
    (water.share_of_first, [(50.0, 5.0, 250.0), (5.0, 5.0, 250.0), (7.0, 7.0, 7.0)]),
    (water.days_until_dry, [(2.0, 0.1), (2.0, 0.0)]),
    (water.solids_after, [(30.0, 20.0, 20.0, 0.1, 2.0, 0.0), (7.0, 5.0, 8.0, 0.2, 12.0, 4.0)]),
    (water.after_flush, [(80.0, 10.0, 2.0, 4.0), (80.0, 10.0, 0.0, 4.0)]),
    (water.cycle_end, [(*salts, 30.0, 2.0) for salts in SALTS] + [(8.0, 0.1, 2.0, 0.0, 30.0, 0.0)]),
    (water.flush_interval, [(100.0, *salts, 2.0) for salts in SALTS] + [(40.0, 60.0, 0.1, 2.0, 0.0, 2.0)]),
    (water.flush_volume, [(100.0, *salts, 30.0) for salts in SALTS] + [(40.0, 60.0, 0.1, 2.0, 0.0, 30.0)]),
    (water.leaching_requirement, [(0.6, 0.4), (1.2, 2.5)]),
    (water.water_to_apply, [(40.0, 0.43), (800.0, 0.0)]),
    (water.cycles_of_concentration, [(600.0, 300.0), (300.0, 300.0)]),
    (water.blowdown, [(1620.0, 2.0), (1620.0, 1.0)]),
    (water.co2_in_water, [(5.0, 420.0), (25.0, 350.0)]),
    (water.ph_of_water, [(0.0, 0.5, 25.0), (100.0, 0.7, 15.0)]),
]
NAMES = [function.__name__ for function, _ in CASES]


@pytest.mark.parametrize(("function", "rows"), CASES, ids=NAMES)
def test_an_array_gives_what_its_numbers_give(function, rows):
    together = function(*(numpy.array(column) for column in zip(*rows, strict=True)))
    assert together == pytest.approx([function(*row) for row in rows], rel=1e-12, nan_ok=True)


@pytest.mark.parametrize(("function", "rows"), CASES, ids=NAMES)
def test_unknown_in_is_unknown_out(function, rows):
    row = rows[0]
    for unknown in range(len(row)):
        assert math.isnan(function(*(NAN if n == unknown else value for n, value in enumerate(row)))), unknown


def test_mixing_keeps_the_salts():
    for share in (0.0, 0.1, 0.5, 0.9, 1.0):
        blend = water.mixed(share, 5.0, 250.0)
        assert 100 * blend == pytest.approx(100 * share * 5 + 100 * (1 - share) * 250)
        assert water.share_of_first(blend, 5.0, 250.0) == pytest.approx(share)


def test_no_mixture_leaves_the_range_of_its_waters():
    for target in (4.0, 251.0):
        with pytest.raises(OutOfRange):
            water.share_of_first(target, 5.0, 250.0)
    with pytest.raises(OutOfRange):
        water.share_of_first(10.5, 10.0, 10.0)


def test_topping_up_keeps_the_salts():
    for supply, evaporation, volume, source in SALTS:
        start, days = 12.0, 45.0
        end = water.solids_after(days, start, supply, evaporation, volume, source)
        assert volume * end == pytest.approx(volume * start + days * (evaporation * supply + source))


def test_a_flush_keeps_the_salts():
    """What the vessel loses is what the drain carries: the mean of the outflow, in many small flushes."""
    before, supply, volume, flush, parts = 80.0, 10.0, 4.0, 3.0, 4000
    held, drained = before, 0.0
    for _ in range(parts):
        after = water.after_flush(held, supply, flush / parts, volume)
        drained += flush / parts * (held + after) / 2
        held = after
    assert held == pytest.approx(water.after_flush(before, supply, flush, volume))
    assert volume * before + flush * supply == pytest.approx(volume * held + drained)


def test_the_repeating_cycle_repeats():
    for supply, evaporation, volume, source in SALTS:
        end = water.cycle_end(supply, evaporation, volume, source, 30.0, 2.0)
        start = water.after_flush(end, supply, 2.0, volume)
        assert water.solids_after(30.0, start, supply, evaporation, volume, source) == pytest.approx(end)


def test_interval_and_volume_hold_the_limit():
    for salts in SALTS:
        limit = salts[0] + 60
        days = water.flush_interval(limit, *salts, 2.0)
        assert water.cycle_end(*salts, days, 2.0) == pytest.approx(limit)
        litres = water.flush_volume(limit, *salts, 30.0)
        if litres < math.inf:
            assert water.cycle_end(*salts, 30.0, litres) == pytest.approx(limit)


def test_flushing_at_its_limits():
    assert water.flush_interval(50.0, 60.0, 0.1, 2.0, 0.0, 5.0) == 0  # the supply itself is above
    assert water.flush_interval(50.0, 10.0, 0.1, 2.0, 0.0, 0.0) == 0  # nothing is flushed
    assert water.flush_interval(50.0, 0.0, 0.1, 2.0, 0.0, 1.0) == math.inf  # nothing builds up
    assert water.flush_volume(50.0, 0.0, 0.1, 2.0, 0.0, 30.0) == 0
    assert water.flush_volume(50.0, 60.0, 0.1, 2.0, 0.0, 30.0) == math.inf
    assert water.flush_volume(50.0, 40.0, 0.1, 2.0, 0.0, 30.0) == math.inf  # builds up too far within one cycle
    assert water.cycle_end(10.0, 0.1, 2.0, 0.0, 30.0, 0.0) == math.inf
    assert water.cycle_end(0.0, 0.1, 2.0, 0.0, 30.0, 0.0) == 0


def test_more_flushing_means_less_salt():
    by_volume = [water.cycle_end(20.0, 0.1, 2.0, 0.0, 30.0, litres) for litres in (0.5, 1.0, 2.0, 5.0, 20.0)]
    by_days = [water.cycle_end(20.0, 0.1, 2.0, 0.0, days, 2.0) for days in (1.0, 7.0, 30.0, 90.0)]
    assert by_volume == sorted(by_volume, reverse=True)
    assert by_days == sorted(by_days)
    assert by_volume[-1] == pytest.approx(20 + 0.1 * 20 * 30 / 2, rel=1e-4)  # all exchanged: one month's rise remains


def test_flushed_ever_more_often_it_becomes_a_steady_outflow():
    """A flush of B·dt every dt days tends to cycles of concentration with the outflow B."""
    evaporation, supply, outflow, often = 0.1, 20.0, 0.05, 0.001
    end = water.cycle_end(supply, evaporation, 2.0, 0.0, often, outflow * often)
    cycles = water.cycles_of_concentration(end, supply)
    assert water.blowdown(evaporation, cycles) == pytest.approx(outflow, rel=1e-3)


@pytest.mark.parametrize("unit", water.ALKALINITY_UNITS)
def test_alkalinity_there_and_back(unit):
    assert water.alkalinity(water.alkalinity(3.0, "dKH", unit), unit, "dKH") == pytest.approx(3.0)


def test_an_unknown_unit_is_refused():
    with pytest.raises(KeyError):
        water.alkalinity(3.0, "ppm")


def test_conductivity_needs_its_factor():
    assert water.conductivity_from_solids(water.solids_from_conductivity(123.0, 0.64), 0.64) == pytest.approx(123.0)
    with pytest.raises(OutOfRange):
        water.solids_from_conductivity(100.0, 640.0)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: water.at_25(100.0, 60.0, 2.0),
        lambda: water.mixed(1.2, 5.0, 250.0),
        lambda: water.solids_after(1.0, 5.0, 5.0, 0.1, 0.0, 0.0),
        lambda: water.leaching_requirement(2.0, 0.4),
        lambda: water.water_to_apply(40.0, 1.0),
        lambda: water.co2_in_water(70.0, 420.0),
        lambda: water.ph_of_water(400.0, 0.6, 20.0),
        lambda: water.ph_of_water(-1.0, 0.6, 20.0),
    ],
)
def test_beyond_its_range_a_formula_refuses(refused):
    with pytest.raises(OutOfRange):
        refused()


def test_alkalinity_raises_the_ph_and_carbon_dioxide_lowers_it():
    by_alkalinity = [water.ph_of_water(a, 0.6, 20.0) for a in (0.0, 1.0, 10.0, 100.0, 300.0)]
    by_gas = [water.ph_of_water(20.0, gas, 20.0) for gas in (0.3, 0.6, 3.0, 30.0)]
    assert by_alkalinity == sorted(by_alkalinity)
    assert by_gas == sorted(by_gas, reverse=True)
    assert water.ph_of_water(0.0, 0.0, 25.0) == pytest.approx(7.0, abs=0.01)
