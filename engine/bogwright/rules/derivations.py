"""What fired, and why: the outcome of judging rows in one mode, and the shortest explanation of each firing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush

Tag = tuple[str, str]


@dataclass(frozen=True, order=True)
class Firing:
    """A rule that fired on a row: the tags it needed and the tag it concluded."""

    rule: str
    row: str
    premises: tuple[Tag, ...] = ()
    concludes: Tag | None = None


class Derivations:
    """Everything that fired in one mode, by (rule id, row id) in that order. Equal if the same rules fired alike."""

    def __init__(self, firings: Iterable[Firing]) -> None:
        self.firings = {(one.rule, one.row): one for one in sorted(firings, key=lambda one: (one.rule, one.row))}
        self.tags = frozenset(one.concludes for one in self.firings.values() if one.concludes)

    def __contains__(self, pair: object) -> bool:
        return pair in self.firings

    def __len__(self) -> int:
        return len(self.firings)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Derivations) and self.firings == other.firings

    __hash__ = None  # type: ignore[assignment]

    def __le__(self, other: Derivations) -> bool:
        return self.firings.keys() <= other.firings.keys()

    def explain(self, rule: str, row: str) -> list[Firing]:
        """The shortest derivation, premises before what they lead to, each step once.

        Shortest: fewest firings as a tree; ties go to the lower rule id, then row id.
        Raises KeyError if the rule did not fire on the row.
        """
        steps: dict[tuple[str, str], Firing] = {}

        def walk(one: Firing) -> None:
            for tag in one.premises:
                walk(self._producers[tag])
            steps.setdefault((one.rule, one.row), one)

        walk(self.firings[rule, row])
        return list(steps.values())

    @cached_property
    def _producers(self) -> dict[Tag, Firing]:
        """For each tag the firing that concludes it most shortly (cheapest first, as in a shortest-path search)."""
        waiting: dict[Tag, list[Firing]] = {}
        missing = {key: set(one.premises) for key, one in self.firings.items()}
        cost: dict[Tag, int] = {}
        best: dict[Tag, Firing] = {}
        heap: list[tuple[int, str, str]] = []
        for one in self.firings.values():
            for tag in set(one.premises):
                waiting.setdefault(tag, []).append(one)
            if not one.premises:
                heappush(heap, (1, one.rule, one.row))
        while heap:
            spent, rule, row = heappop(heap)
            tag_made = self.firings[rule, row].concludes
            if tag_made is None or tag_made in best:
                continue
            best[tag_made], cost[tag_made] = self.firings[rule, row], spent
            for one in waiting.get(tag_made, ()):
                missing[one.rule, one.row].discard(tag_made)
                if not missing[one.rule, one.row]:
                    heappush(heap, (1 + sum(cost[tag] for tag in one.premises), one.rule, one.row))
        return best


@dataclass(frozen=True)
class Judgement:
    """What fired certainly and what possibly; certain ≤ possible."""

    certain: Derivations
    possible: Derivations
