"""Month arithmetic and words."""

from bogwright.sharing.months import calendar_month, midwinter_of, month_words, spans


def test_hemisphere_sets_the_calendar():
    """Month 0 is December in the north and June in the south."""
    assert calendar_month(0, midwinter_of(51.5)) == 12
    assert calendar_month(0, midwinter_of(-33.9)) == 6
    assert calendar_month(8, 12) == 8


def test_runs_wrap_over_the_year():
    """November to February is one run."""
    assert spans([10, 11, 0, 1]) == [(10, 1)]
    assert month_words([11, 0, 1], 12) == "Nov–Jan"
    assert month_words([0, 1, 2, 6], 6) == "Jun–Aug, Dec"
    assert month_words(range(12), 12) == "all year"
