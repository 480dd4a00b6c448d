"""The joint search: a branch and bound over the plants' years, with pairs that can never be met pruned beforehand.

Pairs prune, groups decide. Two years of two plants that no setting of some month can meet are never tried together:
each plant's open years are a bit set, filtered by the years already chosen and made arc consistent before the search
(Mackworth 1977). What passes every pair is still checked as a group, month by month.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bogwright.sharing.groups import Candidate, Fit, Regime, Search
from bogwright.sharing.months import YearOption, trouble
from bogwright.sharing.windows import Box, Clash, Frame

NODE_LIMIT = 20_000
QUICK_NODES = 60
Months = tuple[Box, ...]
Years = Mapping[str, int]  # plant id → its open years as a bit set


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


class Arena:
    """Some plants under one regime. ``search`` answers for any of them together; pairs are tested once."""

    def __init__(self, plants: Sequence[Candidate], regime: Regime, frame: Frame, error: float = 1.0) -> None:
        self.regime = regime
        self._frame = frame
        self._error = error
        self._plants = {p.id: p for p in plants}
        self._open: dict[str, list[int]] = {}
        self._masks: dict[tuple[str, int, str], int] = {}
        self._pairs: dict[tuple[int, int, int], bool] = {}
        self._bits: dict[str, list[dict[int, tuple[Box | None, int]]]] = {}

    def search(self, ids: Sequence[str], first: bool = False) -> Search:
        """The easiest way to serve the plants named; with ``first``, any way."""
        domains = {i: (1 << len(self._options(i))) - 1 for i in ids}
        if not all(domains.values()):
            return Search()
        # most groups that can be served are served without going back: then nothing need be pruned beforehand
        found = self._branch(domains, first, QUICK_NODES)
        least = tuple(map(sum, zip(*(cost(self.year(i, 0)) for i in ids), strict=True)))
        if found.fit is None or not (first or found.fit.cost == (least[0], least[1] + self.regime.effort)):
            if not self._consistent(domains):
                return Search()
            found = self._branch(domains, first, NODE_LIMIT)
        if found.fit is not None and not first:
            found.fit = self._settled(ids, found.fit)
        return found

    def _branch(self, domains: Years, first: bool, limit: int) -> Search:
        found = Search()
        _Branching(self, found, first, limit).go(domains, {}, self.regime.boxes, (0, 0))
        return found

    def _options(self, plant: str) -> list[int]:
        """Open years worth trying, least trouble first.

        A year away as long and longer at the same cost replaces others.
        """
        if plant not in self._open:
            candidate = self._plants[plant]
            alone = open_options(candidate, self.regime, self._frame, self._error)
            alone.sort(key=lambda k: (cost(candidate.years[k]), k))
            self._open[plant] = [k for k in alone if not any(_covers(candidate, other, k) for other in alone)]
        return self._open[plant]

    @property
    def ids(self) -> list[str]:
        """The plants, in their order."""
        return list(self._plants)

    def serves(self, ids: Sequence[str]) -> bool:
        """Whether the plants named can be served together."""
        return not ids or self.search(ids, first=True).fit is not None

    def clashes(self, parts: Sequence[tuple[str, Box]]) -> list[Clash]:
        """Why parts cannot be met together at this arena's strictness."""
        return self._frame.clashes(parts, self._error)

    def easiest(self, plant: str) -> tuple[Box | None, ...] | None:
        """Boxes of the easiest year that the regime could serve alone, None where there is none."""
        return self.boxes(plant, 0) if self._options(plant) else None

    def all_boxes(self, plant: str) -> Sequence[tuple[Box | None, ...]]:
        """Boxes of every year of a plant."""
        return self._plants[plant].boxes

    def boxes(self, plant: str, option: int) -> tuple[Box | None, ...]:
        """Twelve boxes of one of a plant's options."""
        return self._plants[plant].boxes[self._options(plant)[option]]

    def year(self, plant: str, option: int) -> YearOption:
        """The year of one of a plant's options."""
        return self._plants[plant].years[self._options(plant)[option]]

    def partners(self, plant: str, option: int, other: str) -> int:
        """Years of ``other`` that some setting of every month meets together with one option of ``plant``."""
        key = (plant, option, other)
        if key not in self._masks:
            mask = -1
            for month, box in enumerate(self.boxes(plant, option)):
                if box is None:
                    continue
                met = 0
                for partner, bits in self._by_box(other)[month].values():
                    if partner is None or self._met(month, box, partner):
                        met |= bits
                mask &= met
                if not mask:
                    break
            self._masks[key] = mask
        return self._masks[key]

    def _by_box(self, plant: str) -> list[dict[int, tuple[Box | None, int]]]:
        """For each month the boxes a plant's options have, with the options that have them."""
        if plant not in self._bits:
            months: list[dict[int, tuple[Box | None, int]]] = [{} for _ in range(12)]
            for option in range(len(self._options(plant))):
                for month, box in enumerate(self.boxes(plant, option)):
                    _, bits = months[month].get(id(box), (box, 0))
                    months[month][id(box)] = (box, bits | 1 << option)
            self._bits[plant] = months
        return self._bits[plant]

    def _met(self, month: int, one: Box, other: Box) -> bool:
        key = (month, id(one), id(other))
        if key not in self._pairs:
            self._pairs[key] = self.meets(self.regime.boxes[month] & one & other)
        return self._pairs[key]

    def meets(self, box: Box) -> bool:
        """Whether one setting meets a box at this arena's strictness."""
        return self._frame.feasible(box, self._error)

    def _consistent(self, domains: dict[str, int]) -> bool:
        """Remove years without a partner in some other plant until none is left to remove.

        False when a plant runs out.
        """
        changed = True
        while changed:
            changed = False
            for plant, open_years in domains.items():
                for option in _ones(open_years):
                    if any(not self.partners(plant, option, j) & domains[j] for j in domains if j != plant):
                        domains[plant] &= ~(1 << option)
                        changed = True
                if not domains[plant]:
                    return False
        return True

    def _settled(self, ids: Sequence[str], fit: Fit) -> Fit:
        """The same cost with each plant's year as usual as the others allow, in the order of the ids' names."""
        years = dict(zip(sorted(ids), fit.years, strict=True))
        for plant in sorted(ids):
            others = self._joined({i: y for i, y in years.items() if i != plant})
            candidate = self._plants[plant]
            for year, boxes in sorted(zip(candidate.years, candidate.boxes, strict=True), key=lambda p: trouble(p[0])):
                if cost(year) > cost(years[plant]):
                    continue
                if all(b is None or self.meets(o & b) for o, b in zip(others, boxes, strict=True)):
                    years[plant] = year
                    break
        return Fit(fit.regime, tuple(years[i] for i in ids), self._joined(years), fit.cost)

    def _joined(self, years: Mapping[str, YearOption]) -> Months:
        months = list(self.regime.boxes)
        for plant, year in years.items():
            candidate = self._plants[plant]
            for month, box in enumerate(candidate.boxes[candidate.years.index(year)]):
                months[month] = months[month] if box is None else months[month] & box
        return tuple(months)


