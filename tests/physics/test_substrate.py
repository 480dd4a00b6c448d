"""Substrate: water and air make up the pores, suction orders everything, layers lift what physics allows."""

from __future__ import annotations

import math
import time

import pytest

from bogwright.physics import substrate
from bogwright.physics.ranges import OutOfRange
from bogwright.physics.substrate import (
    Campbell,
    Layer,
    Retention,
    Tabled,
    air_content,
    by_classes,
    conductivity,
    greatest_supply,
    mixed_conductivity,
    mixed_water_content,
    moisture_class,
    suction_above,
    suction_passing,
    water_classes,
    water_content,
)

numpy = pytest.importorskip("numpy")

SUCTIONS = [0.0, 0.5, 1.0, 3.0, 10.0, 25.0, 50.0, 80.0, 100.0]
# Invented figures, in the shape of a sand, a peat and a gravel
SAND = Retention(0.05, 0.40, 0.15, 2.5, 700.0)
PEAT = Retention(0.08, 0.92, 0.06, 1.4, 40.0)
GRAVEL = Retention(0.02, 0.36, 1.1, 2.7, 80000.0)
MOSS = Retention(0.01, 0.62, 0.4, 1.8, porosity=0.98)
POWER = Campbell(0.9, 3.0, 1.0, 2000.0)
CLASSED = Tabled(((1.0, 0.9), (10.0, 0.7), (50.0, 0.4), (100.0, 0.3)))
MATERIALS = [SAND, PEAT, GRAVEL, MOSS, POWER, CLASSED]
CONDUCTING = [SAND, PEAT, GRAVEL, POWER]
MIX = [(PEAT, 0.5), (SAND, 0.3), (MOSS, 0.2)]


@pytest.mark.parametrize("material", MATERIALS)
def test_water_and_air_fill_the_pores(material):
    for suction in SUCTIONS:
        held, air = water_content(material, suction), air_content(material, suction)
        assert held + air == pytest.approx(material.pore_space)
        assert held >= 0 and air >= -1e-12


@pytest.mark.parametrize("material", MATERIALS)
def test_suction_takes_water(material):
    held = [water_content(material, suction) for suction in (-5.0, *SUCTIONS)]
    assert held == sorted(held, reverse=True)
    assert held[0] == held[1]  # under water as at its level


@pytest.mark.parametrize("material", CONDUCTING)
def test_suction_takes_conductivity(material):
    passed = [conductivity(material, suction) for suction in (*SUCTIONS, 1e3, 1e4)]
    assert passed == sorted(passed, reverse=True)
    assert passed[0] == material.ks


@pytest.mark.parametrize("material", MATERIALS)
def test_arrays_of_suction(material):
    assert water_content(material, numpy.array(SUCTIONS)) == pytest.approx(
        [water_content(material, suction) for suction in SUCTIONS]
    )
    assert math.isnan(water_content(material, math.nan))
    if material.ks is not None:
        assert conductivity(material, numpy.array(SUCTIONS)) == pytest.approx(
            [conductivity(material, suction) for suction in SUCTIONS]
        )
        assert math.isnan(conductivity(material, math.nan))


@pytest.mark.parametrize("material", [MOSS, CLASSED, Campbell(0.9, 3.0, 1.0)])
def test_without_a_measured_conductivity_no_supply_is_predicted(material):
    with pytest.raises(ValueError, match="not predicted: needs the material's conductivity"):
        conductivity(material, 10.0)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Retention(0.5, 0.4, 0.1, 2.0),
        lambda: Retention(0.0, 0.4, 0.1, 1.0),
        lambda: Retention(0.0, 0.4, 0.0, 2.0),
        lambda: Retention(0.0, 0.7, 0.1, 2.0, porosity=0.6),
        lambda: Retention(0.0, 1.2, 0.1, 2.0),
        lambda: Retention(0.0, 0.6, 0.3, 1.8, 100.0, l=-1.5),
        lambda: Campbell(1.2, 3.0, 1.0),
        lambda: by_classes((0.8, 0.9), {0.5: (0.7, 0.8)}),
        lambda: Tabled(((1.0, 0.5), (10.0, 0.6))),
        lambda: Tabled(((10.0, 0.5), (1.0, 0.4))),
        lambda: water_content(CLASSED, 120.0),
        lambda: mixed_water_content([(SAND, 0.5), (PEAT, 0.6)], 10.0),
        lambda: suction_above([Layer(5.0, SAND.conducts)], -0.1),
        lambda: substrate.jurin_rise(3.0),
        lambda: substrate.widest_wet_pore(0.5),
        lambda: substrate.gardner_limit(1.0, 10.0, 20.0),
        lambda: substrate.drained_suction(-1.0),
    ],
)
def test_what_no_material_or_formula_allows_is_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()


