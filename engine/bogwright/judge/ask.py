"""Questions as a grower puts them: plain names, or a plan; forms and disputed readings are judged apart."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod
from typing import TYPE_CHECKING, Any

from bogwright.enclosure.plan import Plan
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure, judge_plan
from bogwright.judge.findings import VERDICTS, worst
from bogwright.judge.repairs import Repair, name_repairs, plan_repairs
from bogwright.judge.share import Shared, share
from bogwright.knowledge.claims import BandClaim, ValueClaim
from bogwright.knowledge.names import NameProblem
from bogwright.knowledge.profiles import Profile
from bogwright.rules import judge as fire
from bogwright.rules import meaning
from bogwright.sharing.needs import Needs

if TYPE_CHECKING:
    from bogwright.judge.improve import Improvement
    from bogwright.judge.sensitivity import Decider

MOST_READINGS = 8
# fields besides the axes on which a verdict can hang
DECISIVE = (
    "air.day_limit_by_night",
    "air.air_movement",
    "water.moisture",
    "medium.root_temperature",
    "medium.air_filled_porosity",
    "medium.live_sphagnum",
    "medium.lime",
)


class AskError(Exception):
    """A question that cannot be judged; ``problems`` holds one sentence each, with its hint."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = list(problems)
        super().__init__("\n".join(self.problems))


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read what is open: which form a bare name means, which side of a dispute holds; and its verdict."""

    label: str
    verdict: str


@dataclass(slots=True)
class Answer:
    """The verdict with everything the faces need. ``main`` is the reading that is shown in full, the hardest one."""

    verdict: str
    horizon: str
    main: Shared | Enclosure
    readings: Sequence[Reading] = ()
    repairs: Sequence[Repair] = ()
    improvement: Improvement | None = None
    deciders: Sequence[Decider] = ()
    bench: Bench | None = field(default=None, repr=False)


def resolve(bench: Bench, name: str) -> tuple[str, ...]:
    """Ids a name stands for: one, or every form where forms differ. Raises AskError with what would help."""
    found = bench.base.find(name)
    if isinstance(found, NameProblem):
        raise AskError([str(found)])
    return found.forms


def resolve_all(bench: Bench, names: Sequence[str]) -> list[tuple[str, ...]]:
    """All names, or every problem at once; the same taxon twice is a problem."""
    problems: list[str] = []
    found: list[tuple[str, ...]] = []
    seen: dict[tuple[str, ...], str] = {}
    for name in names:
        try:
            forms = resolve(bench, name)
        except AskError as error:
            problems += error.problems
            continue
        if forms in seen:
            problems.append(f"{name!r} is the same plant as {seen[forms]!r} — name each plant once")
        seen[forms] = name
        found.append(forms)
    if problems:
        raise AskError(problems)
    return found


def ask_names(
    bench: Bench, names: Sequence[str], horizon: str = "indefinitely", stage: str = "adult", midwinter: int = 12
) -> Answer:
    """Can these plants share any enclosure? ``midwinter``: calendar month of the shortest day, for the words."""
    answer = judge_names(bench, names, horizon, stage, midwinter)
    if answer.verdict in ("unsound", "unproven") and isinstance(answer.main, Shared):
        answer.repairs = name_repairs(bench, answer.main, horizon)
    return answer


def judge_names(
    bench: Bench, names: Sequence[str], horizon: str = "indefinitely", stage: str = "adult", midwinter: int = 12
) -> Answer:
    """The same without repairs, which cost as much as the judgement."""
    if not names:
        raise AskError(["no plant is named — name one or more plants, or give a plan file"])
    forms = resolve_all(bench, names)
    choices = choices_of(bench, forms, names)
    answers: list[tuple[str, Shared]] = []

    def needs(picked: Sequence[str], readings: Mapping[str, Mapping[str, int]]) -> list[Needs]:
        return [
            bench.needs(
                _read(bench.base.profile(i), readings.get(i)),
                id=i,
                name=bench.base.entries[i].name,
                stage=stage,
                horizon=horizon,
            )
            for i in picked
        ]

    for label, picked in choices:
        answers += _with_readings(
            bench,
            label,
            {i: bench.base.profile(i) for i in picked},
            {i: bench.base.entries[i].name for i in picked},
            lambda readings, engine, picked=picked: share(
                bench, needs(picked, readings), horizon, engine, midwinter=midwinter
            ),
        )
    verdict = worst([shown.verdict for _, shown in answers])
    main = _hardest(answers)
    readings = [Reading(label, shown.verdict) for label, shown in answers] if len(answers) > 1 else []
    return Answer(verdict, horizon, main, readings, bench=bench)


def ask_plan(bench: Bench, plan: Plan, data: Mapping[str, Any], say: Callable[[int, str], None]) -> Answer:
    """Will this enclosure serve these plants? ``say(n, message)`` hears of the n-th plant's name; then AskError."""
    # what foretells an enclosure costs start-up time that plain names need not pay
    from bogwright.enclosure.predict import foreseen
    from bogwright.judge.improve import improve
    from bogwright.judge.sensitivity import deciders

    forms, problems = [], []
    for n, entry in enumerate(plan.plants):
        try:
            forms.append(resolve(bench, entry.taxon))
        except AskError as error:
            say(n, error.problems[0])
            problems += error.problems
    if problems:
        raise AskError(problems)
    ids = [p.id for p in plan.plants]
    plan = foreseen(data, bench.tables)
    answers: list[tuple[str, Enclosure]] = []
    for label, picked in choices_of(bench, forms, [p.taxon for p in plan.plants]):
        profiles = {i: bench.base.profile(taxon) for i, taxon in zip(ids, picked, strict=True)}

        def run(
            readings: Mapping[str, Mapping[str, int]], engine: Any, profiles: Mapping[str, Profile] = profiles
        ) -> Enclosure:
            return judge_plan(bench, plan, {i: _read(p, readings.get(i)) for i, p in profiles.items()}, engine)

        answers += _with_readings(bench, label, profiles, {i: p.name for i, p in profiles.items()}, run)
    verdict = worst([shown.verdict for _, shown in answers])
    main = _hardest(answers)
    repairs = plan_repairs(bench, main, data) if verdict in ("unsound", "unproven") else ()
    readings = [Reading(label, shown.verdict) for label, shown in answers] if len(answers) > 1 else []
    better = improve(bench, main, data) if verdict != "sound" else None
    uncertain = deciders(bench, main, data) if verdict != "sound" else ()
    return Answer(verdict, plan.horizon, main, readings, repairs, better, uncertain, bench)


