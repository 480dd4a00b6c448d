"""Conflict sets and the fewest plants to drop: smallest hitting sets over conflicts found on demand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass


def conflict(ids: Sequence[str], serves: Callable[[Sequence[str]], bool]) -> tuple[str, ...]:
    """A smallest-by-deletion subset of ``ids`` that cannot be served, given that all of them cannot."""
    kept = list(ids)
    for one in list(ids):
        rest = [i for i in kept if i != one]
        if not serves(rest):
            kept = rest
    return tuple(kept)


def hitting_sets(conflicts: Sequence[frozenset[str]], most: int) -> list[tuple[str, ...]]:
    """All smallest sets that hit every conflict, at most ``most`` of them, by iterative deepening."""
    open_sets = sorted(set(conflicts), key=lambda c: (len(c), sorted(c)))
    for size in range(len(frozenset().union(*open_sets)) + 1 if open_sets else 1):
        found: set[tuple[str, ...]] = set()
        _hit(open_sets, size, (), found, most)
        if found:
            return sorted(found)
    return []


def _hit(
    rest: Sequence[frozenset[str]], left: int, chosen: tuple[str, ...], found: set[tuple[str, ...]], most: int
) -> None:
    rest = [c for c in rest if not c.intersection(chosen)]
    if not rest:
        found.add(tuple(sorted(chosen)))
        return
    if left == 0 or len(found) >= most:
        return
    for one in sorted(rest[0]):
        _hit(rest, left - 1, (*chosen, one), found, most)


@dataclass(frozen=True, slots=True)
class Drops:
    """Smallest sets of plants whose removal leaves a group that can be served, and the conflicts that force them."""

    sets: tuple[tuple[str, ...], ...]
    conflicts: tuple[tuple[str, ...], ...]
    complete: bool


def drops(ids: Sequence[str], serves: Callable[[Sequence[str]], bool], most: int = 6, rounds: int = 400) -> Drops:
    """Fewest plants to drop so that the rest can be served, by hitting sets over conflicts found on demand.

    ``serves(ids)`` answers for any subset over all regimes; every set returned was asked and can be served.
    """
    conflicts: list[frozenset[str]] = []
    good: list[tuple[str, ...]] = []
    for _ in range(rounds):
        tried = False
        for drop in hitting_sets(conflicts, most * 8):
            if drop in good:
                continue
            rest = [i for i in ids if i not in drop]
            tried = True
            if serves(rest):
                good.append(drop)
                if len(good) >= most:
                    return Drops(tuple(sorted(good)), _sorted(conflicts), False)
            else:
                conflicts.append(frozenset(conflict(rest, serves)))
                break
        else:
            return Drops(tuple(sorted(good)), _sorted(conflicts), True)
        if not tried:
            break
    return Drops(tuple(sorted(good)), _sorted(conflicts), False)


def _sorted(conflicts: Sequence[frozenset[str]]) -> tuple[tuple[str, ...], ...]:
    return tuple(sorted((tuple(sorted(c)) for c in conflicts), key=lambda c: (len(c), c)))
