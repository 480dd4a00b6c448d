"""Groups decide: one regime, one year for each plant, every month met, with the least trouble.

Plants arrive as :class:`Candidate` (their years, each compiled to twelve boxes), regimes as twelve boxes. The search
is a depth-first branch and bound over the plants' years jointly; taking each plant's easiest year first would miss
groups that another combination serves. Clashes come back as conflict sets, plants to drop as smallest hitting sets.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bogwright.sharing.months import YearOption
from bogwright.sharing.windows import Box, Frame

NODE_LIMIT = 60_000


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
    """A regime and a year for each plant that meet every month; ``cost`` is (effort, lift-outs)."""

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


def open_options(candidate: Candidate, regime: Regime, frame: Frame, error: float) -> list[int]:
    """Indices of the years of ``candidate`` that the regime could serve if the plant were alone in the case."""
    met: dict[tuple[int, int], bool] = {}  # a year repeats its phases' boxes, so each is asked once a month

    def suits(month: int, box: Box | None) -> bool:
        if box is None:
            return True
        key = (month, id(box))
        if key not in met:
            met[key] = frame.feasible(regime.boxes[month] & box, error)
        return met[key]

    return [k for k, boxes in enumerate(candidate.boxes) if all(suits(m, b) for m, b in enumerate(boxes))]


def search(plants: Sequence[Candidate], regime: Regime, frame: Frame, error: float = 1.0) -> Search:
    """The easiest way to serve all ``plants`` in one regime; ties go to the earlier year in each plant's order."""
    result = Search()
    domains = [open_options(p, regime, frame, error) for p in plants]
    if not all(domains):
        return result
    # few choices first; within a plant, least trouble first
    order = sorted(range(len(plants)), key=lambda n: (len(domains[n]), plants[n].id))
    cost_of = [[(plants[n].years[k].effort, plants[n].years[k].lifts) for k in domains[n]] for n in range(len(plants))]
    for n in range(len(plants)):
        paired = sorted(zip(cost_of[n], domains[n], strict=True))  # the plant's own order of preference breaks ties
        cost_of[n], domains[n] = [c for c, _ in paired], [k for _, k in paired]
    least_after = [(0, 0)] * (len(plants) + 1)
    for depth in range(len(order) - 1, -1, -1):
        least = cost_of[order[depth]][0]
        least_after[depth] = (least_after[depth + 1][0] + least[0], least_after[depth + 1][1] + least[1])
    chosen: list[int] = [0] * len(plants)
    best: tuple[int, int] | None = None
    failed: set[tuple[int, tuple[Box, ...]]] = set()

    def go(depth: int, months: tuple[Box, ...], effort: int, lifts: int) -> bool:
        nonlocal best
        result.nodes += 1
        if result.nodes > NODE_LIMIT:
            result.exhausted = False
            return False
        if depth == len(order):
            best = (effort, lifts)
            years = tuple(p.years[k] for p, k in zip(plants, chosen, strict=True))
            result.fit = Fit(regime, years, months, (effort + regime.effort, lifts))
            return True
        if (depth, months) in failed:
            return False
        n, met = order[depth], False
        for (more, lift), k in zip(cost_of[n], domains[n], strict=True):
            reach = (effort + more + least_after[depth + 1][0], lifts + lift + least_after[depth + 1][1])
            if best is not None and reach >= best:
                met = True  # not refuted, only not better: must not be remembered as failed
                break
            joined = []
            for whole, box in zip(months, plants[n].boxes[k], strict=True):
                both = whole if box is None else whole & box
                if both is not whole and not frame.feasible(both, error):
                    break
                joined.append(both)
            else:
                chosen[n] = k
                met = go(depth + 1, tuple(joined), effort + more, lifts + lift) or met
        if not met:
            failed.add((depth, months))
        return met

    go(0, regime.boxes, 0, 0)
    return result


def best_fit(plants: Sequence[Candidate], regimes: Sequence[Regime], frame: Frame, error: float = 1.0) -> Search:
    """The easiest regime and years for all plants: least effort, fewest lift-outs, then the order of the regimes."""
    best = Search()
    for regime in regimes:
        if best.fit is not None and regime.effort > best.fit.cost[0]:
            continue
        found = search(plants, regime, frame, error)
        best.exhausted &= found.exhausted
        if found.fit is not None and (best.fit is None or found.fit.cost < best.fit.cost):
            best.fit = found.fit
    return best


def conflict(ids: Sequence[str], serves: Callable[[Sequence[str]], bool]) -> tuple[str, ...]:
    """A smallest-by-deletion subset of ``ids`` that cannot be served, given that all of them cannot."""
    kept = list(ids)
    for one in list(ids):
        rest = [i for i in kept if i != one]
        if not serves(rest):
            kept = rest
    return tuple(kept)


def hitting_sets(conflicts: Sequence[frozenset[str]], most: int) -> list[tuple[str, ...]]:
    """All smallest sets that hit every conflict, at most ``most`` of them, by iterative deepening."""
    open_sets = sorted(set(conflicts), key=lambda c: (len(c), sorted(c)))
    for size in range(len(frozenset().union(*open_sets)) + 1 if open_sets else 1):
        found: set[tuple[str, ...]] = set()
        _hit(open_sets, size, (), found, most)
        if found:
            return sorted(found)
    return []


def _hit(
    rest: Sequence[frozenset[str]], left: int, chosen: tuple[str, ...], found: set[tuple[str, ...]], most: int
) -> None:
    rest = [c for c in rest if not c.intersection(chosen)]
    if not rest:
        found.add(tuple(sorted(chosen)))
        return
    if left == 0 or len(found) >= most:
        return
    for one in sorted(rest[0]):
        _hit(rest, left - 1, (*chosen, one), found, most)


@dataclass(frozen=True, slots=True)
class Drops:
    """Smallest sets of plants whose removal leaves a group that can be served, and the conflicts that force them."""

    sets: tuple[tuple[str, ...], ...]
    conflicts: tuple[tuple[str, ...], ...]
    complete: bool


def drops(ids: Sequence[str], serves: Callable[[Sequence[str]], bool], most: int = 6, rounds: int = 400) -> Drops:
    """Fewest plants to drop so that the rest can be served, by hitting sets over conflicts found on demand.

    ``serves(ids)`` answers for any subset over all regimes; every set returned was asked and can be served.
    """
    conflicts: list[frozenset[str]] = []
    good: list[tuple[str, ...]] = []
    for _ in range(rounds):
        tried = False
        for drop in hitting_sets(conflicts, most * 8):
            if drop in good:
                continue
            rest = [i for i in ids if i not in drop]
            tried = True
            if serves(rest):
                good.append(drop)
                if len(good) >= most:
                    return Drops(tuple(sorted(good)), _sorted(conflicts), False)
            else:
                conflicts.append(frozenset(conflict(rest, serves)))
                break
        else:
            return Drops(tuple(sorted(good)), _sorted(conflicts), True)
        if not tried:
            break
    return Drops(tuple(sorted(good)), _sorted(conflicts), False)


def _sorted(conflicts: Sequence[frozenset[str]]) -> tuple[tuple[str, ...], ...]:
    return tuple(sorted((tuple(sorted(c)) for c in conflicts), key=lambda c: (len(c), c)))
