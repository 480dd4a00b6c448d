"""Groups decide: one regime, one year for each plant, every month met, with the least trouble.

Plants arrive as :class:`Candidate` (their years, each compiled to twelve boxes), regimes as twelve boxes. The plants'
years are searched jointly (:mod:`bogwright.sharing.arena`); taking each plant's easiest year first would miss groups
that another combination serves.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from bogwright.sharing.months import YearOption
from bogwright.sharing.windows import Box


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plant as the search sees it: ``years`` in order of preference, ``boxes[k][m]`` for year k, month m."""

    id: str
    years: tuple[YearOption, ...]
    boxes: tuple[tuple[Box | None, ...], ...]  # None: away, or no demand


@dataclass(frozen=True, slots=True)
class Regime:
    """A year that a case can be given, as twelve boxes in the plants' months."""

    id: str
    title: str
    effort: int
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """A regime and a year for each plant that meet every month; ``cost`` is (lift-outs, effort)."""

    regime: Regime
    years: tuple[YearOption, ...]
    boxes: tuple[Box, ...]
    cost: tuple[int, int]


@dataclass(slots=True)
class Search:
    """What a search found, and whether it was finished (``exhausted`` is False when the node limit cut it short)."""

    fit: Fit | None = None
    exhausted: bool = True
    nodes: int = field(default=0, repr=False)
