"""Can these plants share any enclosure?

The best regime and years, the window to build, whose water, who leaves when.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from bogwright.facts.named import group_row, known_rows, light_places, water_kind, water_row, year_rows
from bogwright.facts.neighbours import name_pairs
from bogwright.facts.rows import Row
from bogwright.judge.bench import Bench
from bogwright.judge.findings import Finding, decide, findings_of
from bogwright.rules import Judgement, Rule
from bogwright.rules import judge as fire
from bogwright.sharing.arena import Arenas
from bogwright.sharing.beds import Bed, Wetness, beds
from bogwright.sharing.boxes import LADDER, LEVELS, Strictness
from bogwright.sharing.clashes import RegimeClash, find_clashes
from bogwright.sharing.conflicts import Drops, drops
from bogwright.sharing.groups import Fit, Search
from bogwright.sharing.needs import Needs
from bogwright.sharing.windows import Box

Firer = Callable[[Sequence[Row], Sequence[Rule]], Judgement]


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
    rows = _rows(bench, plants, certain, found, shared_beds, clashes, horizon, midwinter)
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
        if arenas(bench, plants, LADDER[level].at_best).serves([p.id for p in plants]):
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
    apart: dict[str, dict[str, Wetness]] = {kind: {} for kind in ("standing", "either", "drained", "drying", "pool")}
    for plant, year in zip(plants, fit.years, strict=True):
        wet = {m: plant.moisture[year.phases[m]] for m in range(12) if m not in year.absent}
        apart[water_kind(plant, year)][plant.id] = wet
    apart["drained" if apart["drained"] and not apart["standing"] else "standing"] |= apart["either"]
    kinds = [apart[kind] for kind in ("standing", "drained", "drying") if apart[kind]]
    found = [bed for kind in kinds for bed in beds(kind, bench.axes)]
    return tuple(sorted(found, key=lambda bed: (-len(bed.plants), bed.plants)))


def _rows(
    bench: Bench,
    plants: Sequence[Needs],
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
        rows += known_rows(plant, bench.axes)
        if fit is not None:
            rows += year_rows(plant, fit.years[n], horizon, midwinter)
            bed = next((k + 1 for k, b in enumerate(shared_beds) if plant.id in b.plants), 0)
            rows.append(water_row(plant, fit.years[n], "own" if plant.id in own_water else "shared", bed))
    rows += name_pairs(plants)
    problem = sorted({p for c in clashes for p in c.plants})
    names = {p.id: p.name for p in plants}
    rows.append(
        group_row(
            certain,
            regime=fit.regime.title if fit else "none",
            problem=", ".join(names[p] for p in problem) or "none",
            plants=len(plants),
            lifted=sum(bool(y.absent) for y in fit.years) if fit else 0,
            beds=len(shared_beds),
            lights=light_places(plants),
            finished=found.exhausted,
        )
    )
    return rows
