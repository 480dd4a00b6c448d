"""Checks over all rules together: ids, tags, duals, and aggregates that must stay monotone.

Cycles of tags are allowed: the fixpoint ends anyway, since it only ever adds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from bogwright.rules.fields import Problem, closest
from bogwright.rules.model import Leaf, Rule

_OPPOSITE = {
    "below": "at-least",
    "at-least": "below",
    "above": "at-most",
    "at-most": "above",
    "one-of": "none-of",
    "none-of": "one-of",
}
_DOWNWARD = ("below", "at-most")
_UPWARD = ("above", "at-least")
_AGGREGATES = {"min_": _DOWNWARD, "max_": _UPWARD, "sum_": _UPWARD, "count_": _UPWARD}


def check(rules: Sequence[Rule]) -> list[Problem]:
    """All problems across the rules of all files, in the order of the checks below."""
    checks: list[Callable[[Sequence[Rule]], Iterable[Problem]]] = [check_ids, check_tags, check_duals, check_aggregates]
    return [problem for one in checks for problem in one(rules)]


def check_ids(rules: Sequence[Rule]) -> list[Problem]:
    """Two rules with one id, also in different files."""
    problems: list[Problem] = []
    first: dict[str, Rule] = {}
    for rule in rules:
        if rule.id in first:
            where = first[rule.id].place((*first[rule.id].path, "id"))
            message = f"a second rule with the id '{rule.id}'"
            problems.append(rule.problem(("id",), message, f"the first is at {where or 'another place'}", "same-id"))
        first.setdefault(rule.id, rule)
    return problems


def check_tags(rules: Sequence[Rule]) -> list[Problem]:
    """Tags read but never concluded (an error: the rule can never fire), or concluded but never read (a warning)."""
    made = {rule.conclude.tag for rule in rules if rule.conclude}
    read = {need.tag for rule in rules for need in rule.tags}
    problems = []
    for rule in rules:
        for index, need in enumerate(rule.tags):
            if need.tag not in made:
                hint = closest(need.tag, made) or "write the rule that concludes it"
                message = f"no rule concludes the tag '{need.tag}'"
                problems.append(rule.problem(("tags", index, "tag"), message, hint, "tag-not-concluded"))
        if rule.conclude and rule.conclude.tag not in read:
            hint = closest(rule.conclude.tag, read) or "remove the rule, or write the one that reads it"
            message = f"no rule reads the tag '{rule.conclude.tag}'"
            problems.append(rule.problem(("conclude", "tag"), message, hint, "tag-not-read", "warning"))
    return problems


def check_duals(rules: Sequence[Rule]) -> list[Problem]:
    """A rule that says `dual-of` must test the exact complement of the other. Only single tests can be compared."""
    by_id = {rule.id: rule for rule in rules}
    problems = []
    for rule in rules:
        if not rule.dual_of:
            continue
        other = by_id.get(rule.dual_of)
        if other is None:
            hint = closest(rule.dual_of, by_id) or "name the rule it complements"
            problems.append(rule.problem(("dual-of",), f"no rule '{rule.dual_of}'", hint, "unknown-dual"))
            continue
        mine, theirs = _single_test(rule), _single_test(other)
        if mine is None or theirs is None:
            hint = "conclude a tag from one test, and its dual from the opposite test"
            message = f"'{rule.id}' and '{other.id}' are not single tests, so their duality cannot be checked"
            problems.append(rule.problem(("dual-of",), message, hint, "dual-not-single"))
        elif rule.kind != other.kind or _without_order(mine) != _without_order(complement(theirs)):
            message = f"'{rule.id}' is not the complement of '{other.id}' ({theirs})"
            hint = f"for {other.kind}, test: {complement(theirs)}"
            problems.append(rule.problem(("when",), message, hint, "dual-not-exact"))
    return problems


def complement(leaf: Leaf) -> Leaf:
    """The test that holds of a known value exactly where leaf does not."""
    return Leaf(leaf.field, _OPPOSITE[leaf.op], leaf.bound, leaf.words)


def _single_test(rule: Rule) -> Leaf | None:
    only = rule.when[0] if len(rule.when) == 1 and not rule.tags else None
    return only if isinstance(only, Leaf) else None


def _without_order(leaf: Leaf) -> Leaf:
    return Leaf(leaf.field, leaf.op, leaf.bound, tuple(sorted(leaf.words)))


def check_aggregates(rules: Sequence[Rule]) -> list[Problem]:
    """Aggregates over a case may block only in the direction in which leaving plants out cannot hurt.

    Then every subset of a sound group is sound. Rules that lead to a blocker through tags are held to it as well.
    """
    problems = []
    for rule in _leading_to_blockers(rules):
        if not rule.kind.startswith("case."):
            continue
        for path, leaf in rule.leaf_paths:
            allowed = next((ops for prefix, ops in _AGGREGATES.items() if leaf.field.startswith(prefix)), None)
            if allowed and leaf.op not in allowed:
                message = f"a blocker may not rest on '{leaf}': dropping a plant could then make a sound case unsound"
                hint = f"test {leaf.field} with {' or '.join(allowed)}, or lower the severity"
                problems.append(rule.problem(path[len(rule.path) :], message, hint, "aggregate-not-monotone"))
    return problems


def _leading_to_blockers(rules: Sequence[Rule]) -> list[Rule]:
    """Rules that can block, and rules whose conclusions such rules need, through any chain."""
    found = [rule for rule in rules if rule.finding and rule.finding.worst == "blocker"]
    needed: set[str] = set()
    while True:
        wanted = {need.tag for rule in found for need in rule.tags} - needed
        if not wanted:
            return found
        needed |= wanted
        found += [rule for rule in rules if rule.conclude and rule.conclude.tag in wanted]
