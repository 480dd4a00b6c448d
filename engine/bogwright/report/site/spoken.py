"""Which rules speak of which plant whatever its enclosure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple


class Spoken(NamedTuple):
    """rules : of each plant, when each rule speaks: always, some years, neighbour. plants : the plants of each rule."""

    rules: Mapping[str, Mapping[str, str]]
    plants: Mapping[str, Sequence[str]]


def spoken(share: Mapping[str, Any]) -> Spoken:
    """From the data of the share check, which holds what the rules say of every plant and pair.

    A species has the rules of its forms too, of which one may be judged in its place.
    """
    beside = _beside(share)
    rules: dict[str, dict[str, str]] = {}
    for plant in share["plants"]:
        found = dict.fromkeys(sorted(beside.get(plant["traits"][0], ())), "neighbour")
        rules[plant["id"]] = found | _alone(share, share["asks"][plant["ask"]])
    for plant in share["plants"]:
        species = plant["id"].rpartition("/")[0]
        if "/" in species:
            rules[species] = rules[plant["id"]] | rules.get(species, {})
    plants: dict[str, list[str]] = {}
    for plant in sorted(rules):
        for rule in rules[plant]:
            plants.setdefault(rule, []).append(plant)
    return Spoken(rules, plants)


def _alone(share: Mapping[str, Any], ask: Mapping[str, Any]) -> dict[str, str]:
    """Rules that speak of a plant by itself, in a bed it shares: in each of its years, or in some."""
    years = ask["shared"] if isinstance(ask["shared"], list) else [ask["shared"]]
    each = [set(_rules(share, one)) for one in years]
    some = set().union(*each)
    always = set(_rules(share, ask["known"])) | set.intersection(*each)
    return {rule: "always" if rule in always else "some years" for rule in sorted(some | always)}


def _beside(share: Mapping[str, Any]) -> dict[int, set[str]]:
    """Rules that speak of the first of two neighbours, by its traits."""
    found: dict[int, set[str]] = {}
    for key, place in share["pairs"]["cells"].items():
        found.setdefault(int(key.partition(",")[0]), set()).update(_rules(share, place))
    return found


def _rules(share: Mapping[str, Any], place: int) -> Iterator[str]:
    return (share["findings"][one]["rule"] for one in share["sets"][place])
