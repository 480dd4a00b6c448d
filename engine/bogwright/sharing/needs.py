"""What a plant asks of each month: claims become demands, demands become the solver's boxes.

A demand's ends are intervals. An end that no level states is bracketed by the levels that do (what a plant tolerates
lies between what it prefers and what it survives); if none does, the hull of its group stands in; else it is unknown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bogwright.physics.light import daily_light_integral, photon_flux
from bogwright.sharing.axes import INFINITE, Axes, Axis
from bogwright.sharing.groups import Candidate, Regime
from bogwright.sharing.months import GROWTH, WEEKS_IN_MONTH, RestSpan, YearOption, by_month, options, trouble
from bogwright.sharing.windows import Box, Frame, Steps

if TYPE_CHECKING:
    from bogwright.knowledge.base import KnowledgeBase
    from bogwright.knowledge.claims import BandClaim
    from bogwright.knowledge.profiles import Profile, Rest

Interval = tuple[float, float]
Hull = Callable[["Profile", str, str], Interval | None]
UNKNOWN: Interval = (-INFINITE, INFINITE)
# a source that gives lux or PPFD without hours speaks of the usual lamp day of a growing season
USUAL_HOURS: Interval = (12.0, 16.0)
SOFT = frozenset({"slow", "cosmetic"})
DEFAULT_REST_MONTHS = (10, 11, 0, 1, 2, 3)


@dataclass(frozen=True, slots=True)
class Origin:
    """Where an end comes from: basis, and the claim's own file and line; ``method`` when it was derived."""

    basis: str
    file: str = ""
    line: int = 0
    sources: tuple[str, ...] = ()
    method: str = ""


@dataclass(frozen=True, slots=True)
class Demand:
    """What one plant asks on one axis in one phase: tolerated ends and survived ends, each an interval or None (no demand)."""

    low: Interval | None
    high: Interval | None
    outside_low: str
    outside_high: str
    survives_low: Interval | None = None
    survives_high: Interval | None = None
    prefers_low: float | None = None
    prefers_high: float | None = None
    low_origin: Origin | None = None
    high_origin: Origin | None = None

    @property
    def unknown(self) -> bool:
        return UNKNOWN in (self.low, self.high)


@dataclass(frozen=True, slots=True)
class Strictness:
    """How hard to press: ``error`` share of the control error, ``soft`` ends too, ``certain`` takes the hardest reading."""

    error: float = 1.0
    soft: bool = True
    certain: bool = True


LEVELS = ("full", "half", "slow", "none")
LADDER = {"full": Strictness(1.0, True), "half": Strictness(0.5, True), "slow": Strictness(1.0, False)}


@dataclass(slots=True)
class Needs:
    """A plant resolved for judging: its years and, for every phase, its demands by axis."""

    id: str
    name: str
    profile: Profile
    stage: str
    years: tuple[YearOption, ...]
    demands: Mapping[str, Mapping[str, Demand]]
    steps: Mapping[str, Steps | None]
    moisture: Mapping[str, tuple[str, ...]]
    dark_ok: frozenset[str] = frozenset()
    _boxes: dict[tuple[str, Strictness], Box] = field(default_factory=dict, repr=False)

    def candidate(self, axes: Axes, frame: Frame, strictness: Strictness) -> Candidate:
        """The plant as the search sees it under one strictness; years that ask the same of every month collapse."""
        seen: dict[tuple[Box | None, ...], YearOption] = {}
        for year in sorted(self.years, key=trouble):
            boxes = tuple(None if m in year.absent else self.box(year.phases[m], axes, frame, strictness) for m in range(12))
            seen.setdefault(boxes, year)
        return Candidate(self.id, tuple(seen.values()), tuple(seen))

    def box(self, phase: str, axes: Axes, frame: Frame, strictness: Strictness) -> Box:
        key = (phase, strictness)
        if key not in self._boxes:
            self._boxes[key] = compile_box(self.demands[phase], self.steps[phase], phase in self.dark_ok, axes, frame, strictness)
        return self._boxes[key]

    def wish(self, phase: str, axes: Axes, frame: Frame) -> Box:
        """The box of what the plant prefers, open where it states no preference."""
        lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
        for n, axis in enumerate(frame.order):
            demand = self.demands[phase].get(axis)
            if demand is not None:
                lows[n] = demand.prefers_low if demand.prefers_low is not None else lows[n]
                highs[n] = demand.prefers_high if demand.prefers_high is not None else highs[n]
        return Box(tuple(lows), tuple(highs))

    def unassessed(self, axes: Axes) -> list[str]:
        """Axes on which the profile says nothing in growth, in the order of the axes."""
        demands = self.demands[GROWTH]
        return [a.id for a in axes.by_id.values() if a.id in demands and demands[a.id].unknown]


