"""Which of a plant's years an enclosure with given conditions can give it best."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bogwright.enclosure.conditions import MonthConditions
from bogwright.enclosure.moisture import MOISTURE, levels
from bogwright.facts.rows import over, under
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval
from bogwright.sharing.demands import Demand
from bogwright.sharing.months import GROWTH, YearOption, trouble
from bogwright.sharing.needs import Needs

# how much a month beyond what the plant tolerates counts against a year; only their order matters
WEIGHT = {"death": 1000.0, "decline": 100.0, "slow": 10.0, "cosmetic": 1.0}
POSSIBLE = 0.05  # of a violation that is only possible
LIFTED_UNKNOWN = 5.0  # nobody said that the plant can leave
# axes that tell whether a month suits a phase; light is left out, since a plant in want of it is not helped by absence
COMPARED = ("temperature_day", "temperature_night", "photoperiod")
TEMPERATURES = ("temperature_day", "temperature_night")


@dataclass(frozen=True, slots=True)
class ChosenYear:
    """The year chosen and what becomes of the rest: ``given`` is a word of plant.year's ``rest_given``."""

    year: YearOption
    given: str
    too_warm: Interval
    rest_months: tuple[int, ...]


def choose(needs: Needs, months: Sequence[MonthConditions], wet: Sequence[str], lift: str, potted: str) -> ChosenYear:
    """The year the conditions violate least. ``lift``: possible, impossible or ``?``; ``wet``: moisture by month."""
    open_years = [y for y in needs.years if not (y.absent and lift == "impossible") and not _buried(needs, y, potted)]
    open_years = open_years or list(needs.years)
    # a rest that the plant must have is met first: no hot month is worth a year without it
    open_years = [y for y in open_years if not _rest_missed(needs, y, months)] or open_years
    penalty = _penalties(needs, months, wet)

    def cost(year: YearOption) -> float:
        away = LIFTED_UNKNOWN if year.absent and lift != "possible" else 0.0
        return away + sum(penalty(phase, m) for m, phase in enumerate(year.phases) if m not in year.absent)

    costs = {y: cost(y) for y in open_years}
    easiest = [y for y in open_years if costs[y] <= min(costs.values()) + 1e-9]
    # among years that violate alike, the rest that is surest to be cold enough
    best = min(easiest, key=lambda y: (max(0.0, _excess(needs, y, months)[1]) if _rests_here(y) else 0.0, trouble(y)))
    resting = [y for y in needs.years if y.resting]
    restless = [y for y in needs.years if not y.resting and not y.skipped]
    warm = min(
        (_excess(needs, y, months) for y in resting if not y.absent),
        default=UNBOUNDED,
        key=lambda span: (span[1], span[0]),
    )
    if best.skipped:
        return ChosenYear(best, "skipped", warm, best.resting)
    if not best.resting:
        return ChosenYear(best, "not-needed" if restless else "missed", warm, best.resting)
    if best.absent:
        return ChosenYear(best, "lifted-out" if lift != "impossible" else "missed", warm, tuple(sorted(best.absent)))
    excess = _excess(needs, best, months)
    if excess == UNBOUNDED:
        # a dry rest is made by its water, and the months of water tell whether it is dry
        given = "not-needed" if restless else "in-place" if _all_dry(needs, best) else "?"
    elif excess[0] > 0:
        given = "missed"
    elif excess[1] <= 0:
        given = "in-place"
    else:
        # what nobody stated is asked for; what is stated and reaches across the limit is in doubt
        given = "in-doubt" if excess[1] < LIMIT else "?"
    return ChosenYear(best, given, excess, best.resting)


def _all_dry(needs: Needs, year: YearOption) -> bool:
    return {needs.rest(year.phases[m]).kind for m in year.resting} <= {"dry", "seed"}


def _rests_here(year: YearOption) -> bool:
    return bool(year.rests_in_place)


def _rest_missed(needs: Needs, year: YearOption, months: Sequence[MonthConditions]) -> bool:
    """Whether an obligatory rest of the year falls where it is certainly too warm for it."""
    needed = any(needs.rest(phase).need == "obligatory" for phase in year.rests_in_place)
    excess = _excess(needs, year, months)
    return needed and excess != UNBOUNDED and excess[0] > 0


def _excess(needs: Needs, year: YearOption, months: Sequence[MonthConditions]) -> Interval:
    """How far the warmest of the rest's months lies above what the rest tolerates, over day and night. [K]"""
    spans = []
    for m, phase in enumerate(year.phases):
        if phase == GROWTH or m in year.absent:
            continue
        for axis in TEMPERATURES:
            demand = needs.demands[phase].get(axis)
            if demand is None or demand.high is None:
                continue
            spans.append(over(getattr(months[m], axis), demand.high))
    if not spans:
        return UNBOUNDED
    return (max(s[0] for s in spans), max(s[1] for s in spans))


def _buried(needs: Needs, year: YearOption, potted: str) -> bool:
    """Whether a year is one of a plant in the ground, and this one is potted."""
    way = needs.profile.ways.get(year.way)
    return potted == "yes" and way is not None and way.in_ground


def _penalties(needs: Needs, months: Sequence[MonthConditions], wet: Sequence[str]) -> Callable[[str, int], float]:
    """How much a phase in a month counts against a year; remembered, since years repeat their phases."""
    known: dict[tuple[str, int], float] = {}

    def penalty(phase: str, m: int) -> float:
        if (phase, m) not in known:
            known[phase, m] = _month_penalty(needs, phase, months[m], wet[m])
        return known[phase, m]

    return penalty


def _month_penalty(needs: Needs, phase: str, given: MonthConditions, wet: str) -> float:
    total = 0.0
    for axis in COMPARED:
        demand = needs.demands[phase].get(axis)
        if demand is not None:
            total += _beyond(getattr(given, axis), demand)
    day, night = needs.demands[phase].get("temperature_day"), needs.demands[phase].get("temperature_night")
    if night is not None and under(given.lowest, night.survives_low)[0] > 0:
        total += WEIGHT["death"]
    if day is not None and over(given.peak, day.survives_high)[0] > 0:
        total += WEIGHT["death"]
    stood = needs.moisture[phase]
    if not stood or wet == "?":
        return total
    driest, wettest = levels(wet)
    suits = [w in stood for w in MOISTURE[driest : wettest + 1]]
    return total + (0.0 if all(suits) else WEIGHT["decline"] * (POSSIBLE if any(suits) else 1.0))


def _beyond(given: Interval, demand: Demand) -> float:
    total = 0.0
    for span, word in ((over(given, demand.high), demand.outside_high), (under(given, demand.low), demand.outside_low)):
        if span[0] > 0:
            total += WEIGHT[word] * (1 + min(span[0], 20.0) / 20)
        elif 0 < span[1] < LIMIT:
            total += WEIGHT[word] * POSSIBLE
    return total
