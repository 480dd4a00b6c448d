"""Run the examples that stand beside each rule.

In an example a field that is not named is unknown, and of the tags that the rule reads those named hold (all, if the
example says nothing of tags). "fires" must be certain, "near-miss" not even possible; so a near miss has to name every
field of at least one test that fails.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from bogwright.rules.fields import UNKNOWN, Fields, Kind, Problem
from bogwright.rules.meaning import UNBOUNDED, holds, meets
from bogwright.rules.model import Condition, Example, Leaf, Rule
from bogwright.rules.says import interval

STOCK_KEY = "example"


def run_examples(rules: Iterable[Rule], fields: Fields) -> list[Problem]:
    """Problems of all examples that do not do what they say."""
    problems = []
    for rule in rules:
        kind = fields.kinds[rule.kind]
        for example in rule.fires:
            reason = why_not_certain(rule, example, kind)
            if reason:
                message = f"example '{example.name}' of '{rule.id}' does not fire: {reason}"
                hint = "name or change that value, or mend the rule"
                problems.append(rule.problem(example.path[len(rule.path) :], message, hint, "example-does-not-fire"))
        for example in rule.near_misses:
            reason = why_possible(rule, example, kind)
            if reason:
                message = f"near miss '{example.name}' of '{rule.id}' {reason}"
                hint = "name every field of at least one test that fails"
                problems.append(rule.problem(example.path[len(rule.path) :], message, hint, "near-miss-fires"))
    return problems


def row_of(example: Example, kind: Kind) -> dict[str, Any]:
    """The row an example stands for."""
    stock = {"number": UNBOUNDED, "key": STOCK_KEY, "word": UNKNOWN, "free-word": UNKNOWN}
    row: dict[str, Any] = {name: stock[field.sort] for name, field in kind.fields.items()}
    return {**row, **example.values, "id": example.name, "kind": kind.name}


def why_not_certain(rule: Rule, example: Example, kind: Kind) -> str:
    """What keeps the rule from firing certainly, or ''."""
    lacking = _lacking_tags(rule, example)
    if lacking:
        return f"the tag '{lacking[0]}' does not hold"
    row = row_of(example, kind)
    return next((_account(one, row) for one in rule.when if not meets((one,), row, False)), "")


def why_possible(rule: Rule, example: Example, kind: Kind) -> str:
    """Why the rule is not excluded, or ''."""
    row = row_of(example, kind)
    if _lacking_tags(rule, example) or not meets(rule.when, row, True):
        return ""
    return "fires" if meets(rule.when, row, False) else "may still fire, for all it names"


def _lacking_tags(rule: Rule, example: Example) -> list[str]:
    return [] if example.tags is None else [need.tag for need in rule.tags if need.tag not in example.tags]


def _account(condition: Condition, row: dict[str, Any]) -> str:
    leaves: Sequence[Leaf] = (condition,) if isinstance(condition, Leaf) else sum(condition.alternatives, ())
    failing = next(leaf for leaf in leaves if not holds(leaf, row[leaf.field], False))
    value = row[failing.field]
    shown = value if isinstance(value, str) else interval(*value)
    shown = "unknown" if shown == UNKNOWN else shown
    return f"'{condition}' does not hold with certainty ({failing.field} is {shown})"
