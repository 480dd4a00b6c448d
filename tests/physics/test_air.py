"""Vapour in air: what must hold whatever the numbers."""

import math

import numpy as np
import pytest

from arrays import agrees_on_arrays
from bogwright.physics import air
from bogwright.physics.ranges import OutOfRange

RANDOM = np.random.default_rng(20261125)
CELSIUS = RANDOM.uniform(-30, 60, 200)
HUMIDITY = RANDOM.uniform(0, 100, 200)
COLUMNS = {name: RANDOM.uniform(low, high, 200) for name, (low, high) in {
    "room": (2, 15), "flow": (0, 5), "area": (0, 0.5), "transfer": (0, 20), "wet": (5, 30), "coldest": (0, 30)
}.items()}  # fmt: skip


@pytest.mark.parametrize(
    ("function", "columns"),
    [
        (air.saturation_vapour_pressure, [CELSIUS]),
        (air.saturation_slope, [CELSIUS]),
        (air.saturation_content, [CELSIUS]),
        (air.actual_vapour_pressure, [CELSIUS, HUMIDITY]),
        (air.vapour_pressure_deficit, [CELSIUS, HUMIDITY]),
        (air.absolute_humidity, [CELSIUS, HUMIDITY]),
        (air.relative_humidity, [CELSIUS, HUMIDITY / 50]),
        (air.humidity_from_content, [CELSIUS, HUMIDITY / 10]),
        (air.dew_point, [RANDOM.uniform(0.06, 19, 200)]),
        (air.air_pressure, [RANDOM.uniform(-400, 5000, 200)]),
        (air.psychrometric_constant, [RANDOM.uniform(50, 110, 200)]),
        (air.wind_at_two_metres, [RANDOM.uniform(0, 9, 200), RANDOM.uniform(1, 10, 200)]),
        (air.steady_content, [COLUMNS["room"], RANDOM.uniform(0, 5, 200), COLUMNS["flow"]]),
        (air.content_after, [RANDOM.uniform(0, 5, 200), *RANDOM.uniform(0, 20, (3, 200))]),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_arrays(function, columns):
    """Columns are worked out as their numbers are."""
    agrees_on_arrays(function, *columns)


def test_wet_case_of_arrays():
    """Columns are worked out as their numbers are, no flow and no wet surface among them."""
    columns = [COLUMNS[name].copy() for name in ("room", "flow", "area", "wet", "transfer", "coldest")]
    columns[1][:40], columns[2][20:60] = 0, 0
    agrees_on_arrays(lambda *c: (w := air.wet_case(*c), (w.content, w.condensing, w.leaving))[1], *columns)


def test_warmer_air_holds_more():
    """Saturation rises with temperature, and its slope is the derivative."""
    rising = np.linspace(-30, 60, 1000)
    assert (np.diff(air.saturation_vapour_pressure(rising)) > 0).all()
    assert (np.diff(air.saturation_content(rising)) > 0).all()
    slope = np.gradient(air.saturation_vapour_pressure(rising), rising)
    np.testing.assert_allclose(air.saturation_slope(rising)[1:-1], slope[1:-1], rtol=1e-4)


def test_there_and_back():
    """Dew point, relative humidity and content undo what made them; the dew point is never above the air."""
    humid = np.maximum(HUMIDITY, 20)
    mild = np.maximum(CELSIUS, -10)
    pressure = air.actual_vapour_pressure(mild, humid)
    assert (air.dew_point(pressure) <= mild + 1e-9).all()
    np.testing.assert_allclose(air.saturation_vapour_pressure(air.dew_point(pressure)), pressure, rtol=1e-12)
    np.testing.assert_allclose(air.relative_humidity(mild, pressure), humid, rtol=1e-12)
    np.testing.assert_allclose(air.humidity_from_content(mild, air.absolute_humidity(mild, humid)), humid, rtol=1e-12)


def test_deficit_falls_with_humidity_to_none():
    """The drier the air, the more it could take up; saturated air takes none."""
    assert air.vapour_pressure_deficit(22, 100) == pytest.approx(0, abs=1e-15)
    assert (np.diff(air.vapour_pressure_deficit(22, np.linspace(0, 100, 50))) < 0).all()


def test_vapour_is_conserved():
    """What wet surfaces give off leaves with the air or condenses, whatever the case."""
    room, flow, area, transfer, wet, coldest = (
        COLUMNS[k] for k in ("room", "flow", "area", "transfer", "wet", "coldest")
    )
    case = air.wet_case(room, flow, area, wet, transfer, coldest)
    given_off = area * transfer * (air.saturation_content(wet) - case.content)
    # condensing is never below nothing: only where the air is not capped may rounding differ
    np.testing.assert_allclose(case.condensing + case.leaving, given_off, rtol=1e-9, atol=1e-9)
    assert (case.content <= air.saturation_content(coldest) + 1e-12).all()
    assert (case.condensing >= 0).all()
    np.testing.assert_allclose(case.leaving, flow * (case.content - room), rtol=1e-12)


def test_no_exchange_saturates_the_coldest_surface():
    """A sealed wet case is as moist as its coldest pane lets it be, and goes on dripping there."""
    case = air.wet_case(8, 0.0, 0.2, 22, 4, 17)
    assert case.content == pytest.approx(air.saturation_content(17))
    assert case.leaving == 0
    assert case.condensing > 0
    assert air.wet_case(8, 0.0, 0.2, 17, 4, 22).content == pytest.approx(air.saturation_content(17)), (
        "no pane is colder"
    )


def test_wet_case_limits():
    """Much exchange gives the room's air, much wet surface its saturation; without both nothing is known."""
    assert air.wet_case(8, 1e9, 0.2, 22, 4, 22).content == pytest.approx(8, rel=1e-6)
    assert air.wet_case(8, 1, 1e9, 22, 4, 22).content == pytest.approx(air.saturation_content(22), rel=1e-6)
    assert air.wet_case(8, 1, 0, 22, 4, 22).content == pytest.approx(8)
    assert math.isnan(air.wet_case(8, 0, 0, 22, 4, 22).content)


def test_wet_case_is_monotonic():
    """More wet surface or a warmer one makes it moister; more exchange with a drier room and a colder pane drier."""
    rising = np.linspace(0.01, 5, 100)
    assert (np.diff(air.wet_case(8, 0.5, rising, 22, 4, 22).content) > 0).all()
    assert (np.diff(air.wet_case(8, 0.5, 0.2, rising + 18, 4, 30).content) > 0).all()
    assert (np.diff(air.wet_case(8, rising, 0.2, 22, 4, 22).content) < 0).all()
    assert (np.diff(air.wet_case(8, 0.1, 0.2, 22, 4, rising + 12).content) > 0).all()


def test_a_moister_room_condenses_in_a_cold_case():
    """Air that enters above the coldest surface's saturation leaves vapour there even over a dry floor."""
    case = air.wet_case(15, 2.0, 0.0, 22, 4, 10)
    assert case.condensing == pytest.approx(2 * (15 - air.saturation_content(10)))
    assert case.condensing + case.leaving == pytest.approx(0, abs=1e-12)


def test_steady_content():
    """The excess over the room is source by exchange, and the way there is exponential, with one end and one start."""
    assert air.steady_content(9, 2, 4) == pytest.approx(9.5)
    assert air.steady_content(9, 2, 0) == math.inf
    assert math.isnan(air.steady_content(9, 0, 0))
    assert air.content_after(0, 3, 9, 2) == pytest.approx(3)
    assert air.content_after(1e3, 3, 9, 2) == pytest.approx(9)
    assert air.content_after(5, 3, 9, 0) == pytest.approx(3)
    assert air.content_after(1, 3, 9, 2) == pytest.approx(9 - 6 * math.exp(-2))


def test_acclimation_steps_are_equal():
    """Equal steps of deficit, both ways, the last one the target; dividing finer passes through the same values."""
    for start, target in ((95, 50), (50, 95)):
        steps = air.acclimation(22, start, target, 6)
        deficits = [air.vapour_pressure_deficit(22, rh) for rh in (start, *steps)]
        np.testing.assert_allclose(np.diff(deficits), (deficits[-1] - deficits[0]) / 6, rtol=1e-9)
        assert steps[-1] == pytest.approx(target)
        assert air.acclimation(22, start, target, 12)[1::2] == pytest.approx(steps)


def test_evapotranspiration_rises_with_what_drives_it():
    """Sun, dryness and wind dry a lawn; still, saturated air without sun does not."""

    def lawn(net=13.0, wind=2.0, actual=1.4):
        return air.reference_evapotranspiration(17, net, 0, wind, 2.0, actual, 0.067)

    assert lawn(net=15) > lawn() > lawn(actual=1.8)
    assert lawn(wind=4, net=0) > lawn(net=0)
    assert lawn(net=0, wind=0, actual=2.0) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: air.saturation_vapour_pressure(-31),
        lambda: air.saturation_vapour_pressure(np.array([20, 61])),
        lambda: air.actual_vapour_pressure(20, 101),
        lambda: air.dew_point(0),
        lambda: air.air_pressure(9000),
        lambda: air.vapour_pressure_by_wet_bulb(20, 21, 101, 0.000662),
        lambda: air.vapour_pressure_by_wet_bulb(40, 5, 101, 0.000662),
        lambda: air.wind_at_two_metres(2, 0.1),
        lambda: air.wet_case(8, -1, 0.2, 22, 4, 22),
        lambda: air.humidity_from_content(20, -1),
        lambda: air.acclimation(20, 90, 50, 0),
    ],
)
def test_beyond_the_range(call):
    """What the formula was not made for is refused."""
    with pytest.raises(OutOfRange, match="outside"):
        call()
