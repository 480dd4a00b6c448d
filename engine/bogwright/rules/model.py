"""A rule as the engine holds it: plain, checked data without behaviour of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

from bogwright.rules.fields import Path, Problem

SEVERITIES = ("note", "caution", "condition", "blocker")
ORDERINGS = ("below", "at-most", "at-least", "above")

Place = Callable[[Path], str]


@dataclass(frozen=True, slots=True)
class Leaf:
    """One test of one field. op: one-of or none-of with words, or below, at-most, at-least, above with bound.

    The forms WORD and is-not are one-of and none-of with one word.
    """

    field: str
    op: str
    bound: float = 0.0
    words: tuple[str, ...] = ()

    def __str__(self) -> str:
        if not self.words:
            return f"{self.field} {self.op} {self.bound:g}"
        op = self.op if len(self.words) > 1 else {"one-of": "is", "none-of": "is not"}[self.op]
        return f"{self.field} {op} {', '.join(self.words)}"


@dataclass(frozen=True, slots=True)
class AnyOf:
    """Alternatives, each a list of tests that hold together."""

    alternatives: tuple[tuple[Leaf, ...], ...]

    def __str__(self) -> str:
        return " or ".join(" and ".join(map(str, one)) for one in self.alternatives)


Condition = Leaf | AnyOf


@dataclass(frozen=True, slots=True)
class TagOn:
    """A tag and the key field that says what it holds of."""

    tag: str
    on: str


@dataclass(frozen=True)
class Finding:
    """What a rule tells the grower. severity is fixed, or chosen by the word of field `by` (then "")."""

    severity: str
    says: str
    axis: str = ""
    do: str = ""
    cap: str = ""
    by: str = ""
    words: tuple[tuple[str, str], ...] = ()

    @property
    def worst(self) -> str:
        """The gravest severity it can take."""
        return max((grave for _, grave in self.words), key=SEVERITIES.index) if self.by else self.severity


@dataclass(frozen=True)
class Example:
    """A case a rule was written for. values: field → (low, high) or word; tags: those that hold, None for all."""

    name: str
    values: Mapping[str, Any]
    tags: tuple[str, ...] | None
    path: Path


@dataclass(frozen=True, eq=False)
class Rule:
    """A checked rule: all of `when` and all `tags` lead to a finding or a conclusion. place: see `parse`."""

    id: str
    title: str
    kind: str
    when: tuple[Condition, ...]
    tags: tuple[TagOn, ...]
    finding: Finding | None
    conclude: TagOn | None
    if_unknown: str
    disputed: bool
    dual_of: str
    why: str
    basis: str
    sources: tuple[Mapping[str, str], ...]
    fires: tuple[Example, ...]
    near_misses: tuple[Example, ...]
    path: Path
    place: Place

    @property
    def leaves(self) -> Iterator[Leaf]:
        """Every test, in order of writing."""
        return (leaf for _, leaf in self.leaf_paths)

    @property
    def leaf_paths(self) -> Iterator[tuple[Path, Leaf]]:
        """Every test with its path in the file."""
        for index, condition in enumerate(self.when):
            path = (*self.path, "when", index)
            if isinstance(condition, Leaf):
                yield (*path, condition.field), condition
                continue
            for choice, alternative in enumerate(condition.alternatives):
                for item, leaf in enumerate(alternative):
                    yield (*path, "any", choice, item, leaf.field), leaf

    @property
    def conjunctions(self) -> list[tuple[Leaf, ...]]:
        """`when` flattened: it holds if all tests of one of these hold."""
        return flatten(self.when)

    def problem(self, path: Path, message: str, hint: str, code: str, level: str = "error") -> Problem:
        """A problem at path, counted from the rule."""
        whole = (*self.path, *path)
        return Problem(whole, message, hint, code, self.place(whole), level)


def flatten(when: tuple[Condition, ...]) -> list[tuple[Leaf, ...]]:
    """All ways to choose one alternative of each condition."""
    ways = [((one,),) if isinstance(one, Leaf) else one.alternatives for one in when]
    return [tuple(leaf for part in way for leaf in part) for way in product(*ways)]


def decimals_fit(value: float) -> bool:
    """Whether value has at most four decimals and is a number."""
    return round(value, 4) == value
