"""What a rule means: the only place that says when a test holds.

Every number in a row is an interval (low, high), every unknown word "?". A test is *certain* if it holds for every
value the row may have and *possible* if it holds for some. There is no negation, so through any chain of rules
certain ⊆ truth ⊆ possible. The same tree walk serves one row and whole numpy columns.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from bogwright.rules.derivations import Derivations, Firing, Judgement, Tag
from bogwright.rules.fields import UNKNOWN
from bogwright.rules.model import SEVERITIES, Condition, Finding, Leaf, Rule, TagOn, decimals_fit

Interval = tuple[float, float]
Row = Mapping[str, Any]

LIMIT = 1e9
UNBOUNDED: Interval = (-LIMIT, LIMIT)

# No care figure comes near this, so an end beyond it can only be an unknown that went through arithmetic.
_FAR = 1e8
# Below any figure's last digit: keeps 0.1 + 0.2 from rounding outward to 0.3001.
_NOISE = 1e-9

# Test → comparison, end to compare for certain, end to compare for possible.
_ORDERINGS: dict[str, tuple[Callable[[Any, float], Any], int, int]] = {
    "below": (operator.lt, 1, 0),
    "at-most": (operator.le, 1, 0),
    "at-least": (operator.ge, 0, 1),
    "above": (operator.gt, 0, 1),
}


class RowError(ValueError):
    """A row breaks the contract of its kind: a missing field, a bad interval, a key that is no string."""


def outward(low: float, high: float) -> Interval:
    """Interval rounded outward to four decimals; ends beyond 1e8 become unbounded.

    Raises ValueError if an end is NaN or low > high.
    """
    if not low <= high:
        raise ValueError(f"not an interval: [{low}, {high}]")
    return _rounded(low, -1), _rounded(high, 1)


def _rounded(end: float, side: int) -> float:
    if side * end > _FAR:
        return side * LIMIT
    end = max(-LIMIT, min(LIMIT, end))
    near = round(end, 4)
    if side * (end - near) > _NOISE + 1e-12 * abs(end):
        near = round(near + side * 1e-4, 4)
    return near + 0.0


def end_read(op: str, possible: bool) -> int | None:
    """Which end of the interval an ordering test compares (0 low, 1 high); None for a test of words."""
    if op not in _ORDERINGS:
        return None
    _, certain_end, possible_end = _ORDERINGS[op]
    return possible_end if possible else certain_end


def holds(leaf: Leaf, value: Any, possible: bool) -> Any:
    """Whether one test holds of one value.

    value: (low, high) or a word; or (lows, highs) or words as numpy columns, or `Coded`.
    Returns a bool, or a column of them.
    """
    ordering = _ORDERINGS.get(leaf.op)
    if ordering is not None:
        compare, certain_end, possible_end = ordering
        return compare(value[possible_end if possible else certain_end], leaf.bound)
    first, *others = leaf.words
    if leaf.op == "one-of":
        hit = value == first
        for word in (*others, UNKNOWN) if possible else others:
            hit = hit | (value == word)
        return hit
    clear = value != first
    for word in others if possible else (*others, UNKNOWN):
        clear = clear & (value != word)
    return clear


def meets(when: Sequence[Condition], row: Row, possible: bool) -> Any:
    """Whether all conditions hold. row: field → value or column; returns a bool or a column."""
    met: Any = True
    for condition in when:
        if isinstance(condition, Leaf):
            one = holds(condition, row[condition.field], possible)
        else:
            one = False
            for alternative in condition.alternatives:
                one = one | meets(alternative, row, possible)
        met = met & one
        if met is False:
            return False
    return met


class Coded:
    """A column of words held as small integers, for `holds`: comparing integers is much faster than text.

    codes: integer column; words: the word of each code, counted from 0.
    """

    __hash__ = None  # type: ignore[assignment]

    def __init__(self, codes: Any, words: Sequence[str]) -> None:
        self.codes = codes
        self._code = {word: code for code, word in enumerate(words)}

    def __eq__(self, word: object) -> Any:
        return self.codes == self._code.get(str(word), -1)

    def __ne__(self, word: object) -> Any:
        return self.codes != self._code.get(str(word), -1)


def firing(rule: Rule, row: Row) -> Firing:
    """The firing of rule on row, with its tags looked up in the row's keys."""
    concludes = (rule.conclude.tag, row[rule.conclude.on]) if rule.conclude else None
    return Firing(rule.id, row["id"], tuple((need.tag, row[need.on]) for need in rule.tags), concludes)