def test_classes_are_met_and_joined_in_the_logarithm_of_suction():
    driest, wettest = by_classes((0.85, 0.95), {10.0: (0.55, 0.70), 50.0: (0.31, 0.40), 100.0: (0.25, 0.31)})
    assert [water_content(driest, h) for h in (0.0, 1.0, 10.0, 50.0, 100.0)] == [0.85, 0.85, 0.55, 0.31, 0.25]
    assert water_content(wettest, 50.0) == 0.40
    assert water_content(wettest, math.sqrt(10 * 50)) == pytest.approx((0.70 + 0.40) / 2)
    for suction in SUCTIONS:
        assert water_content(driest, suction) < water_content(wettest, suction)


def test_a_mix_holds_what_its_materials_hold():
    for suction in SUCTIONS:
        held = sum(share * water_content(material, suction) for material, share in MIX)
        assert mixed_water_content(MIX, suction) == pytest.approx(held)
    assert mixed_water_content([(PEAT, 1.0)], 30.0) == water_content(PEAT, 30.0)


def test_a_mix_passes_no_less_than_in_series_and_no_more_than_side_by_side():
    two = [(PEAT, 0.5), (SAND, 0.5)]
    for suction in (*SUCTIONS, 1e4):
        least, most = mixed_conductivity(two, suction)
        each = sorted((conductivity(PEAT, suction), conductivity(SAND, suction)))
        assert each[0] <= least * (1 + 1e-9) and least <= most * (1 + 1e-9) and most <= each[1] * (1 + 1e-9)
    alike = mixed_conductivity([(PEAT, 0.4), (PEAT, 0.6)], 20.0)
    assert alike == pytest.approx((conductivity(PEAT, 20.0),) * 2)


def test_water_classes_share_out_the_pores():
    for material in MATERIALS:
        air, easy, buffer = water_classes(lambda h, m=material: water_content(m, h), material.pore_space)
        assert air + easy + buffer + water_content(material, 100.0) == pytest.approx(material.pore_space)
    assert water_classes(CLASSED.content) == pytest.approx((0.2, 0.3, 0.1))


def test_moisture_classes():
    suctions = [-1.0, 0.0, 9.9, 10.0, 50.0, 50.1, 100.0, 100.1, math.inf, math.nan]
    words = ["flooded", "wet", "wet", "damp", "damp", "barely-damp", "barely-damp", "dry", "dry", None]
    assert [moisture_class(suction) for suction in suctions] == words
    assert moisture_class(numpy.array(suctions)).tolist() == words


def test_at_rest_suction_is_height():
    layers = [Layer(5.0, SAND.conducts), Layer(7.0, PEAT.conducts)]
    assert suction_above(layers, 0.0) == 12.0
    assert suction_above([], 0.3) == 0.0
    assert suction_above(layers, 1e-9) == pytest.approx(12.0, rel=1e-3)


@pytest.mark.parametrize("material", CONDUCTING)
def test_the_top_is_drier_the_more_it_gives_off_and_the_higher_it_lies(material):
    by_flux = [suction_above([Layer(5.0, material.conducts)], flux) for flux in (0.0, 0.01, 0.1, 0.5, 2.0)]
    by_height = [suction_above([Layer(cm, material.conducts)], 0.1) for cm in (1.0, 3.0, 5.0, 6.0, 20.0)]
    assert by_flux == sorted(by_flux) and by_height == sorted(by_height)
    assert all(suction >= 5.0 * (1 - 1e-3) for suction in by_flux)


def test_a_layer_cut_in_two_is_the_same_layer():
    whole = suction_above([Layer(20.0, SAND.conducts)], 0.1)
    halves = suction_above([Layer(8.0, SAND.conducts), Layer(12.0, SAND.conducts)], 0.1)
    assert halves == pytest.approx(whole, rel=2e-3)


def test_the_greatest_supply_is_where_the_lift_breaks():
    for layers in ([Layer(15.0, SAND.conducts)], [Layer(10.0, SAND.conducts), Layer(10.0, PEAT.conducts)]):
        most = greatest_supply(layers)
        assert suction_above(layers, most * 0.99) < math.inf
        assert suction_above(layers, most * 1.01) == math.inf
    assert greatest_supply([]) == math.inf
    assert greatest_supply([Layer(200.0, GRAVEL.conducts)]) == 0.0


