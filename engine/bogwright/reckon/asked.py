"""Figures as a grower types them: a number, or LOW-HIGH where it is not known closer."""

from __future__ import annotations

import re
from argparse import ArgumentTypeError
from datetime import date

Interval = tuple[float, float]
MOST = 1e6
_NUMBER = r"-?[0-9]*\.?[0-9]+"
_SPAN = re.compile(rf"({_NUMBER})(?:[-–]({_NUMBER}))?")


def span(text: str) -> Interval:
    """A number or LOW-HIGH."""
    found = _SPAN.fullmatch(text.strip())
    if not found:
        raise ArgumentTypeError(f"{text!r} is no number; write it like 12 or 0.5 without a unit, or as 10-14")
    low = float(found[1])
    high = float(found[2]) if found[2] else low
    if high < low:
        raise ArgumentTypeError(f"{text!r} falls; write the lower figure first")
    if max(abs(low), abs(high)) > MOST:
        raise ArgumentTypeError(f"{text!r} is beyond a million; look at its unit")
    return (low, high)


def number(text: str) -> float:
    """A single number."""
    low, high = span(text)
    if low != high:
        raise ArgumentTypeError(f"{text!r} is a range; give one number")
    return low


def amounts(text: str) -> Interval:
    """A number or LOW-HIGH, at least 0."""
    value = span(text)
    if value[0] < 0:
        raise ArgumentTypeError(f"{text!r} is below 0; give 0 or more")
    return value


def some(text: str) -> Interval:
    """A number or LOW-HIGH above 0."""
    value = span(text)
    if value[0] <= 0:
        raise ArgumentTypeError(f"{text!r} is not above 0; give more than 0")
    return value


def positive(text: str) -> float:
    """A single number above 0."""
    value = number(text)
    some(text)
    return value


def count(text: str) -> int:
    """A whole number from 1 to 100."""
    if not re.fullmatch(r"[0-9]{1,3}", text.strip()) or not 1 <= int(text) <= 100:
        raise ArgumentTypeError(f"{text!r} is no whole number from 1 to 100; give one")
    return int(text)


def day(text: str) -> date:
    """A date, written as 2027-03-01."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no date; write it like 2027-03-01") from None