def compile_box(
    demands: Mapping[str, Demand], steps: Steps | None, dark_ok: bool, axes: Axes, frame: Frame, strictness: Strictness
) -> Box:
    """Demands of one phase as bounds on the case, shrunk by the control error; unknown ends do not bind."""
    lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
    for n, key in enumerate(frame.order):
        demand = demands.get(key)
        if demand is None:
            continue
        error = control_error(axes, axes[key]) * strictness.error
        low, high = _pick(demand, strictness)
        if low is not None:
            lows[n] = max(lows[n], low + error)
        if high is not None:
            highs[n] = min(highs[n], high - error)
    for axis in axes.coupled("product"):
        if dark_ok or axis.id not in demands:
            continue
        _bound_hours(demands, axis, axes, frame, strictness, lows, highs)
    return Box(tuple(lows), tuple(highs), (steps,) if steps else ())


def _bound_hours(demands: Mapping[str, Demand], axis: Axis, axes: Axes, frame: Frame, strictness: Strictness,
                 lows: list[float], highs: list[float]) -> None:  # fmt: skip
    """Light a day = level x hours x factor: with the level anywhere a place can have it, the hours are bounded from both sides."""
    assert axis.coupling is not None
    level, hours = axes[axis.coupling.left], axes[axis.coupling.right]
    n = frame.order.index(hours.id)
    off = 1 + level.relative_error * strictness.error
    weakest, strongest = level.settable
    own = demands.get(level.id)
    if own is not None:
        low, high = _pick(own, strictness)
        weakest = max(weakest, low * off) if low is not None else weakest
        strongest = min(strongest, high / off) if high is not None else strongest
    low, high = _pick(demands[axis.id], strictness)
    off *= 1 + hours.relative_error * strictness.error
    if low is not None and low > 0:
        lows[n] = max(lows[n], low * off / (strongest * axis.coupling.factor))
    if high is not None:
        highs[n] = min(highs[n], high / off / (weakest * axis.coupling.factor))
    if weakest > strongest:
        lows[n], highs[n] = math.inf, -math.inf


def control_error(axes: Axes, axis: Axis) -> float:
    """Half-width of what a grower can hold on an axis; a difference carries the errors of both its settings."""
    if axis.coupling is not None and axis.coupling.kind == "difference":
        return axes[axis.coupling.left].control_error + axes[axis.coupling.right].control_error
    return axis.control_error


def _pick(demand: Demand, strictness: Strictness) -> tuple[float | None, float | None]:
    low = high = None
    if demand.low is not None and (strictness.soft or demand.outside_low not in SOFT):
        value = demand.low[1] if strictness.certain else demand.low[0]
        low = value if abs(value) < INFINITE else None
    if demand.high is not None and (strictness.soft or demand.outside_high not in SOFT):
        value = demand.high[0] if strictness.certain else demand.high[1]
        high = value if abs(value) < INFINITE else None
    return low, high


def needs_of(
    profile: Profile, axes: Axes, lamps: Mapping[str, Any], *, id: str = "", stage: str = "adult", horizon: str = "indefinitely",
    hull: Hull | None = None,
) -> Needs:  # fmt: skip
    """Resolve one plant for judging at a stage and over a horizon."""
    grown = profile.stage(stage)
    years, rests = _years(grown, stage, horizon)
    phases = sorted({p for y in years for p in y.phases})
    demands, steps, moisture, dark = {}, {}, {}, set()
    for phase in phases if GROWTH in phases else [*phases, GROWTH]:
        rest = rests.get(phase)
        demands[phase] = {a.id: d for a in axes.by_id.values() if (d := _demand(grown, rest, a, lamps, hull)) is not None}
        stepped = _claim(grown, rest, "air.day_limit_by_night")
        steps[phase] = tuple((float(a), float(b)) for a, b in stepped.value) if stepped is not None and stepped.value else None
        wet = _claim(grown, rest, "water.moisture")
        moisture[phase] = tuple(wet.value) if wet is not None and wet.value else ()
        if rest is not None and word(rest.own("light_need")) == "not-needed":
            dark.add(phase)
    return Needs(id or profile.id, profile.name, profile, stage, years, demands, steps, moisture, frozenset(dark))