class _Branching:
    """One depth-first branch and bound."""

    def __init__(self, arena: Arena, result: Search, first: bool, limit: int) -> None:
        self.arena = arena
        self.result = result
        self.first = first
        self.limit = limit
        self.best: tuple[int, int] | None = None
        self.failed: set[tuple[tuple[str, ...], Months]] = set()

    def go(self, open_years: Years, chosen: Mapping[str, int], months: Months, spent: tuple[int, int]) -> bool:
        """Place the plant with the fewest open years; True if that led to a fit or was cut off by a better one."""
        self.result.nodes += 1
        if self.result.nodes > self.limit:
            self.result.exhausted = False
            return False
        if not open_years:
            self._keep(chosen, months, spent)
            return True
        state = (tuple(sorted(open_years)), months)
        if state in self.failed:
            return False
        plant = min(open_years, key=lambda i: (open_years[i].bit_count(), i))
        left = {i: bits for i, bits in open_years.items() if i != plant}
        met = False
        for option in _ones(open_years[plant]):
            if self.best is not None and (self.first or self._least(plant, option, left, spent) >= self.best):
                met = True  # not refuted, only not better: must not be remembered as failed
                break
            joined = self._join(months, plant, option)
            if joined is None:
                continue
            narrowed = {i: bits & self.arena.partners(plant, option, i) for i, bits in left.items()}
            if all(narrowed.values()):
                more = cost(self.arena.year(plant, option))
                onward = (spent[0] + more[0], spent[1] + more[1])
                met = self.go(narrowed, {**chosen, plant: option}, joined, onward) or met
        if not met and self.result.exhausted:
            self.failed.add(state)
        return met

    def _join(self, months: Months, plant: str, option: int) -> Months | None:
        joined = []
        for whole, box in zip(months, self.arena.boxes(plant, option), strict=True):
            both = whole if box is None else whole & box
            if both is not whole and not self.arena.meets(both):
                return None
            joined.append(both)
        return tuple(joined)

    def _least(self, plant: str, option: int, left: Years, spent: tuple[int, int]) -> tuple[int, int]:
        """The least that a branch can cost: options stand in order of cost, so the lowest bit is the cheapest."""
        costs = [cost(self.arena.year(plant, option))]
        costs += [cost(self.arena.year(i, (bits & -bits).bit_length() - 1)) for i, bits in left.items()]
        return (spent[0] + sum(c[0] for c in costs), spent[1] + sum(c[1] for c in costs))

    def _keep(self, chosen: Mapping[str, int], months: Months, spent: tuple[int, int]) -> None:
        self.best = spent
        years = tuple(self.arena.year(i, chosen[i]) for i in sorted(chosen))
        self.result.fit = Fit(self.arena.regime, years, months, (spent[0], spent[1] + self.arena.regime.effort))


