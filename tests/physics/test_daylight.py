"""Day length and sunlight: what must hold whatever the latitude."""

import math

import numpy as np
import pytest

from arrays import agrees_on_arrays
from bogwright.physics import daylight
from bogwright.physics.ranges import OutOfRange

RANDOM = np.random.default_rng(20261125)
LATITUDES = RANDOM.uniform(-90, 90, 200)
DAYS = RANDOM.integers(1, 367, 200).astype(float)


@pytest.mark.parametrize(
    ("function", "columns"),
    [
        (daylight.declination, [DAYS]),
        (daylight.sunset_hour_angle, [LATITUDES, DAYS]),
        (daylight.day_length, [LATITUDES, DAYS]),
        (daylight.extraterrestrial_radiation, [LATITUDES, DAYS]),
        (daylight.solar_radiation, [RANDOM.uniform(0, 45, 200), RANDOM.uniform(0, 1, 200)]),
        (daylight.daylight_integral, [RANDOM.uniform(0, 35, 200), RANDOM.uniform(0, 1, 200)]),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_arrays(function, columns):
    """Columns are worked out as their numbers are."""
    agrees_on_arrays(function, *columns)


def test_halves_of_the_world_share_the_day():
    """North and south of the equator together have 24 hours; on it a day has 12."""
    both = daylight.day_length(LATITUDES, DAYS) + daylight.day_length(-LATITUDES, DAYS)
    np.testing.assert_allclose(both, 24, atol=1e-9)
    np.testing.assert_allclose(daylight.day_length(0.0, DAYS), 12, atol=1e-9)


def test_polar_day_and_night():
    """Beyond the circle the sun does not set at midsummer nor rise at midwinter, and then gives nothing."""
    assert daylight.day_length(80, 172) == pytest.approx(24)
    assert daylight.day_length(80, 355) == 0
    assert daylight.extraterrestrial_radiation(80, 355) == 0
    assert (daylight.extraterrestrial_radiation(LATITUDES, DAYS) >= 0).all()


def test_summer_days_lengthen_polewards():
    """In June a day is the longer the farther north; in December the shorter."""
    north = np.linspace(0, 66, 60)
    assert (np.diff(daylight.day_length(north, 172)) > 0).all()
    assert (np.diff(daylight.day_length(north, 355)) < 0).all()


def test_midmonth():
    """The 15th of each month of a common year."""
    starts = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])
    assert tuple(starts + 15) == daylight.MIDMONTH


def test_more_sunshine_more_light():
    """Overcast gives a quarter of what reaches the air, a cloudless day three quarters; no sun no light."""
    assert daylight.solar_radiation(40, 0) == pytest.approx(10)
    assert daylight.solar_radiation(40, 1) == pytest.approx(30)
    assert daylight.daylight_integral(0, 0.45) == 0
    assert daylight.daylight_integral(30, 0.45) == pytest.approx(30 * 0.45 * 4.57)
    low, high = (daylight.daylight_integral(30, share) for share in daylight.PHOTOSYNTHETIC_SHARE)
    assert low < high


@pytest.mark.parametrize(
    "call",
    [
        lambda: daylight.declination(0),
        lambda: daylight.day_length(91, 100),
        lambda: daylight.day_length(np.array([50, -95]), 100),
        lambda: daylight.solar_radiation(40, 1.1),
        lambda: daylight.solar_radiation(-1, 0.5),
        lambda: daylight.daylight_integral(-1, 0.45),
    ],
)
def test_beyond_the_range(call):
    """There is no such day, latitude or sky."""
    with pytest.raises(OutOfRange, match="outside"):
        call()


def test_unknown_stays_unknown():
    """NaN in gives NaN out."""
    assert math.isnan(daylight.extraterrestrial_radiation(math.nan, 100))
    assert math.isnan(daylight.day_length(50, math.nan))