def fixpoint(rules: Sequence[Rule], rows: Sequence[Row], possible: bool) -> Derivations:
    """Fire all rules on all rows until nothing new follows.

    rows: mappings with `id`, `kind` and every field of their kind, as `check_rows` accepts them.
    """
    by_kind: dict[str, list[Row]] = {}
    for row in rows:
        by_kind.setdefault(row["kind"], []).append(row)
    open_ = [
        firing(rule, row) for rule in rules for row in by_kind.get(rule.kind, ()) if meets(rule.when, row, possible)
    ]
    fired: list[Firing] = []
    tags: set[Tag] = set()
    while True:
        ready = [one for one in open_ if tags.issuperset(one.premises)]
        if not ready:
            return Derivations(fired)
        open_ = [one for one in open_ if not tags.issuperset(one.premises)]
        fired += ready
        tags.update(one.concludes for one in ready if one.concludes)


def judge(rows: Sequence[Row], rules: Sequence[Rule]) -> Judgement:
    """Both modes by plain fixpoint. Rows that fire nothing possibly cannot fire anything certainly.

    Raises RowError for a row that breaks its contract.
    """
    check_rows(rows, rules)
    may = fixpoint(rules, rows, True)
    return Judgement(fixpoint(rules, that_fired(rows, may), False), may)


def that_fired(rows: Sequence[Row], derivations: Derivations) -> list[Row]:
    """The rows on which some rule fired."""
    ids = {row for _, row in derivations.firings}
    return [row for row in rows if row["id"] in ids]


def severity(finding: Finding, row: Row, possible: bool) -> str:
    """How grave a finding is; while the deciding word is unknown the mildest is certain, the worst possible."""
    if not finding.by:
        return finding.severity
    words = dict(finding.words)
    if row[finding.by] != UNKNOWN:
        return words[row[finding.by]]
    return (max if possible else min)(words.values(), key=SEVERITIES.index)


def reads(rules: Iterable[Rule]) -> dict[str, dict[str, str]]:
    """For each kind the fields that rules read: field → "number", "word" or "key"."""
    found: dict[str, dict[str, str]] = {}
    for rule in rules:
        kind = found.setdefault(rule.kind, {})
        for leaf in rule.leaves:
            kind[leaf.field] = "number" if leaf.op in _ORDERINGS else "word"
        keys: list[TagOn] = [*rule.tags, *([rule.conclude] if rule.conclude else [])]
        kind.update((one.on, "key") for one in keys)
        if rule.finding and rule.finding.by:
            kind.setdefault(rule.finding.by, "word")
    return found


def check_rows(rows: Iterable[Row], rules: Iterable[Rule]) -> None:
    """Hold rows to what the rules read of them. Raises RowError naming row and field."""
    read = reads(rules)
    seen: set[str] = set()
    for row in rows:
        if row["id"] in seen:
            raise RowError(f"two rows have the id '{row['id']}'")
        seen.add(row["id"])
        for name, sort in read.get(row["kind"], {}).items():
            wrong = "is missing" if name not in row else _wrong_value(row[name], sort)
            if wrong:
                raise RowError(f"row '{row['id']}' ({row['kind']}): {name} {wrong}")


def _wrong_value(value: Any, sort: str) -> str:
    if sort != "number":
        if not isinstance(value, str):
            return f"should be a string and is {value!r}"
        return "is a key and cannot be unknown" if sort == "key" and value == UNKNOWN else ""
    if not isinstance(value, tuple | list) or len(value) != 2:
        return f"should be an interval (low, high) and is {value!r}"
    low, high = value
    if not -LIMIT <= low <= high <= LIMIT:
        return f"is no interval within ±1e9: {value!r}"
    return "" if decimals_fit(low) and decimals_fit(high) else f"is not rounded to four decimals: {value!r}"