def hull_of(base: KnowledgeBase) -> Hull:
    """The range of a plant's group for an end its own line of inheritance leaves out; None where no member states it."""

    def find(profile: Profile, claim: str, side: str) -> Interval | None:
        group = profile.entry.group or f"{profile.entry.genus}/_genus"
        return base.hull(group, claim, "tolerates", side)

    return find


def floats(profile: Profile) -> bool:
    """Whether the plant floats in open water, so that it has no medium and no water table."""
    return word(profile.claim("habit.growth_form")) == "floating"


def word(claim: Any) -> str:
    """The word of a claim, ``?`` where there is none, it is unknown or disputed."""
    value = getattr(claim, "value", None)
    return value if isinstance(value, str) else "?"


def _claim(profile: Profile, rest: Rest | None, path: str) -> Any:
    return profile.claim(path) if rest is None else rest.claim(path)


def _years(profile: Profile, stage: str, horizon: str) -> tuple[tuple[YearOption, ...], dict[str, Rest]]:
    """Every year of every way; phases are named ``way/rest`` so that two ways' rests stay apart."""
    years: list[YearOption] = []
    rests: dict[str, Rest] = {}
    seasons = {"one-season": 1, "two-years": 2}.get(horizon, 10**6)
    for key, way in sorted(profile.ways.items()):
        spans = []
        for name, rest in sorted(way.rests.items()):
            phase = f"{key}/{name}"
            rests[phase] = rest
            may = tuple(rest.may) or DEFAULT_REST_MONTHS
            least, most = rest.weeks
            longest = WEEKS_IN_MONTH * len(may)
            weeks = (least if least is not None else WEEKS_IN_MONTH, most if most is not None else longest)
            spans.append(RestSpan(phase, may, weeks, rest.where == "lifted-out"))
        years += options(key, way.effort, spans)
        skips = [winters_skipped(rest, stage) or 0 for rest in way.rests.values()]
        if skips and min(skips) >= seasons:
            years.append(YearOption(key, 0, (GROWTH,) * 12, frozenset(), skipped=True))
    if not years:
        years = [YearOption("unstated", 0, (GROWTH,) * 12, frozenset())]
    return tuple(years), rests


def winters_skipped(rest: Rest, stage: str) -> int | None:
    """Rests in a row that may be left out at a stage; None where the profile does not say."""
    claim = rest.winters_skipped.get(stage)
    return None if claim is None or claim.value is None else int(claim.value)


def _demand(profile: Profile, rest: Rest | None, axis: Axis, lamps: Mapping[str, Any], hull: Hull | None) -> Demand | None:
    if axis.coupling is not None and axis.coupling.kind == "falling-steps":
        return None
    if floats(profile) and axis.id == "table_below_crown":
        return None
    claim: BandClaim | None = _claim(profile, rest, axis.claim)
    light = _light_levels(profile, rest, lamps) if axis.id == "dli" else {}
    ends: dict[str, tuple[Interval | None, Origin | None]] = {}
    for side in ("low", "high"):
        for level in ("prefers", "tolerates", "survives"):
            stated = _stated(claim, level, side)
            if stated is not None:
                ends[f"{level}.{side}"] = stated
            elif f"{level}.{side}" in light:
                ends[f"{level}.{side}"] = light[f"{level}.{side}"]
    asked_nothing = claim is None and not ends
    if asked_nothing and axis.free >= {"low", "high"}:
        return None
    settled = {}
    for side in ("low", "high"):
        settled[side] = _tolerated(ends, side, axis, profile, hull)
    if settled["low"][0] is None and settled["high"][0] is None:
        return None
    low_word, high_word = (claim.outside_low, claim.outside_high) if claim is not None else (None, None)
    prefers_low, prefers_high = ends.get("prefers.low"), ends.get("prefers.high")
    return Demand(
        low=settled["low"][0], high=settled["high"][0],
        outside_low=low_word.value if low_word else axis.outside, outside_high=high_word.value if high_word else axis.outside,
        survives_low=ends["survives.low"][0] if "survives.low" in ends else None,
        survives_high=ends["survives.high"][0] if "survives.high" in ends else None,
        prefers_low=prefers_low[0][0] if prefers_low and prefers_low[0] else None,
        prefers_high=prefers_high[0][1] if prefers_high and prefers_high[0] else None,
        low_origin=settled["low"][1], high_origin=settled["high"][1],
    )  # fmt: skip


