"""How few enclosures a collection needs: pairs that never share make a graph, its colouring proposes groups, groups
decide.

A colour class is only a candidate, since a group can fail although every pair passes; a class that fails gives plants
up to other groups. So the number found is an upper bound, and the largest clique of clashing pairs a lower one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

from bogwright.sharing.conflicts import drops


@dataclass(frozen=True, slots=True)
class Split:
    """``groups`` that can each be served.

    ``fewest`` says whether no split into fewer exists. ``alone``: served by nothing.
    """

    groups: tuple[tuple[str, ...], ...]
    fewest: bool
    alone: tuple[str, ...]


def split(ids: Sequence[str], serves: Callable[[Sequence[str]], bool]) -> Split:
    """Divide plants into few groups that can each be served. ``serves(ids)`` answers for any subset."""
    # networkx takes a quarter of a second to import, which only a split needs
    import networkx

    alone = tuple(i for i in ids if not serves([i]))
    plants = [i for i in ids if i not in alone]
    clashes = networkx.Graph()
    clashes.add_nodes_from(plants)
    clashes.add_edges_from(pair for pair in combinations(plants, 2) if not serves(pair))
    least = max((len(c) for c in networkx.find_cliques(clashes)), default=0)
    colours = networkx.greedy_color(clashes, strategy="DSATUR")
    classes: dict[int, list[str]] = {}
    for plant in plants:
        classes.setdefault(colours[plant], []).append(plant)
    groups: list[list[str]] = []
    for candidate in classes.values():
        _settle(candidate, groups, serves)
    found = tuple(sorted((tuple(g) for g in groups), key=lambda g: (-len(g), g)))
    return Split(found, len(found) == least, alone)


def _settle(candidate: list[str], groups: list[list[str]], serves: Callable[[Sequence[str]], bool]) -> None:
    """Place a colour class, giving up a smallest set of plants that stands in its way.

    Those join a group or make one.
    """
    if not serves(candidate):
        given_up = drops(candidate, serves, most=1).sets[0]
        _settle([p for p in candidate if p not in given_up], groups, serves)
        for plant in given_up:
            home = next((g for g in groups if serves([*g, plant])), None)
            if home is not None:
                home.append(plant)
            else:
                groups.append([plant])
    else:
        groups.append(candidate)
