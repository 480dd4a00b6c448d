"""Formulas over intervals, worked out at every corner: exact where a formula rises or falls in each argument."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from bogwright.enclosure.plan import UNKNOWN, Interval, Year

LIMIT = UNKNOWN[1]


def open_ended(value: Interval) -> bool:
    """Whether an end is unknown."""
    return value[0] <= -LIMIT or value[1] >= LIMIT


def hull(formula: Callable[..., float], *arguments: Interval) -> Interval:
    """Least and greatest value of a formula that is monotonic in each argument; unknown where an argument is."""
    if any(open_ended(a) for a in arguments):
        return UNKNOWN
    found = [formula(*corner) for corner in product(*(set(a) for a in arguments))]
    return (min(found), max(found))


def yearly(formula: Callable[..., float], *arguments: Year) -> Year:
    """:func:`hull` month by month; months alike are worked out once."""
    known: dict[tuple[Interval, ...], Interval] = {}
    made = []
    for corner in zip(*arguments, strict=True):
        if corner not in known:
            known[corner] = hull(formula, *corner)
        made.append(known[corner])
    return tuple(made)


def minus(a: Interval, b: Interval) -> Interval:
    """a - b; unknown where either is."""
    if UNKNOWN in (a, b):
        return UNKNOWN
    return (a[0] - b[1], a[1] - b[0])


def plus(a: Interval, b: Interval) -> Interval:
    """a + b; an unknown end stays unknown."""
    return (
        -LIMIT if min(a[0], b[0]) <= -LIMIT else a[0] + b[0],
        LIMIT if max(a[1], b[1]) >= LIMIT else a[1] + b[1],
    )


def added(*years: Year) -> Year:
    """Sum of years, month by month."""
    total = years[0]
    for year in years[1:]:
        total = tuple(plus(a, b) for a, b in zip(total, year, strict=True))
    return total


def scaled(year: Year, factor: float) -> Year:
    """A year times a number that is not negative; unknown ends stay unknown."""
    return tuple((v[0] if v[0] <= -LIMIT else v[0] * factor, v[1] if v[1] >= LIMIT else v[1] * factor) for v in year)


def always(low: float, high: float | None = None) -> Year:
    """The same interval in each month."""
    return ((low, low if high is None else high),) * 12
