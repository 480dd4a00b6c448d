"""A ranged need before it is drawn: for each reading its levels, and for each end what is known of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bogwright.knowledge import LEVELS, BandClaim
from bogwright.report.site.wording import STANDINGS, figure, words
from bogwright.rules.says import BEYOND, number
from bogwright.sharing.demands import Demand
from bogwright.sharing.demands import Origin as DemandOrigin

Span = tuple[float, float]


@dataclass(frozen=True)
class Edge:
    """One end of a level.

    span : where it lies, twice the same number if stated; None if nobody knows. basis : its standing, "unknown" where
    only a wider level bounds it. free : nothing is asked on this side.
    """

    span: Span | None = None
    basis: str = "unknown"
    free: bool = False

    @property
    def stated(self) -> bool:
        return self.span is not None and self.span[0] == self.span[1]


@dataclass(frozen=True)
class Bar:
    """One level of a band. At least one of its ends is known."""

    level: str
    low: Edge
    high: Edge

    @property
    def bases(self) -> tuple[str, ...]:
        """Standings of its known ends, each once."""
        return tuple(dict.fromkeys(edge.basis for edge in (self.low, self.high) if edge.basis != "unknown"))

    def figures(self) -> str:
        """Both ends as they stand over the picture: ``16–32``, ``≤ 38``, ``?–38`` where the lower is unknown."""
        low, high = map(_number, (self.low, self.high))
        if self.low.free or self.high.free:
            return f"≥ {low}" if self.high.free else f"≤ {high}"
        return f"{low} to {high}" if "−" in low + high or "–" in low + high else f"{low}–{high}"

    def told(self, unit: str | None) -> str:
        """The level in words, with the standing of its figures."""
        parts = []
        for side, edge in (("lower", self.low), ("upper", self.high)):
            if edge.span is None:
                parts.append(f"{side} end not asked" if edge.free else f"{side} end unknown")
            elif not edge.stated:
                parts.append(f"{side} end somewhere {figure(*_open(edge.span), unit)}")
        if self.low.stated and self.high.stated:
            assert self.low.span is not None and self.high.span is not None
            parts.insert(0, figure(self.low.span[0], self.high.span[0], unit))
        elif self.low.stated and self.low.span:
            parts.insert(0, figure(self.low.span[0], None, unit))
        elif self.high.stated and self.high.span:
            parts.insert(0, figure(None, self.high.span[0], unit))
        standing = " and ".join(STANDINGS[basis][1] for basis in self.bases)
        return f"{self.level} {', '.join(parts)} ({standing})"


@dataclass(frozen=True)
class Lane:
    """One reading of a need; title '' where nobody disagrees. Bars stand from the widest level to the narrowest."""

    title: str
    bars: tuple[Bar, ...]


def lanes(claim: BandClaim | None, free: frozenset[str], demand: Demand | None = None) -> tuple[Lane, ...]:
    """One lane a reading; none where no figure is known.

    free : sides ("low", "high") on which a missing end asks nothing. demand : what the engine makes of the claim,
    which knows ends that nobody states.
    """
    if claim is not None and claim.readings:
        found = [Lane(words(one.title), tuple(_bars(one.claim, free, None))) for one in claim.readings]
    else:
        found = [Lane("", tuple(_bars(claim, free, demand)))]
    return tuple(lane for lane in found if lane.bars)


def _bars(claim: BandClaim | None, free: frozenset[str], demand: Demand | None) -> Iterator[Bar]:
    known = {(level, side): _known(claim, level, side, demand) for level in LEVELS for side in ("low", "high")}
    for level in reversed(LEVELS):
        low, high = known[level, "low"], known[level, "high"]
        if low or high:
            yield Bar(level, low or _missing(known, level, "low", free), high or _missing(known, level, "high", free))


def _known(claim: BandClaim | None, level: str, side: str, demand: Demand | None) -> Edge | None:
    """An end that is stated or computed."""
    stated = claim.end(level, side) if claim is not None else None
    if stated is not None:
        return Edge((stated.value, stated.value), stated.basis)
    derived = _derived(demand, level, side) if demand is not None else None
    return Edge(derived, "derived") if derived is not None else None


def _missing(known: Mapping[tuple[str, str], Edge | None], level: str, side: str, free: frozenset[str]) -> Edge:
    """An end that nobody states: levels lie within one another, so a wider one that has this end bounds it."""
    rank = LEVELS.index(level)
    outer = next((edge.span for wider in LEVELS[rank + 1 :] if (edge := known[wider, side]) and edge.stated), None)
    if outer is None:
        return Edge(free=side in free)
    own = known[level, "high" if side == "low" else "low"]
    narrower = [edge for tighter in LEVELS[:rank] if (edge := known[tighter, side])]
    inner = [edge.span[0] for edge in (own, *narrower) if edge and edge.stated and edge.span]
    if not inner:
        return Edge()
    return Edge((outer[0], max(min(inner), outer[0])) if side == "low" else (min(max(inner), outer[0]), outer[0]))


def _derived(demand: Demand, level: str, side: str) -> Span | None:
    """An end that the engine computes; a tolerated one only if something bounds it."""
    if level == "prefers":
        end = wish(demand)[side == "high"]
        return (end, end) if end is not None else None
    spans: dict[tuple[str, str], tuple[Span | None, DemandOrigin | None]] = {
        ("tolerates", "low"): (demand.low, demand.low_origin),
        ("tolerates", "high"): (demand.high, demand.high_origin),
    }
    span, origin = spans.get((level, side), (None, None))
    if span is None or origin is None or origin.basis != "derived" or min(map(abs, span)) >= BEYOND:
        return None
    return span


def wish(demand: Demand) -> tuple[float | None, float | None]:
    """What a plant surely prefers, to a tenth; neither end where doubt of lamp and hours leaves nothing sure."""
    low, high = (None if end is None else round(end, 1) for end in (demand.prefers_low, demand.prefers_high))
    return (None, None) if low is not None and high is not None and low > high else (low, high)


def _open(span: Span) -> tuple[float | None, float | None]:
    low, high = (None if abs(end) >= BEYOND else round(end, 1) for end in span)
    return low, high


def _number(edge: Edge) -> str:
    if edge.span is None:
        return "?"
    if edge.stated:
        return figure(edge.span[0], edge.span[0], None)
    low, high = _open(edge.span)
    if low is None or high is None or edge.basis == "unknown":
        return "?"
    return f"{number(low)}–{number(high)}"
