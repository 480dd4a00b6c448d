"""Margins over intervals, months alike, moisture classes, and the year a plant is given."""

from bogwright.enclosure.intervals import minus
from bogwright.enclosure.plan import UNKNOWN
from bogwright.facts.monthly import moisture_margins
from bogwright.facts.neighbours import months_to_cover
from bogwright.facts.placed import lift_word
from bogwright.facts.rows import NO_DEMAND, over, row, runs, span_words, under
from bogwright.rules.meaning import LIMIT, UNBOUNDED


def test_margins_over_intervals():
    """Both ends of both intervals count; no demand is certainly met; unknown stays unknown."""
    assert over((20, 24), (22, 23)) == (-3, 2)
    assert under((20, 24), (22, 23)) == (-2, 3)
    assert over((20, 24), None) == NO_DEMAND
    assert over(UNBOUNDED, (1, 2)) == UNBOUNDED and over((1, 2), UNBOUNDED) == UNBOUNDED
    assert row("x.y", "1", a=over((20, 24), (22, LIMIT)))["a"] == (-LIMIT, 2)


def test_rows_round_outward():
    """A row never claims more than was computed."""
    made = row("x.y", "1", a=(0.12341, 0.12349), b=None)
    assert made["a"] == (0.1234, 0.1235) and made["b"] == "?"


def test_interval_arithmetic_of_conditions():
    """Unknown stays unknown through a difference."""
    assert minus((20, 24), (10, 12)) == (8, 14) and minus(UNKNOWN, (1, 2)) == UNKNOWN


def test_months_alike_are_one_row():
    """Runs gather equal months even when they are apart."""
    assert [(m, f["x"]) for m, f in runs([{"x": 1}, {"x": 2}, {"x": 1}], [3, 4, 5])] == [([3, 5], 1), ([4], 2)]


def test_moisture_is_counted_in_classes():
    """Wetter and drier by how many classes than anything lived with."""
    assert moisture_margins("flooded", ("damp", "wet")) == ((1, 1), (-2, -2))
    assert moisture_margins("dry", ("damp", "wet")) == ((-3, -3), (2, 2))
    assert moisture_margins("?", ("damp",)) == (UNBOUNDED, UNBOUNDED)


def test_words_of_a_band():
    """What a plant tolerates, as it is told."""
    assert span_words((10, 10), (32, 32), "°C") == "10–32 °C"
    assert span_words(None, (50, 50), "mg/L") == "up to 50 mg/L"
    assert span_words(UNBOUNDED, (32, 32), "°C") == "up to 32 °C"
    assert span_words(UNBOUNDED, UNBOUNDED, "°C") == "unknown"


def test_months_until_a_creeper_arrives():
    """Gap over speed, both uncertain; a plant that does not spread never arrives."""
    assert months_to_cover((6, 6), (6, 12)) == (6, 12)
    assert months_to_cover((6, 6), (0, 0)) == (LIMIT, LIMIT)
    assert months_to_cover(UNBOUNDED, (6, 12)) == UNBOUNDED


def test_lifting_out_must_be_real():
    """Potted and allowed; what nobody said is unknown."""
    assert lift_word("yes", "yes") == "possible"
    assert lift_word("no", "yes") == lift_word("yes", "no") == "impossible"
    assert lift_word("yes", "?") == "?"
