"""Rows and the interval arithmetic behind their margins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bogwright.knowledge.profiles import Profile
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval, outward
from bogwright.sharing.demands import word

# A plant that asks nothing on an axis is certainly not beyond it.
NO_DEMAND: Interval = (-LIMIT, -LIMIT)
Row = dict[str, Any]


def row(kind: str, id: str, **fields: Any) -> Row:
    """A row of ``kind``; intervals are rounded outward, None becomes an unknown word."""
    made: Row = {"kind": kind, "id": f"{kind} {id}"}
    for name, value in fields.items():
        if isinstance(value, tuple):
            made[name] = outward(*value)
        else:
            made[name] = "?" if value is None else value
    return made


def over(given: Interval, limit: Interval | None) -> Interval:
    """How far ``given`` lies above ``limit``; no limit is never exceeded, an unknown side leaves the margin unknown."""
    if limit is None:
        return NO_DEMAND
    if UNBOUNDED in (given, limit):
        return UNBOUNDED
    return (max(-LIMIT, given[0] - limit[1]), min(LIMIT, given[1] - limit[0]))


def under(given: Interval, limit: Interval | None) -> Interval:
    """How far ``given`` lies below ``limit``."""
    if limit is None:
        return NO_DEMAND
    return over(limit, given)


def span_words(low: Interval | None, high: Interval | None, unit: str) -> str:
    """What a plant tolerates, as words: ``10–32 °C``, ``up to 50 mg/L``, ``unknown``."""
    a = None if low is None or low[1] >= LIMIT / 10 else low[1]
    b = None if high is None or high[0] <= -LIMIT / 10 else high[0]
    if low is not None and low[0] <= -LIMIT / 10:
        a = None
    if high is not None and high[1] >= LIMIT / 10:
        b = None
    tail = f" {unit}" if unit else ""
    if a is None and b is None:
        return "unknown"
    if a is None:
        return f"up to {_figure(b)}{tail}"
    return f"from {_figure(a)}{tail}" if b is None else f"{_figure(a)}–{_figure(b)}{tail}"


def _figure(value: float | None) -> str:
    return f"{value:.3g}" if value is not None and abs(value) < 10 else f"{value:.0f}"


def runs(items: Sequence[Mapping[str, Any]], months: Sequence[int]) -> list[tuple[list[int], Mapping[str, Any]]]:
    """Months whose fields are alike, gathered: [(months, fields)], in the order of their first month."""
    found: list[tuple[list[int], Mapping[str, Any]]] = []
    for month, fields in zip(months, items, strict=True):
        for seen, same in found:
            if same == fields:
                seen.append(month)
                break
        else:
            found.append(([month], fields))
    return found


def word_of(profile: Profile, path: str) -> str:
    """The word of a claim, or ``?``."""
    return word(profile.claim(path))


def span_of(profile: Profile, path: str) -> Interval:
    """The range of a range claim as an interval, unbounded where a side is not stated."""
    claim = profile.range(path)
    if claim is None:
        return UNBOUNDED
    return (claim.low.value if claim.low else -LIMIT, claim.high.value if claim.high else LIMIT)


def level_of(profile: Profile, path: str, level: str, side: str) -> Interval | None:
    """One end of a band claim, the hull where readings differ, or None when it is not stated."""
    claim = profile.band(path)
    return claim.hull(level, side) if claim is not None else None
