"""Months, and the years a plant can be given.

A plant's months count 0-11 from the month of its local winter solstice. A rest that may lie anywhere in a run of
months becomes one :class:`YearOption` for every start and length it allows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

WEEKS_IN_MONTH = 365.25 / 7 / 12
NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
GROWTH = "growth"
NO_MONTHS = "no months"  # in words, where a plant does not rest
# a stated "two months" is 8.7 weeks: this share of a month is forgiven before another whole month is asked for
ROUNDING = 0.2


@dataclass(frozen=True, slots=True)
class RestSpan:
    """A rest as the year sees it:

    the months it may lie in, its least and greatest length in weeks, where it is spent.
    """

    key: str
    may: tuple[int, ...]
    weeks: tuple[float, float]
    lifted: bool


@dataclass(frozen=True, slots=True)
class YearOption:
    """One way to give a plant its year: the phase of each month (``growth`` or a rest's key) and the months away.

    unusual: months by which its rests differ from the usual ones, in length and in season.
    """

    way: str
    effort: int
    phases: tuple[str, ...]
    absent: frozenset[int]
    skipped: bool = False
    unusual: float = 0.0

    @property
    def resting(self) -> tuple[int, ...]:
        """Months that are not growth, here or away."""
        return tuple(m for m in range(12) if self.phases[m] != GROWTH)

    @property
    def rests_in_place(self) -> tuple[str, ...]:
        """The rests' keys of the months that are not spent away, each once."""
        here = {phase for m, phase in enumerate(self.phases) if m not in self.absent}
        return tuple(sorted(here - {GROWTH}))

    @property
    def lifts(self) -> int:
        return 1 if self.absent else 0


def trouble(year: YearOption) -> tuple[int, int, float, str, tuple[str, ...]]:
    """Order of preference between years that serve alike: lift-outs, effort, how unusual the rests are, then name."""
    return (year.lifts, year.effort, year.unusual, year.way, year.phases)


def calendar_month(plant_month: int, midwinter: int) -> int:
    """Calendar month 1-12 of a plant's month, when ``midwinter`` is the calendar month (1-12) of the solstice."""
    return (midwinter - 1 + plant_month) % 12 + 1


def midwinter_of(latitude: float) -> int:
    """Calendar month of the local winter solstice: 12 on the northern half, 6 on the southern."""
    return 12 if latitude >= 0 else 6


def placements(rest: RestSpan) -> list[frozenset[int]]:
    """Every run of months the rest may take: start and length, inside ``may``, wrapping over midwinter."""
    least = max(1, math.ceil(rest.weeks[0] / WEEKS_IN_MONTH - ROUNDING))
    most = min(12, max(least, math.floor(rest.weeks[1] / WEEKS_IN_MONTH + ROUNDING)))
    allowed = set(rest.may)
    runs = []
    for length in range(least, most + 1):
        for start in range(12):
            run = frozenset((start + n) % 12 for n in range(length))
            if run <= allowed and run not in runs:
                runs.append(run)
    return runs


def options(way: str, effort: int, rests: Sequence[RestSpan]) -> list[YearOption]:
    """All years of one way: every placement of its rests that do not overlap."""
    found = []
    for choice in product(*(placements(r) for r in rests)):
        taken: dict[int, str] = {}
        if sum(map(len, choice)) != len(frozenset().union(*choice)):
            continue
        for rest, run in zip(rests, choice, strict=True):
            taken.update(dict.fromkeys(run, rest.key))
        absent = frozenset(m for rest, run in zip(rests, choice, strict=True) if rest.lifted for m in run)
        unusual = sum(_unusual(rest, run) for rest, run in zip(rests, choice, strict=True))
        found.append(YearOption(way, effort, tuple(taken.get(m, GROWTH) for m in range(12)), absent, unusual=unusual))
    return found


def _unusual(rest: RestSpan, run: frozenset[int]) -> float:
    """How far a run lies from a rest of middling length in the middle of the months it may lie in. [months]"""
    middles = [start + ((end - start) % 12) / 2 for start, end in (spans(rest.may)[0], spans(run)[0])]
    apart = abs(middles[0] - middles[1]) % 12
    return min(apart, 12 - apart) + abs(len(run) - sum(rest.weeks) / 2 / WEEKS_IN_MONTH)


def spans(months: Iterable[int]) -> list[tuple[int, int]]:
    """Months as runs (first, last) around the year, so that Nov-Feb is one run."""
    present = set(months)
    if len(present) == 12:
        return [(0, 11)]
    starts = sorted(m for m in present if (m - 1) % 12 not in present)
    runs = []
    for start in starts:
        end = start
        while (end + 1) % 12 in present:
            end = (end + 1) % 12
        runs.append((start, end))
    return runs


def month_words(months: Iterable[int], midwinter: int) -> str:
    """Plant months as calendar words: ``Nov–Feb, Jun``; ``all year``."""
    present = set(months)
    if len(present) == 12:
        return "all year"
    shown = {calendar_month(m, midwinter) - 1 for m in present}
    parts = [NAMES[a] if a == b else f"{NAMES[a]}–{NAMES[b]}" for a, b in spans(shown)]
    return ", ".join(parts)


def both_halves(months: Iterable[int]) -> str:
    """Plant months as the calendar has them on both halves of the world."""
    counted = set(months)
    if len(counted) == 12:
        return "all year"
    return f"{month_words(counted, 12)} in the north, {month_words(counted, 6)} in the south"


def season_words(season: Sequence[int] | str) -> str:
    """A season in words; ``any-time`` is that of a plant that keeps to none."""
    return "at any time of year" if isinstance(season, str) else both_halves(season)


def by_month(given: Mapping[str, Sequence[float]], month: int) -> tuple[float, float]:
    """The bounds for one month of a regime's entry: its own if it names the month, else ``all``."""
    low, high = given.get(str(month), given["all"])
    return float(low), float(high)
