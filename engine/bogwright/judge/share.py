"""Can these plants share any enclosure?

The best regime and years, the window to build, whose water, who leaves when.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from bogwright.facts.ground import emersed
from bogwright.facts.neighbours import name_pairs
from bogwright.facts.plants import gap_rows, law_row, lift_row, standing_row, year_row
from bogwright.facts.rows import NO_DEMAND, Row, row
from bogwright.judge.bench import Bench
from bogwright.judge.findings import Finding, decide, findings_of
from bogwright.rules import UNBOUNDED, Judgement, Rule
from bogwright.rules import judge as fire
from bogwright.sharing.arena import Arenas
from bogwright.sharing.beds import Bed, Wetness, beds
from bogwright.sharing.boxes import LADDER, LEVELS, Strictness
from bogwright.sharing.clashes import RegimeClash, find_clashes
from bogwright.sharing.conflicts import Drops, drops
from bogwright.sharing.demands import floats
from bogwright.sharing.groups import Fit, Search
from bogwright.sharing.months import GROWTH, NO_MONTHS, YearOption, month_words
from bogwright.sharing.needs import Needs
from bogwright.sharing.windows import Box

Firer = Callable[[Sequence[Row], Sequence[Rule]], Judgement]
NEVER = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class MonthWindow:
    """What to build in one month (0 = midwinter):

    bounds per axis, the span of the drop, and one set point that was checked.
    """

    month: int
    low: Mapping[str, float]
    high: Mapping[str, float]
    set_point: Mapping[str, float]


@dataclass(slots=True)
class Shared:
    """The answer for plain names, before it is worded. ``midwinter``: calendar month of the shortest day."""

    plants: Sequence[Needs]
    level: str
    fit: Fit | None
    windows: tuple[MonthWindow, ...]
    beds: tuple[Bed, ...]
    clashes: tuple[RegimeClash, ...]
    drops: Drops | None
    findings: Sequence[Finding]
    verdict: str
    midwinter: int
    rows: Sequence[Row] = field(repr=False, default=())


def share(
    bench: Bench,
    plants: Sequence[Needs],
    horizon: str,
    fire_with: Firer = fire,
    explain: bool = True,
    midwinter: int = 12,
) -> Shared:
    """Judge plain names. ``explain``: also find clashes and what to drop (not needed for a repair's own check)."""
    level, found, certain = _ladder(bench, plants)
    clashes: tuple[RegimeClash, ...] = ()
    dropped: Drops | None = None
    if found.fit is None and explain:
        mildest = arenas(bench, plants, LADDER["slow"])
        clashes = find_clashes(mildest)
        dropped = drops([p.id for p in plants], mildest.serves)
    windows = _windows(bench, plants, found.fit, LADDER[level]) if found.fit is not None else ()
    shared_beds = _beds(bench, plants, found.fit) if found.fit is not None else ()
    rows = _rows(bench, plants, level, certain, found, shared_beds, clashes, horizon, midwinter)
    names = {n.id: n.name for n in plants}
    findings = findings_of(fire_with(rows, bench.rules), bench.rules, rows, names, horizon)
    return Shared(
        plants, level, found.fit, windows, shared_beds, clashes, dropped, findings, decide(findings), midwinter, rows
    )


def arenas(bench: Bench, plants: Sequence[Needs], strictness: Strictness) -> Arenas:
    """The plants under every regime at one strictness."""
    candidates = [p.candidate(bench.axes, bench.frame, strictness) for p in plants]
    return Arenas(candidates, bench.regimes, bench.frame, strictness.error)


def _ladder(bench: Bench, plants: Sequence[Needs]) -> tuple[str, Search, tuple[int, int]]:
    """The strictest level that can be shared, its fit, and the level's number (possible, certain)."""
    finished, ids = True, [p.id for p in plants]
    for rung, level in enumerate(LEVELS[:-1]):
        found = arenas(bench, plants, LADDER[level]).best(ids)
        finished &= found.exhausted
        if found.fit is not None:
            return level, Search(found.fit, finished), (_possible_level(bench, plants, rung), rung)
    return "none", Search(None, finished), (_possible_level(bench, plants, len(LEVELS) - 1), len(LEVELS) - 1)


def _possible_level(bench: Bench, plants: Sequence[Needs], most: int) -> int:
    """The strictest level that could be shared if every figure in doubt fell the plants' way."""
    for rung, level in enumerate(LEVELS[:most]):
        loose = Strictness(LADDER[level].error, LADDER[level].soft, certain=False)
        if arenas(bench, plants, loose).serves([p.id for p in plants]):
            return rung
    return most


def _windows(bench: Bench, plants: Sequence[Needs], fit: Fit, strictness: Strictness) -> tuple[MonthWindow, ...]:
    """The shared window of each month, projected on every axis, with its checked set point near what the plants
    prefer.
    """
    frame, months = bench.frame, []
    for month in range(12):
        box = fit.boxes[month]
        wish: Box | None = fit.regime.boxes[month]
        for plant, year in zip(plants, fit.years, strict=True):
            if month not in year.absent and wish is not None:
                both = wish & plant.wish(year.phases[month], bench.axes, frame)
                # a wish that cannot be joined to the others' is the plant's loss, not the group's
                wish = both if frame.feasible(box & both, strictness.error) else wish
        point = frame.set_point(box, box & wish if wish is not None else None, strictness.error)
        tight = frame.tightened(box)
        months.append(
            MonthWindow(
                month,
                dict(zip(frame.order, tight.lows, strict=True)),
                dict(zip(frame.order, tight.highs, strict=True)),
                point or {},
            )
        )
    return tuple(months)


def _beds(bench: Bench, plants: Sequence[Needs], fit: Fit) -> tuple[Bed, ...]:
    """Whose water is shared: apart for plants that must never stand in it and for those that rest dry where they
    stand; floating plants have pools of their own. Where all others do with drained medium too, they share that.
    """
    standing: dict[str, Wetness] = {}
    drained: dict[str, Wetness] = {}
    drying: dict[str, Wetness] = {}
    for plant, year in zip(plants, fit.years, strict=True):
        if not floats(plant.profile):
            wet = {m: plant.moisture[year.phases[m]] for m in range(12) if m not in year.absent}
            apart = drying if _rests_dry(plant, year) else drained if _must_drain(plant) else standing
            apart[plant.id] = wet
    if drained and all("drained" in (p.profile.value("water.watering") or ()) for p in plants if p.id in standing):
        standing, drained = {}, standing | drained
    found = [bed for apart in (standing, drained, drying) if apart for bed in beds(apart, bench.axes)]
    return tuple(sorted(found, key=lambda bed: (-len(bed.plants), bed.plants)))


def _wetness_words(plant: Needs, year: YearOption) -> str:
    """Moisture lived with, and that of a rest in place where it is another."""
    grown = " or ".join(plant.moisture.get(GROWTH) or ()) or "unknown"
    at_rest = " or ".join(dict.fromkeys(w for phase in year.rests_in_place for w in plant.moisture[phase]))
    return grown if at_rest in ("", grown) else f"{grown} (at rest {at_rest})"


def _rests_dry(plant: Needs, year: YearOption) -> bool:
    """Whether it must go dry within the enclosure, which no water line that others drink from can do."""
    rests = map(plant.rest, year.rests_in_place)
    return any(rest.kind == "dry" and rest.need == "obligatory" for rest in rests)


def _must_drain(plant: Needs) -> bool:
    """Whether every way growers water it lets the water run off."""
    ways = plant.profile.value("water.watering")
    return bool(ways) and not {"tray", "flowing", "aquatic"} & set(ways)


def _rows(
    bench: Bench,
    plants: Sequence[Needs],
    level: str,
    certain: tuple[int, int],
    found: Search,
    shared_beds: Sequence[Bed],
    clashes: Sequence[RegimeClash],
    horizon: str,
    midwinter: int,
) -> list[Row]:
    rows: list[Row] = []
    fit = found.fit
    own_water = {p for bed in shared_beds[1:] for p in bed.plants}
    for n, plant in enumerate(plants):
        words = {"plant": plant.id, "plant_name": plant.name}
        rows += [law_row(plant, words), standing_row(plant, words), *gap_rows(plant, words, bench.axes)]
        if fit is not None:
            year = fit.years[n]
            resting = [m for m in range(12) if year.phases[m] != GROWTH]
            given = (
                "skipped" if year.skipped else "lifted-out" if year.absent else "in-place" if resting else "not-needed"
            )
            months = month_words(resting, midwinter) if resting else NO_MONTHS
            rows.append(year_row(plant, words, given, NO_DEMAND, months, year.way, horizon, NEVER, NEVER))
            if year.absent:
                rows.append(lift_row(plant, words, year, months, "chosen", "chosen"))
            if floats(plant.profile):
                rows.append(_pool_row(plant, words))
            else:
                moisture = _wetness_words(plant, year) + (", drained" if _must_drain(plant) else "")
                bed = next((k + 1 for k, b in enumerate(shared_beds) if plant.id in b.plants), 0)
                rows.append(
                    row(
                        "plant.bed",
                        plant.id,
                        **words,
                        saucer="own" if plant.id in own_water else "shared",
                        wetness=moisture,
                        bed=f"bed {bed}",
                        genus=plant.profile.entry.genus,
                    )
                )
    rows += name_pairs(plants)
    problem = sorted({p for c in clashes for p in c.plants})
    names = {p.id: p.name for p in plants}
    rows.append(
        row(
            "case.group",
            "case",
            case="case",
            max_clash=(float(min(certain)), float(max(certain))),
            regime=fit.regime.title if fit else "none",
            problem=", ".join(names[p] for p in problem) or "none",
            count_plants=(float(len(plants)),) * 2,
            count_lifted=(float(sum(bool(y.absent) for y in fit.years)),) * 2 if fit else NEVER,
            count_beds=(float(len(shared_beds)),) * 2,
            count_lights=(float(_light_places(plants)),) * 2,
            search="finished" if found.exhausted else "cut-short",
        )
    )
    return rows


def _light_places(plants: Sequence[Needs]) -> int:
    """The fewest lights a day (daily light integrals) with one that every plant grows in: least points that hit all
    the bands, taken from the dimmest upper end.
    """
    bands = [d for p in plants if (d := p.demands[GROWTH].get("dli")) is not None]
    ends = sorted((d.high[1] if d.high else float("inf"), d.low[0] if d.low else 0.0) for d in bands)
    places, lit = 1, ends[0][0] if ends else 0.0
    for high, low in ends:
        if low > lit:
            places, lit = places + 1, high
    return places


def _pool_row(plant: Needs, words: dict[str, str]) -> Row:
    return row(
        "plant.pool",
        plant.id,
        **words,
        pool="chosen",
        emersed=emersed(plant.profile),
        ph_over=UNBOUNDED,
        ph_under=UNBOUNDED,
        co2_short=UNBOUNDED,
        depth_short=UNBOUNDED,
        depth_over=UNBOUNDED,
        warm_over=UNBOUNDED,
        cold_under=UNBOUNDED,
        nutrients="?",
        nutrients_fit="?",
        algae="?",
    )
