"""Changes of the build, one after another, until the plan is sound or nothing more helps; each was judged again."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

from bogwright.enclosure.predict import foreseen, predictable
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import Enclosure, judge_plan
from bogwright.judge.findings import VERDICTS, Finding, weight
from bogwright.judge.settings import Change, changes_for, treatable
from bogwright.knowledge.profiles import Profile
from bogwright.rules import Rule, meaning

MOST_STEPS = 6
MOST_TRIED = 4  # changes judged for one finding

Burden = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Improvement:
    """The changes in order, each with the verdict after it; ``data`` is the plan with all of them made."""

    steps: tuple[tuple[str, str], ...]
    verdict: str
    data: Mapping[str, Any]


def improve(bench: Bench, shown: Enclosure, data: Mapping[str, Any]) -> Improvement | None:
    """Settings that lighten what the model foresees, greatest trouble first; None where none helps.

    Only settings are turned: which plants stay and how they are potted is left as it is.
    """
    if not predictable(shown.plan) or shown.verdict == "sound":
        return None
    profiles = {p.id: p.needs.profile for p in shown.plants}
    rules = {r.id: r for r in bench.rules}
    now, made = shown, copy.deepcopy(dict(data))
    steps: list[tuple[Change, str]] = []
    hopeless: set[tuple[str, tuple[str, ...]]] = set()
    while len(steps) < MOST_STEPS:
        open_ones = [f for f in now.findings if treatable(f, rules) and (f.rule, f.plants) not in hopeless]
        if not open_ones:
            break
        finding = max(open_ones, key=lambda f: VERDICTS.index(weight(f)))
        better = _better(bench, finding, now, made, profiles, rules)
        if better is None:
            hopeless.add((finding.rule, finding.plants))
            continue
        change, made, now = better
        # what is set anew need not be set before
        steps = [one for one in steps if not change.knob.sets or one[0].knob.sets != change.knob.sets]
        steps.append((change, now.verdict))
    return Improvement(tuple((one.words, verdict) for one, verdict in steps), now.verdict, made) if steps else None


def _better(
    bench: Bench,
    finding: Finding,
    now: Enclosure,
    data: dict[str, Any],
    profiles: Mapping[str, Profile],
    rules: Mapping[str, Rule],
) -> tuple[Change, dict[str, Any], Enclosure] | None:
    """The least troublesome change that ends a finding and lightens the whole."""
    for change in islice(changes_for(finding, now.rows, rules, data, bench.tables), MOST_TRIED):
        changed = copy.deepcopy(data)
        change.apply(changed)
        then = judge_plan(bench, foreseen(changed, bench.tables), profiles, meaning.judge)
        ended = not any(f.rule == finding.rule and f.plants == finding.plants for f in then.findings)
        if ended and burden(then) < burden(now):
            return change, changed, then
    return None


def burden(shown: Enclosure) -> Burden:
    """How bad it is: the verdict, then the number of findings that weigh at all."""
    weights = [VERDICTS.index(weight(f)) for f in shown.findings]
    return max(weights, default=0), sum(weights)