def _read(profile: Profile, picked: Mapping[str, int] | None) -> Profile:
    return profile.with_readings(picked) if picked else profile


def choices_of(
    bench: Bench, forms: Sequence[tuple[str, ...]], names: Sequence[str]
) -> list[tuple[str, tuple[str, ...]]]:
    """Every combination of forms with its label; too many are an error that lists the candidates."""
    if prod(map(len, forms)) > MOST_READINGS:
        problems = []
        for name, one in zip(names, forms, strict=True):
            if len(one) > 1:
                shown = ", ".join(bench.base.entries[i].name for i in one)
                problems.append(f"{name!r} may mean {len(one)} plants that differ — name one of: {shown}")
        raise AskError(problems)
    open_names = [n for n, one in enumerate(forms) if len(one) > 1]
    return [
        (" and ".join(f"{names[n]} as {bench.base.entries[picked[n]].name}" for n in open_names), picked)
        for picked in product(*forms)
    ]


def _with_readings(
    bench: Bench, label: str, profiles: Mapping[str, Profile], names: Mapping[str, str], run: Any
) -> list[tuple[str, Any]]:
    """One judgement with every dispute spread as wide as its readings.

    Apart by readings only where the spread decides.
    """
    whole = run({}, fire)
    # what is certain under the spread is certain under every reading: only what stays open can hang on one
    open_ones = [f for f in whole.findings if (not f.certain or f.holds_back) and not f.disputed]
    open_ones = [f for f in open_ones if f.holds_back] or open_ones  # what holds the verdict back goes first
    unsettled = {p for f in open_ones for p in f.plants}
    everybody = any(not f.plants for f in open_ones)
    disputes = [
        (i, field, count)
        for i, profile in profiles.items()
        if everybody or i in unsettled
        for field, count in disputed(bench, profile).items()
    ]
    if not disputes or prod(count for _, _, count in disputes) > MOST_READINGS:
        return [(label, whole)]
    shown = {}
    for pick in product(*(range(count) for _, _, count in disputes)):
        readings: dict[str, dict[str, int]] = {}
        for (i, path, _), n in zip(disputes, pick, strict=True):
            readings.setdefault(i, {})[path] = n
        shown[pick] = run(readings, meaning.judge)
    deciding = [d for d in range(len(disputes)) if _decides(d, {pick: one.verdict for pick, one in shown.items()})]
    if not deciding:
        return [(label, whole)]
    found = []
    for pick, one in shown.items():
        if any(n for d, n in enumerate(pick) if d not in deciding):
            continue  # differs from another only in what decides nothing
        words = []
        for d in deciding:
            i, path, _ = disputes[d]
            claim = profiles[i].claim(path)
            assert isinstance(claim, BandClaim | ValueClaim)
            words.append(f"{names[i]}, {claim.field.title.lower()}: {claim.readings[pick[d]].title}")
        found.append(("; ".join(filter(None, [label, *words])), one))
    return found


def _decides(d: int, verdicts: Mapping[tuple[int, ...], str]) -> bool:
    """Whether the d-th dispute changes the verdict under some reading of the others."""
    others: dict[tuple[int, ...], set[str]] = {}
    for pick, verdict in verdicts.items():
        others.setdefault(pick[:d] + pick[d + 1 :], set()).add(verdict)
    return any(len(found) > 1 for found in others.values())


def disputed(bench: Bench, profile: Profile) -> dict[str, int]:
    """Disputed fields that a verdict can hang on, with their number of readings."""
    paths = [a.claim for a in bench.axes.by_id.values() if a.coupling is None or a.coupling.kind != "falling-steps"]
    rests = [rest for way in profile.ways.values() for rest in way.rests.values()]
    paths += [f"{rest.path}.{field}" for rest in rests for field in ("need", "water.moisture", *paths)]
    found = {}
    for path in [*paths, *DECISIVE]:
        claim = profile.claim(path)
        if isinstance(claim, BandClaim | ValueClaim) and claim.readings:
            found[path] = len(claim.readings)
    return found


def _hardest(answers: Sequence[tuple[str, Any]]) -> Any:
    return max((shown for _, shown in answers), key=lambda shown: VERDICTS.index(shown.verdict))
