"""What a plant is known to ask, one figure a cell: with its standing, and whether it is the plant's own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from markupsafe import Markup

from bogwright.knowledge import BandClaim, RangeClaim, Rest, ValueClaim
from bogwright.report.site.markup import Text, el, joined
from bogwright.report.site.wording import REST_KINDS, figure, standing, words
from bogwright.sharing.axes import INFINITE, Axis
from bogwright.sharing.demands import UNKNOWN
from bogwright.sharing.inference import Interval
from bogwright.sharing.months import GROWTH
from bogwright.sharing.needs import Needs

ARROWS = {"own": "", "part": "↑ in part", "up": "↑"}
LEGEND = "↑ taken over from the group or the genus; without an arrow a figure is stated for the plant itself."


class Cell(NamedTuple):
    """shown : the figure in words; standings : of its ends, each once; whose : own, up (inherited), part, or ''.

    ranged : it is a band of figures, not to be broken over lines.
    """

    shown: str
    standings: tuple[str, ...]
    whose: str = ""
    ranged: bool = False

    def markup(self) -> Markup:
        """The figure, its standing, and an arrow where it is inherited."""
        if not self.shown:
            return joined(map(standing, self.standings), " ")
        arrow = ARROWS.get(self.whose, "")
        inherited: list[Text] = []
        if arrow:
            told = arrow.replace("↑", "inherited")
            seen = el("span", arrow, aria_hidden="true")
            inherited = [" ", el("span", seen, el("span", told, class_="aside"), class_="up", title=told)]
        return joined([el("span", self.shown, *inherited, class_="figure"), *map(standing, self.standings)], " ")


UNKNOWN_CELL = Cell("", ("unknown",))
NOTHING = Cell("no demand", ())


def tolerated(needs: Needs, axis: Axis) -> Cell:
    """What is tolerated on an axis in growth; of an end that is not certain, its whole span."""
    demand = needs.demands[GROWTH].get(axis.id)
    if demand is None:
        return NOTHING
    known = {"low": demand.low, "high": demand.high}
    if all(span in (None, UNKNOWN) for span in known.values()):
        return UNKNOWN_CELL
    claim = needs.profile.claim(axis.claim)
    standings: dict[str, None] = {}
    whose = []
    for side, origin in (("low", demand.low_origin), ("high", demand.high_origin)):
        if known[side] is None:
            continue
        standings.setdefault("unknown" if known[side] == UNKNOWN or origin is None else origin.basis)
        end = claim.end("tolerates", side) if isinstance(claim, BandClaim) else None
        if end is not None:
            whose.append(end.inherited)
    sure = figure(_end(demand.low, 1), _end(demand.high, 0), axis.unit)
    loose = figure(_end(demand.low, 0), _end(demand.high, 1), axis.unit)
    shown = sure if loose == sure or UNKNOWN in known.values() else f"{sure}, perhaps {loose}"
    return Cell(shown, tuple(standings), _whose(whose), loose == sure)


def _end(span: Interval | None, place: int) -> float | None:
    return None if span is None or abs(span[place]) >= INFINITE else round(span[place], 1)


def preferred(needs: Needs, axis: Axis) -> str:
    """What is preferred on an axis, or '' where nobody says or the readings of it exclude one another."""
    demand = needs.demands[GROWTH].get(axis.id)
    if demand is None or (demand.prefers_low is None and demand.prefers_high is None):
        return ""
    low, high = (None if one is None else round(one, 1) for one in (demand.prefers_low, demand.prefers_high))
    return "" if low is not None and high is not None and low > high else figure(low, high, axis.unit)


def moisture(needs: Needs) -> Cell:
    """How wet the medium may be, in the words of kb/axes.yaml."""
    return stated(needs, "water.moisture")


def stated(needs: Needs, path: str, told: Mapping[str, str] | None = None) -> Cell:
    """A claim in words. told : how its words are shown, where not as they stand."""
    claim = needs.profile.claim(path)
    if not isinstance(claim, ValueClaim) or claim.unknown:
        return UNKNOWN_CELL
    if claim.readings:
        return Cell("", ("disputed",))
    held = claim.value if isinstance(claim.value, tuple) else (claim.value,)
    shown = ", ".join((told or {}).get(str(one)) or words(str(one)) for one in held)
    return Cell(shown, (claim.basis or "unknown",), _whose([claim.origin.inherited]))


def size(needs: Needs) -> Cell:
    """Height and width of the grown plant."""
    shown: list[str] = []
    standings: dict[str, None] = {}
    whose: list[bool] = []
    for path, sign in (("habit.height", "high"), ("habit.width", "wide")):
        claim = needs.profile.claim(path)
        if not isinstance(claim, RangeClaim) or claim.unknown:
            continue
        low, high = claim.low, claim.high
        ends = [end for end in (low, high) if end is not None]
        span = figure(low.value if low else None, high.value if high else None, claim.field.unit)
        shown.append(f"{span} {sign}")
        standings |= dict.fromkeys(end.basis for end in ends)
        whose += [end.inherited for end in ends]
    return Cell("; ".join(shown), tuple(standings), _whose(whose)) if shown else UNKNOWN_CELL


def rests(needs: Needs, kinds: tuple[str, ...] | None = None) -> Cell:
    """How it rests in each way, least trouble first. kinds : only rests of these; empty for years without a rest."""
    seen: dict[str, None] = {}
    standings: dict[str, None] = {}
    whose = []
    for way in sorted(needs.profile.ways.values(), key=lambda way: (way.effort, way.id)):
        told = []
        for rest in way.rests.values():
            if kinds is None or rest.kind in kinds:
                lifted = ", lifted out" if rest.where == "lifted-out" else ""
                wanted = {"none": "may be left out"}.get(rest.need or "", rest.need or "need unknown")
                told.append(f"{REST_KINDS.get(rest.kind, rest.kind)}{lifted} ({wanted})")
        if not way.rests and not kinds:
            told.append("grows all year")
        if told:
            seen |= dict.fromkeys(told)
            standings |= dict.fromkeys([way.basis or _basis(way.rests.values())])
            whose.append(way.origin.inherited)
    if not seen:
        return UNKNOWN_CELL
    return Cell("; ".join(seen), tuple(one for one in standings if one), _whose(whose))


def _basis(kept: Iterable[Rest]) -> str:
    """The standing of the rests of a way: that of the first claim that says whether one is needed."""
    for rest in kept:
        claim = rest.own("need")
        if isinstance(claim, ValueClaim) and claim.basis:
            return claim.basis
    return ""


def _whose(inherited: list[bool]) -> str:
    return "" if not inherited else "up" if all(inherited) else "part" if any(inherited) else "own"


def wide(label: str, table: Markup) -> Markup:
    """A table wider than a phone: it scrolls inside its own frame, with the keyboard as well."""
    return el("div", table, class_="wide", role="region", tabindex=0, aria_label=label)