def _stated(claim: BandClaim | None, level: str, side: str) -> tuple[Interval, Origin] | None:
    """One stated end; where readings differ, the hull over all of them."""
    if claim is None:
        return None
    end = claim.end(level, side)
    if end is not None:
        return (end.value, end.value), Origin(end.basis, end.origin.file, end.origin.line, tuple(s.id for s in end.sources))
    span = claim.hull(level, side)
    if span is None or claim.origin is None:
        return None
    return span, Origin("disputed", claim.origin.file, claim.origin.line)


def _tolerated(ends: Mapping[str, tuple[Interval | None, Origin | None]], side: str, axis: Axis, profile: Profile,
               hull: Hull | None) -> tuple[Interval | None, Origin | None]:  # fmt: skip
    stated = ends.get(f"tolerates.{side}")
    if stated is not None:
        return stated
    inner, outer = ends.get(f"prefers.{side}"), ends.get(f"survives.{side}")
    if side in axis.free:
        return None, None
    if inner is None and outer is None:
        span = hull(profile, axis.claim, side) if hull is not None else None
        return (span, Origin("derived", method="range of its group")) if span is not None else (UNKNOWN, None)
    nearest = inner or outer
    assert nearest is not None and nearest[0] is not None
    within = Origin("derived", *_place(nearest[1]), method="between what it prefers and what it survives")
    a = outer[0][0] if outer and outer[0] else -INFINITE
    b = inner[0][1] if inner and inner[0] else INFINITE
    if side == "high":
        a, b = (inner[0][0] if inner and inner[0] else -INFINITE), (outer[0][1] if outer and outer[0] else INFINITE)
    return (min(a, b), max(a, b)), within


def _place(origin: Origin | None) -> tuple[str, int]:
    return (origin.file, origin.line) if origin is not None else ("", 0)


def _light_levels(profile: Profile, rest: Rest | None, lamps: Mapping[str, Any]) -> dict[str, tuple[Interval, Origin]]:
    """Light a day derived from stated PPFD or illuminance, hours and lamp; then from the light class growers name."""
    found: dict[str, tuple[Interval, Origin]] = {}
    for path, method in (("light.ppfd", "PPFD and hours"), ("light.illuminance", "illuminance, lamp and hours")):
        claim: BandClaim | None = _claim(profile, rest, path)
        if claim is None:
            continue
        for level in ("prefers", "tolerates", "survives"):
            for side in ("low", "high"):
                end = claim.end(level, side)
                if end is None or f"{level}.{side}" in found:
                    continue
                hours = _span(end.hours) if end.hours is not None else USUAL_HOURS
                flux = (end.value, end.value)
                if path == "light.illuminance":
                    constant = _span(lamps.get(end.lamp or "unknown", lamps["unknown"])["lux_per_ppfd"])
                    flux = (photon_flux(end.value, constant[1]), photon_flux(end.value, constant[0]))
                span = (daily_light_integral(flux[0], hours[0]), daily_light_integral(flux[1], hours[1]))
                found[f"{level}.{side}"] = (span, Origin("derived", end.origin.file, end.origin.line,
                                            tuple(s.id for s in end.sources), method))  # fmt: skip
    return found


def _span(value: float | Sequence[float]) -> Interval:
    return (float(value[0]), float(value[1])) if isinstance(value, Sequence) else (float(value), float(value))


def regime_of(key: str, given: Mapping[str, Any], frame: Frame) -> Regime:
    """A regime of ``kb/regimes.yaml`` as twelve boxes. Its bounds are where the set point may lie: no control error."""
    boxes = []
    for month in range(12):
        lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
        for n, axis in enumerate(frame.order):
            if axis in given:
                low, high = by_month(given[axis], month)
                lows[n], highs[n] = max(lows[n], low), min(highs[n], high)
        boxes.append(Box(tuple(lows), tuple(highs)))
    return Regime(key, given["title"], given["effort"], tuple(boxes))
