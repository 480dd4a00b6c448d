"""A plant resolved for judging: the years it can be given and what it asks in each phase of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bogwright.sharing.axes import Axes
from bogwright.sharing.boxes import Strictness, compile_box
from bogwright.sharing.demands import Demand, claim_in, demand_of, word
from bogwright.sharing.groups import Candidate
from bogwright.sharing.inference import Inference
from bogwright.sharing.months import GROWTH, WEEKS_IN_MONTH, RestSpan, YearOption, options, trouble
from bogwright.sharing.windows import Box, Frame, Steps

if TYPE_CHECKING:
    from bogwright.knowledge.profiles import Profile, Rest

DEFAULT_REST_MONTHS = (10, 11, 0, 1, 2, 3)


@dataclass(slots=True)
class Needs:
    """A plant resolved for judging: its years and, for every phase, its demands by axis.

    group, relatives: whose figures stand in where it has none, and how many profiled members that group has.
    """

    id: str
    name: str
    profile: Profile
    stage: str
    years: tuple[YearOption, ...]
    demands: Mapping[str, Mapping[str, Demand]]
    steps: Mapping[str, Steps | None]
    moisture: Mapping[str, tuple[str, ...]]
    dark_ok: frozenset[str] = frozenset()
    group: str = ""
    relatives: int = 0
    _boxes: dict[tuple[str, Strictness], Box] = field(default_factory=dict, repr=False)

    def rest(self, phase: str) -> Rest:
        """The rest that a phase other than growth stands for."""
        way, rest = phase.split("/")
        return self.profile.ways[way].rests[rest]

    def candidate(self, axes: Axes, frame: Frame, strictness: Strictness) -> Candidate:
        """The plant as the search sees it under one strictness; years that ask the same of every month collapse."""
        seen: dict[tuple[Box | None, ...], YearOption] = {}
        for year in sorted(self.years, key=trouble):
            boxes = tuple(
                None if m in year.absent else self.box(year.phases[m], axes, frame, strictness) for m in range(12)
            )
            seen.setdefault(boxes, year)
        return Candidate(self.id, tuple(seen.values()), tuple(seen))

    def box(self, phase: str, axes: Axes, frame: Frame, strictness: Strictness) -> Box:
        key = (phase, strictness)
        if key not in self._boxes:
            self._boxes[key] = compile_box(
                self.demands[phase], self.steps[phase], phase in self.dark_ok, axes, frame, strictness
            )
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

    def unassessed(self, axes: Axes) -> dict[str, str]:
        """Axes on which the profile says nothing in growth (``open``) or nothing of one end (``half``)."""
        demands = self.demands[GROWTH]
        held = [(a.id, demands[a.id]) for a in axes.by_id.values() if a.id in demands]
        return {axis: "half" if demand.half_known else "open" for axis, demand in held if demand.unknown}


def needs_of(
    profile: Profile,
    axes: Axes,
    known: Inference,
    *,
    id: str = "",
    stage: str = "adult",
    horizon: str = "indefinitely",
) -> Needs:
    """Resolve one plant for judging at a stage and over a horizon."""
    grown = profile.stage(stage)
    years, rests = _years(grown, stage, horizon)
    phases = sorted({p for y in years for p in y.phases})
    demands, steps, moisture, dark = {}, {}, {}, set()
    for phase in phases if GROWTH in phases else [*phases, GROWTH]:
        rest = rests.get(phase)
        demands[phase] = {a.id: d for a in axes.by_id.values() if (d := demand_of(grown, rest, a, known)) is not None}
        stepped = claim_in(grown, rest, "air.day_limit_by_night")
        steps[phase] = (
            tuple((float(a), float(b)) for a, b in stepped.value) if stepped is not None and stepped.value else None
        )
        wet = claim_in(grown, rest, "water.moisture")
        moisture[phase] = tuple(wet.value) if wet is not None and wet.value else ()
        if rest is not None and word(rest.own("light_need")) == "not-needed":
            dark.add(phase)
    return Needs(
        id or profile.id,
        profile.name,
        profile,
        stage,
        years,
        demands,
        steps,
        moisture,
        frozenset(dark),
        known.title_of(profile),
        known.relatives(profile),
    )


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