def test_unknown_flux_gives_unknown_suction():
    assert math.isnan(suction_above([Layer(5.0, SAND.conducts)], math.nan))
    assert math.isnan(suction_above([Layer(math.nan, SAND.conducts)], 0.1))


def test_a_column_is_judged_within_a_millisecond():
    """Called hundreds of times in a judgement; the best of many runs, so that a busy machine does not matter."""
    layers = [Layer(20.0, SAND.conducts)]
    best = min(_seconds(lambda: suction_above(layers, 0.1)) for _ in range(50))
    assert best < 1e-3


def _seconds(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def test_suction_passing_is_the_inverse_of_conductivity():
    for flux in (10.0, 0.1, 0.001):
        assert conductivity(SAND, suction_passing(SAND.conducts, flux)) == pytest.approx(flux, rel=1e-2)
    assert suction_passing(SAND.conducts, 1e4) == 0.0


def test_water_is_perched_over_a_coarse_layer():
    """A fine layer over gravel drains less far than over sand: the gravel stops carrying at a smaller suction."""
    rate = 0.1
    over_gravel = substrate.drained_suction(3.0, suction_passing(GRAVEL.conducts, rate))
    over_sand = substrate.drained_suction(3.0, suction_passing(SAND.conducts, rate))
    assert substrate.drained_suction(3.0) == 3.0 < over_gravel < over_sand
    assert moisture_class(over_gravel) == "wet" and moisture_class(over_sand) == "damp"


def test_an_exponential_conductivity_goes_through_both_readings():
    passes = substrate.exponential_through(1500.0, 25.0, 0.3)
    assert passes(0.0) == 1500.0
    assert passes(25.0) == pytest.approx(0.3)


def test_a_wick_carries_nothing_higher_than_the_medium_pulls():
    assert substrate.wick_capacity(50.0, 0.5, 10.0, 15.0, 10.0) == 0
    assert substrate.wick_capacity(50.0, 0.5, 10.0, 15.0, 40.0) == pytest.approx(50 * 0.5 * 30 / 15 / 1000)
    assert substrate.wick_capacity(50.0, 0.5, -5.0, 15.0, 10.0) > substrate.wick_capacity(50.0, 0.5, 5.0, 15.0, 10.0)


CLOSED = [
    (substrate.gardner_flux, [(10.0, 0.1, 20.0, math.inf), (10.0, 0.1, 20.0, 30.0), (10.0, 0.1, 20.0, 0.0)]),
    (substrate.gardner_limit, [(1.5, 100.0, 20.0), (4.0, 100.0, 20.0)]),
    (substrate.jurin_rise, [(0.1,), (1.0,)]),
    (substrate.widest_wet_pore, [(10.0,), (100.0,)]),
    (substrate.washburn, [(0.1, 10.0), (0.02, 60.0)]),
    (substrate.wick_capacity, [(50.0, 0.5, 10.0, 15.0, 40.0), (50.0, 0.5, 10.0, 15.0, 5.0)]),
    (substrate.drained_suction, [(3.0, 0.0), (3.0, 5.0)]),
]


@pytest.mark.parametrize(("function", "rows"), CLOSED, ids=[function.__name__ for function, _ in CLOSED])
def test_closed_forms_take_arrays_and_keep_the_unknown(function, rows):
    together = function(*(numpy.array(column) for column in zip(*rows, strict=True)))
    assert together == pytest.approx([function(*row) for row in rows], rel=1e-12)
    for unknown in range(len(rows[0])):
        assert math.isnan(function(*(math.nan if n == unknown else value for n, value in enumerate(rows[0])))), unknown


def test_gardner_at_its_limits():
    assert substrate.gardner_flux(10.0, 0.1, 20.0, 20.0) == pytest.approx(0)  # suction equals height: at rest
    assert substrate.gardner_flux(10.0, 0.1, 20.0, 0.0) == pytest.approx(-10.0)  # wet above and below: falls at ks
    rising = [substrate.gardner_flux(10.0, 0.1, 20.0, suction) for suction in (0.0, 10.0, 20.0, 40.0, math.inf)]
    assert rising == sorted(rising)


def test_jurin_and_the_widest_wet_pore_are_inverse():
    for diameter in (0.03, 0.3, 1.0):
        assert substrate.widest_wet_pore(substrate.jurin_rise(diameter)) == pytest.approx(diameter)
