"""Figures far from those of the same genus: for review, not errors.

Modified z-score of Iglewicz and Hoaglin (1993), "How to Detect and Handle Outliers" (from memory): 0.6745 (x - median)
/ MAD, cut at 3.5; where more than half of the values are alike (MAD 0) the mean absolute deviation stands in,
(x - median) / (1.2533 MeanAD).
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import mean, median
from typing import NamedTuple

from .base import KnowledgeBase
from .claims import BandClaim, End, RangeClaim
from .problems import kb_path

CUT = 3.5
FEWEST = 6  # values of a genus below which nothing stands out


class Outlier(NamedTuple):
    """A figure that stands apart. value, median : in the field's unit. score : modified z-score, signed."""

    taxon: str
    name: str
    field: str
    level: str
    end: str
    value: float
    median: float
    score: float
    file: str
    line: int


def outliers(base: KnowledgeBase) -> list[Outlier]:
    """Figures that plants state themselves and that lie far from their genus, farthest first."""
    values: dict[tuple[str, str, str, str], list[tuple[str, End]]] = {}
    for entry in base.taxa():
        profile = base.profile(entry.id)
        for field in profile.fields():
            claim = profile.claim(field)
            for level, end, stated in _own_ends(claim):
                values.setdefault((entry.genus, field, level, end), []).append((entry.id, stated))
    found = []
    for (_, field, level, end), held in values.items():
        scores = modified_z([stated.value for _, stated in held])
        middle = median(stated.value for _, stated in held)
        for (taxon, stated), score in zip(held, scores, strict=True):
            if abs(score) > CUT:
                place = kb_path(stated.origin.file), stated.origin.line
                name = base.entries[taxon].name
                found.append(Outlier(taxon, name, field, level, end, stated.value, middle, round(score, 1), *place))
    return sorted(found, key=lambda one: (-abs(one.score), one.taxon, one.field))


def modified_z(values: Sequence[float]) -> list[float]:
    """Modified z-score of each value; all 0 where there are too few or all are alike."""
    if len(values) < FEWEST:
        return [0.0] * len(values)
    middle = median(values)
    apart = [abs(value - middle) for value in values]
    spread = median(apart) / 0.6745 or mean(apart) * 1.2533
    return [(value - middle) / spread if spread else 0.0 for value in values]


def _own_ends(claim: object) -> list[tuple[str, str, End]]:
    if isinstance(claim, BandClaim):
        ends = [(name, end, claim.end(name, end)) for name in claim.levels for end in ("low", "high")]
    elif isinstance(claim, RangeClaim):
        ends = [("", "low", claim.low), ("", "high", claim.high)]
    else:
        ends = []
    return [(level, end, stated) for level, end, stated in ends if stated is not None and not stated.inherited]
