"""The share check gives the engine's answers: the page's own modules, run in the browser on the data of the site."""

import itertools
import random

import pytest

from bogwright.judge.ask import judge_names
from bogwright.judge.bench import Bench
from bogwright.report.site.share_data import ShareData, frame_of
from bogwright.sharing.arena import Arenas
from bogwright.sharing.groups import Candidate, Regime
from bogwright.sharing.months import GROWTH, YearOption
from bogwright.sharing.windows import Box

ASK = """async ([root, groups]) => {
  const { load } = await import(root + "js/share/knowledge.js");
  const { judge } = await import(root + "js/share/judge.js");
  const knowledge = await load(root + "data/share.json");
  return groups.map((ids) => {
    const { verdict, level, regime, beds, points, findings, readings } = judge(knowledge, ids, false);
    return {
      verdict, level, regime: regime?.id ?? null, beds, points: points ?? [],
      findings: findings.map((f) => [f.rule, f.certain, [...f.plants].sort()]),
      readings: readings.map((r) => r.verdict),
    };
  });
}"""
SERVE = """async ([root, frame, boxes, regimes, groups]) => {
  const { Frame } = await import(root + "js/share/frame.js");
  const { Arenas, Yearbook } = await import(root + "js/share/arena.js");
  const known = new Frame(frame);
  const read = boxes.map((box) => known.read(box));
  const months = (places) => places.map((place) => (place === null ? null : read[place]));
  const books = regimes.map((r) => new Yearbook({ ...r, boxes: months(r.boxes) }, known, 1));
  return groups.map((plants) => {
    const candidates = plants.map(({ id, years }) => ({
      id,
      years: years.map(([effort, away, places]) => (
        { cost: [Math.min(away.length, 1), effort], absent: new Set(away), boxes: months(places) }
      )),
    }));
    const arenas = new Arenas(candidates, books);
    const { fit } = arenas.best(plants.map((p) => p.id));
    const pairs = plants.every((a, n) => plants.slice(n + 1).every((b) => arenas.serves([a.id, b.id])));
    return { fit: fit && { regime: fit.regime.id, cost: fit.cost }, pairs };
  });
}"""


@pytest.fixture(scope="module")
def bench():
    return Bench.open()


def engine(bench, ids):
    answer = judge_names(bench, ids)
    shown = answer.main
    return {
        "verdict": answer.verdict,
        "level": shown.level,
        "regime": shown.fit.regime.id if shown.fit else None,
        "beds": [list(bed.plants) for bed in shown.beds],
        "points": [window.set_point for window in shown.windows],
        "findings": [[f.rule, f.certain, sorted(f.plants)] for f in shown.findings],
        "readings": [reading.verdict for reading in answer.readings],
    }


def alike(made):
    return {
        **made,
        "findings": sorted(made["findings"], key=str),
        "points": [{axis: round(value, 2) + 0.0 for axis, value in (point or {}).items()} for point in made["points"]],
    }


def test_pairs_and_groups_are_answered_as_by_the_engine(visit, address, bench):
    """Every plant with a profile in a pair, the others in some; groups of everything that has a name: verdict, level,
    regime, water, set points, findings.
    """
    rng = random.Random(11)
    entries = ShareData(bench, lambda entry: "").entries
    plants = [entry.id for entry in entries]
    profiled = rng.sample(known := [entry.id for entry in entries if not entry.listed], len(known))
    half = (len(profiled) + 1) // 2
    groups = [[one, other] for one, other in zip(profiled[:half], profiled[-half:], strict=True)]
    groups += [rng.sample(plants, 2) for _ in range(max(30, 250 - half))]
    groups += [rng.sample(plants, rng.randint(3, 6)) for _ in range(250)]
    made = visit("share/").page.evaluate(ASK, [address, groups])
    verdicts = set()
    for ids, page in zip(groups, made, strict=True):
        told = engine(bench, ids)
        assert alike(page) == alike(told), ids
        verdicts.add(told["verdict"])
    assert verdicts == {"sound", "conditional", "unproven", "unsound"}


def test_made_up_groups_fail_and_fit_as_in_the_engine(visit, address, bench):
    """Invented plants by the hundred: what fits, under which regime, at what cost; many fail only as a group."""
    rng = random.Random(3)
    frame = bench.frame
    groups = [[_plant(rng, frame, f"p{n}") for n in range(rng.randint(3, 6))] for _ in range(1200)]
    regimes = [
        Regime("even", "even", 0, (_box(frame, temperature_night=(10, 29)),) * 12),
        Regime("cold", "cold", 3, tuple(_box(frame, temperature_day=(-2, 20 if m < 3 else 38)) for m in range(12))),
    ]
    boxes: dict[Box, int] = {}

    def place(box):
        return None if box is None else boxes.setdefault(box, len(boxes))

    sent = [
        [
            {
                "id": plant.id,
                "years": [
                    [year.effort, sorted(year.absent), [place(box) for box in months]]
                    for year, months in zip(plant.years, plant.boxes, strict=True)
                ],
            }
            for plant in group
        ]
        for group in groups
    ]
    shown = [{"id": r.id, "effort": r.effort, "boxes": [place(box) for box in r.boxes]} for r in regimes]
    tables = [[list(box.lows + box.highs), list(box.steps)] for box in boxes]
    made = visit("share/").page.evaluate(SERVE, [address, frame_of(frame), tables, shown, sent])
    only_together, fits = 0, 0
    for group, page in zip(groups, made, strict=True):
        arenas = Arenas(group, regimes, frame)
        fit = arenas.best([plant.id for plant in group]).fit
        assert page["fit"] == (fit and {"regime": fit.regime.id, "cost": list(fit.cost)})
        pairs = all(arenas.serves([a.id, b.id]) for a, b in itertools.combinations(group, 2))
        assert page["pairs"] == pairs
        only_together += pairs and fit is None
        fits += fit is not None
    assert only_together >= 100 and fits >= 100


def _box(frame, steps=(), **bounds):
    lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
    for axis, (low, high) in bounds.items():
        lows[frame.order.index(axis)], highs[frame.order.index(axis)] = float(low), float(high)
    return Box(tuple(lows), tuple(highs), steps)


def _plant(rng, frame, name):
    """One or two years; in each a bound on day, night or drop, and at times a falling day limit or months away."""
    years, months = [], []
    for n in range(rng.randint(1, 2)):
        kind = rng.choice(("temperature_day", "temperature_night", "night_drop"))
        least = {"temperature_day": 21, "temperature_night": 16, "night_drop": 9}[kind] + rng.randint(0, 4)
        bounds = {kind: (least, least + rng.randint(3, 5))}
        steps = (((18.0, 30.0), (22.0, 26.0)),) if rng.random() < 0.2 else ()
        away = frozenset(rng.sample(range(12), 2)) if rng.random() < 0.15 else frozenset()
        box = _box(frame, steps, **bounds)
        years.append(YearOption(f"way{n}", rng.randint(0, 3), (GROWTH,) * 12, away))
        months.append(tuple(None if m in away else box for m in range(12)))
    order = sorted(range(len(years)), key=lambda k: (years[k].lifts, years[k].effort, years[k].unusual, years[k].way))
    return Candidate(name, tuple(years[k] for k in order), tuple(months[k] for k in order))
