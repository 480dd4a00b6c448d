"""Resolved claims: values with their standing and where they were stated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from .documents import Path, Record
from .fields import Field as FieldInfo

LEVELS = ("prefers", "tolerates", "survives")


class SourceRef(NamedTuple):
    """A source of a claim. as_stated : the source's own figure or words, in its own units."""

    id: str
    locator: str
    as_stated: str


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a claim stands. profile : id of the profile that states it. inherited : that is not the plant's own."""

    profile: str
    record: Record = field(repr=False)
    path: Path
    inherited: bool

    @property
    def file(self) -> str:
        return self.record.file

    @property
    def line(self) -> int:
        """Line of the claim's key, from 1."""
        return self.record.positions.key(self.path)[0]

    @property
    def column(self) -> int:
        return self.record.positions.key(self.path)[1]


@dataclass(frozen=True, slots=True)
class End:
    """One end of a band or range, in the unit of its field, with its own standing.

    for_days : of a survival limit, how long it was stood. hours, lamp : the light an illuminance was given with;
    hours least and most a day.
    """

    value: float
    basis: str
    sources: tuple[SourceRef, ...]
    note: str | None
    origin: Origin
    for_days: float | None = None
    hours: tuple[float, float] | None = None
    lamp: str | None = None

    @property
    def inherited(self) -> bool:
        return self.origin.inherited


@dataclass(frozen=True, slots=True)
class Outcome:
    """What happens beyond one end of the tolerated band: cosmetic, slow, decline or death."""

    value: str
    basis: str
    sources: tuple[SourceRef, ...]
    note: str | None
    origin: Origin


@dataclass(frozen=True, slots=True)
class Level:
    """One level of a band; an end nobody stated is None."""

    low: End | None = None
    high: End | None = None


@dataclass(frozen=True, slots=True)
class BandClaim:
    """A ranged need: levels prefers, tolerates, survives (only those stated) and what happens outside.

    unknown : looked for and not found. readings : the full alternatives where sources disagree; then `levels`
    and the outcomes hold only what all readings agree on, and `hull` gives the span of an end.
    """

    field: FieldInfo
    levels: dict[str, Level]
    outside_low: Outcome | None = None
    outside_high: Outcome | None = None
    unknown: bool = False
    note: str | None = None
    origin: Origin | None = None
    readings: tuple[BandReading, ...] = ()

    @property
    def disputed(self) -> bool:
        return bool(self.readings)

    def end(self, level: str, end: str) -> End | None:
        """The `low` or `high` end of a level, or None where it is not stated."""
        found = self.levels.get(level)
        return None if found is None else found.low if end == "low" else found.high

    def value(self, level: str, end: str) -> float | None:
        """The number at the `low` or `high` end of a level, in the field's unit, or None."""
        found = self.end(level, end)
        return None if found is None else found.value

    def hull(self, level: str, end: str) -> tuple[float, float] | None:
        """Least and greatest value of an end over all readings; None if a reading does not state it."""
        claims = [reading.claim for reading in self.readings] or [self]
        values = [claim.value(level, end) for claim in claims]
        known = [value for value in values if value is not None]
        return (min(known), max(known)) if known and len(known) == len(values) else None

    def ends(self) -> Iterator[End]:
        """Every stated end, of all readings where disputed."""
        for claim in [reading.claim for reading in self.readings] or [self]:
            for level in claim.levels.values():
                yield from (end for end in (level.low, level.high) if end is not None)


@dataclass(frozen=True, slots=True)
class BandReading:
    """One side of a dispute. title : whose reading it is, in words."""

    title: str
    claim: BandClaim


@dataclass(frozen=True, slots=True)
class RangeClaim:
    """A stated range that is not a need (size, weeks, days), in the field's unit."""

    field: FieldInfo
    low: End | None
    high: End | None
    unknown: bool = False
    note: str | None = None
    origin: Origin | None = None

    @property
    def disputed(self) -> bool:
        return False


@dataclass(frozen=True, slots=True)
class ValueClaim:
    """A word (str), words or months (tuple), a season (tuple of months, or any-time), text (str or tuple), count (int)
    or steps (tuple of pairs).

    value : None where unknown or disputed. readings : (title, claim) for each side of a dispute.
    """

    field: FieldInfo
    value: Any
    basis: str | None
    sources: tuple[SourceRef, ...]
    note: str | None
    origin: Origin
    unknown: bool = False
    readings: tuple[ValueReading, ...] = ()

    @property
    def disputed(self) -> bool:
        return bool(self.readings)


@dataclass(frozen=True, slots=True)
class ValueReading:
    """One side of a dispute. title : whose reading it is, in words."""

    title: str
    claim: ValueClaim


Claim = BandClaim | RangeClaim | ValueClaim


@dataclass(frozen=True, slots=True)
class Cue:
    """A day-length cue: the event that a day shorter (`below`) or longer (`above`, hours) starts."""

    id: str
    event: str
    basis: str
    origin: Origin
    below: float | None = None
    above: float | None = None
    rising: bool = False
    falling: bool = False
    months: tuple[int, ...] = ()
    sources: tuple[SourceRef, ...] = ()
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Layer:
    """One profile in a line of inheritance. root : where its section starts in the file (a form, a stage)."""

    profile: str
    record: Record
    root: Path
    data: dict[str, Any]
    inherited: bool = False