class Arenas:
    """Some plants under every regime: the best fit of any of them together, and whether it can be had at all."""

    def __init__(
        self, plants: Sequence[Candidate], regimes: Sequence[Regime], frame: Frame, error: float = 1.0
    ) -> None:
        self.each = [Arena(plants, regime, frame, error) for regime in regimes]
        self._served: dict[frozenset[str], bool] = {}

    def best(self, ids: Sequence[str]) -> Search:
        """The easiest regime and years: fewest lift-outs, least effort, then the order of the regimes.

        Lift-outs go first, since they are conditions of the verdict: a plant less must never make it worse.
        """
        best = Search()
        for arena in self.each:
            if best.fit is not None and (0, arena.regime.effort) > best.fit.cost:
                continue
            found = arena.search(ids)
            best.exhausted &= found.exhausted
            if found.fit is not None and (best.fit is None or found.fit.cost < best.fit.cost):
                best.fit = found.fit
        return best

    def serves(self, ids: Sequence[str]) -> bool:
        """Whether some regime can serve the plants; remembered."""
        key = frozenset(ids)
        if key not in self._served:
            self._served[key] = not ids or any(a.serves(ids) for a in self.each)
        return self._served[key]


def search(plants: Sequence[Candidate], regime: Regime, frame: Frame, error: float = 1.0) -> Search:
    """The easiest way to serve all ``plants`` in one regime."""
    return Arena(plants, regime, frame, error).search([p.id for p in plants])


def best_fit(plants: Sequence[Candidate], regimes: Sequence[Regime], frame: Frame, error: float = 1.0) -> Search:
    """The easiest regime and years for all ``plants``."""
    return Arenas(plants, regimes, frame, error).best([p.id for p in plants])


def cost(year: YearOption) -> tuple[int, int]:
    """(lift-outs, effort) of a year."""
    return (year.lifts, year.effort)


def _covers(candidate: Candidate, other: int, k: int) -> bool:
    """Whether year ``other`` asks no more than ``k`` in any month at the same cost, being away where they differ."""
    one, two = candidate.years[other], candidate.years[k]
    if not one.absent > two.absent or cost(one) != cost(two):
        return False
    return all(a is None or a is b for a, b in zip(candidate.boxes[other], candidate.boxes[k], strict=True))


def _ones(bits: int) -> Sequence[int]:
    """Positions of the bits that are set, lowest first."""
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found
