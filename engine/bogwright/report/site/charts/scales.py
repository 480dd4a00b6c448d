"""Shared scales: one for each ranged need, wide enough for every profile, with how many plants live at each value."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import median

from bogwright.knowledge import BandClaim, KnowledgeBase, Profile, RangeClaim
from bogwright.knowledge.fields import Field
from bogwright.report.site.charts.svg import WIDTH
from bogwright.sharing.axes import Axes

Span = tuple[float, float]

HEIGHTS = "identity.elevation"
PARTS = ("air", "light", "water", "medium")
BINS = 40
LEFT, RIGHT = 12.0, WIDTH - 16.0
TICK_GAP = 36.0
MARGIN = 0.03


@dataclass(frozen=True)
class Scale:
    """The scale of one field, in its unit.

    hull : least and greatest of all figures. root : drawn by square roots, since most figures lie near its low end.
    plants : how many plants of those counted live at the middle of each of `BINS` equal stretches of the drawing.
    """

    field: Field
    hull: Span
    root: bool
    plants: tuple[int, ...] = ()

    @classmethod
    def of(cls, field: Field, ends: Iterable[float], lived: Iterable[Span]) -> Scale:
        """ends : every stated figure, at least one. lived : for each plant the values it is sure to live at."""
        known = sorted(ends)
        low, high = known[0], known[-1]
        bare = cls(field, (low, high), low >= 0 and median(known) < low + (high - low) / 4)
        middles = [bare.value((place + 0.5) / BINS) for place in range(BINS)]
        held = list(lived)
        plants = tuple(sum(one[0] <= middle <= one[1] for one in held) for middle in middles)
        return replace(bare, plants=plants)

    @cached_property
    def low(self) -> float:
        """The value at the left edge: a little below the hull, within what the field can hold."""
        floor = self.field.bounds[0] if self.field.bounds else -math.inf
        return max(self.hull[0] - self._margin, min(floor, self.hull[0]))

    @cached_property
    def high(self) -> float:
        """The value at the right edge."""
        ceiling = self.field.bounds[1] if self.field.bounds else math.inf
        return min(self.hull[1] + self._margin, max(ceiling, self.hull[1]))

    @property
    def _margin(self) -> float:
        return (self.hull[1] - self.hull[0]) * MARGIN or 1.0

    def x(self, value: float) -> float:
        """Where a value is drawn; values beyond the scale at its edge."""
        bent = self._bent(min(max(value, self.low), self.high))
        return LEFT + (RIGHT - LEFT) * (bent - self._bent(self.low)) / (self._bent(self.high) - self._bent(self.low))

    def value(self, share: float) -> float:
        """The value at a share of the width, 0 at the left."""
        bent = self._bent(self.low) + share * (self._bent(self.high) - self._bent(self.low))
        return bent * bent if self.root else bent

    def _bent(self, value: float) -> float:
        return math.sqrt(value) if self.root else value

    @cached_property
    def ticks(self) -> tuple[float, ...]:
        """Round values, far enough apart to be read."""
        if self.root:
            found: list[float] = []
            for value in sorted({0.0, *(step * 10.0**power for power in range(-1, 6) for step in (1, 2, 5))}):
                apart = not found or self.x(value) - self.x(found[-1]) >= TICK_GAP
                if self.low <= value <= self.high and apart:
                    found.append(value)
            return tuple(found)
        rough = (self.high - self.low) * TICK_GAP / (RIGHT - LEFT)
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * factor for factor in (1, 2, 5, 10) if power * factor >= rough)
        first = math.ceil(self.low / step)
        return tuple(n * step for n in range(first, math.floor(self.high / step) + 1))


class Scales:
    """The scales of all ranged needs and of native heights, made once for all pages."""

    def __init__(self, base: KnowledgeBase, axes: Axes) -> None:
        self._base = base
        # sides on which a plant that states no end asks nothing
        self.free: Mapping[str, frozenset[str]] = {axis.claim: axis.free for axis in axes.by_id.values()}

    @cached_property
    def by_path(self) -> Mapping[str, Scale]:
        """By path of the field, in the order of the schema; a field for which nobody has a figure has none."""
        kept = [self._base.profile(entry.id) for entry in self._base.entries.values() if not entry.listed]
        found = {}
        for field in self._base.fields.below(""):
            if field.path.split(".")[0] in PARTS and field.kind == "band":
                claims = [(profile, claim) for profile in kept if (claim := profile.band(field.path)) is not None]
                ends = [end.value for _, claim in claims for end in claim.ends()]
                if ends:
                    taxa = [claim for profile, claim in claims if profile.entry.kind == "taxon"]
                    found[field.path] = Scale.of(field, ends, self._lived(taxa))
        return found

    @cached_property
    def heights(self) -> Scale | None:
        """Heights above the sea at which profiled plants grow wild, metres."""
        taxa = [height_of(self._base.profile(entry.id)) for entry in self._base.taxa()]
        spans = [span for span in taxa if span is not None]
        field = self._base.fields.get(HEIGHTS)
        if not spans or field is None:
            return None
        return Scale.of(field, [end for span in spans for end in span], spans)

    def _lived(self, claims: Iterable[BandClaim]) -> Iterator[Span]:
        for claim in claims:
            free = self.free.get(claim.field.path, frozenset())
            ends = [_sure(claim, side, side in free) for side in ("low", "high")]
            if ends[0] is not None and ends[1] is not None:
                yield ends[0], ends[1]


def _sure(claim: BandClaim, side: str, free: bool) -> float | None:
    """The end up to which a plant lives under every reading; None where nobody knows."""
    for level in ("tolerates", "prefers"):
        span = claim.hull(level, side)
        if span is not None:
            return span[1] if side == "low" else span[0]
    return (-math.inf if side == "low" else math.inf) if free and not claim.unknown else None


def height_of(profile: Profile) -> Span | None:
    """Both native heights of a plant, metres; None where either is not its own or not known."""
    claim: RangeClaim | None = profile.range(HEIGHTS)
    if claim is None or claim.low is None or claim.high is None or claim.low.inherited or claim.high.inherited:
        return None
    return claim.low.value, claim.high.value
