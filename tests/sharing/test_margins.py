"""Room that a fit leaves, against figures worked out by hand."""

import pytest

from bogwright.sharing.axes import INFINITE
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.demands import UNKNOWN, Demand
from bogwright.sharing.groups import Fit, Regime
from bogwright.sharing.margins import margin
from bogwright.sharing.months import GROWTH, YearOption
from bogwright.sharing.needs import Needs

REST = "cold/rest"


def needs(name, growth, rest=None, steps=None):
    """A plant from {axis: (low, high)}; None is an end that makes no demand."""

    def demands(bands):
        ends = {axis: [None if v is None else (v, v) for v in band] for axis, band in bands.items()}
        return {axis: Demand(low, high, "decline", "slow") for axis, (low, high) in ends.items()}

    phases = {GROWTH: demands(growth), **({REST: demands(rest)} if rest else {})}
    return Needs(name, name, None, "adult", (), phases, dict.fromkeys(phases, steps), {})


def year(rest=(), absent=()):
    phases = tuple(REST if m in rest else GROWTH for m in range(12))
    return YearOption("way", 0, phases, frozenset(absent))


@pytest.fixture
def room(axes, frame):
    """room(plants, years, level) → the margin under a regime that is open, or bounded by ``regime``."""

    def measure(plants, years=None, level="full", movers=None, regime=None):
        boxes = tuple((regime or {}).get(m, frame.open_box) for m in range(12))
        fit = Fit(Regime("any", "any", 0, boxes), tuple(years or [year()] * len(plants)), boxes, (0, 0))
        return margin(plants, fit, axes, frame, LADDER[level], movers or [p.id for p in plants])

    return measure


def test_half_the_shared_window_in_control_errors(room):
    """Nights 10-20 and 14-26 share 14-20: 3 K either way, twice the 1.5 K a thermostat strays; nights bind all year."""
    a, b = needs("a", {"temperature_night": (10, 20)}), needs("b", {"temperature_night": (14, 26)})
    found = room([a, b])
    assert (found.errors, found.axis, found.months) == (2.0, "temperature_night", tuple(range(12)))


def test_whole_tenths_rounded_down(room):
    """Days 20-24.4: 2.2 K are 1.466 control errors."""
    assert room([needs("a", {"temperature_day": (20, 24.4)})]).errors == 1.4


def test_the_least_axis_of_the_worst_month_binds(room):
    """Humidity leaves 20/5 = 4; nights 8/1.5 = 5.3 in growth, but at rest 5-9 leave 2/1.5 = 1.33: midwinter binds."""
    plant = needs("a", {"temperature_night": (8, 24), "humidity": (50, 90)}, {"temperature_night": (5, 9)})
    found = room([plant], [year(rest=(11, 0, 1))])
    assert (found.errors, found.axis, found.months) == (1.3, "temperature_night", (0, 1, 11))


def test_a_plant_that_is_away_binds_nothing(room):
    """The same rest spent elsewhere leaves the four control errors of humidity."""
    plant = needs("a", {"temperature_night": (8, 24), "humidity": (50, 90)}, {"temperature_night": (5, 9)})
    found = room([plant], [year(rest=(11, 0, 1), absent=(11, 0, 1))])
    assert (found.errors, found.axis) == (4.0, "humidity") and 0 not in found.months


def test_the_set_point_may_lie_on_the_end_of_a_regime(room, box):
    """Nights from 5 under a regime that ends at 8: the set point may be 8, so all 3 K count."""
    cold = {0: box(temperature_night=(-5, 8))}
    found = room([needs("a", {"temperature_night": (5, 30)})], regime=cold)
    assert (found.errors, found.axis, found.months) == (2.0, "temperature_night", (0,))


def test_a_drop_carries_the_errors_of_day_and_night(room):
    """Days to 26 and nights from 12 with a drop of at least 5: 9 K, over 1.5 + 1.5 + 3 K that close in on it."""
    a, b = needs("a", {"temperature_day": (None, 26)}), needs("b", {"temperature_night": (12, None)})
    found = room([a, b, needs("c", {"night_drop": (5, None)})])
    assert (found.errors, found.axis) == (1.5, "night_drop")


def test_a_day_limit_after_a_warm_night_closes_in_from_both_sides(room):
    """Days from 20 under a limit of 26 after any night: 6 K over 1.5 for the plant's end and 1.5 for the limit."""
    found = room([needs("a", {"temperature_day": (20, None)}, steps=((30.0, 26.0),))])
    assert (found.errors, found.axis) == (2.0, "day_limit_by_night")


def test_unknown_ends_and_no_demands_bind_nothing(room):
    """No stated end moves, so there is no margin to tell."""
    unknown = Demand(UNKNOWN, UNKNOWN, "decline", "decline")
    plant = needs("a", {})
    plant.demands[GROWTH]["temperature_night"] = unknown
    assert room([plant]).errors is None and abs(UNKNOWN[0]) == INFINITE


def test_soft_ends_count_only_where_the_level_holds_them(room):
    """The upper end costs growth only: let go at the level slow, days are bound from 20 up to what can be set, 45."""
    plant = needs("a", {"temperature_day": (20, 26)})
    assert room([plant]).errors == 2.0
    assert room([plant], level="slow").errors == 16.6  # 25 / 1.5


def test_only_the_movers_ends_move(room):
    """b held at its full control error: nights from 14 + 1.5 up to a's 20 leave 4.5 K, three errors of a's own."""
    a, b = needs("a", {"temperature_night": (10, 20)}), needs("b", {"temperature_night": (14, 26)})
    assert room([a, b], movers=["a"]).errors == 3.0
