"""Worker: random rule sets on both engines, in a process of their own since each compiled ruleset keeps its memory.

usage: agreement.py FIRST COUNT. Prints one line of counts as JSON; exits 1 at the first disagreement, naming its seed.
"""

from __future__ import annotations

import json
import random
import sys
from typing import Any

from bogwright.rules import load_fields, meaning, parse
from bogwright.rules.chain import Chain
from bogwright.rules.derivations import Derivations
from bogwright.rules.model import Rule

WORDS = ("none", "helpful", "needed", 'odd "é" × \\ /')
NUMBERS = tuple(f"n{i}" for i in range(6))
KINDS = ("plant.alpha", "pair.beta")
OPS = ("below", "at-most", "at-least", "above")
TAGS = ("x", "y", "z")
KEYS = ("p", "q q", 'r "é"', "1", "1.0")
DECIMALS = (0, 1, 4)


def fields_document() -> dict[str, Any]:
    """Two kinds with the same fields: six numbers, two closed words, one free word, two keys."""
    properties: dict[str, Any] = {}
    for name in NUMBERS:
        properties[name] = {"$ref": "#/$defs/number", "x-unit": "K"}
    properties |= {name: {"enum": [*WORDS, "?"]} for name in ("s0", "s1")}
    properties |= {"s2": {"$ref": "#/$defs/free-word"}}
    properties |= {name: {"$ref": "#/$defs/key"} for name in ("a", "b")}
    entry = {"type": "object", "additionalProperties": False, "required": list(properties), "properties": properties}
    return {"$defs": dict.fromkeys(KINDS, entry)}


FIELDS = load_fields(fields_document())


def test(pick: random.Random) -> dict[str, Any]:
    if pick.random() < 0.55:
        return {pick.choice(NUMBERS): {pick.choice(OPS): round(pick.uniform(-3, 3), pick.choice(DECIMALS))}}
    some = pick.sample(WORDS, pick.randint(1, 3))
    forms: list[Any] = [some[0], {"is-not": some[0]}, {"one-of": some}, {"none-of": some}]
    return {pick.choice(("s0", "s1", "s2")): pick.choice(forms)}


def condition(pick: random.Random) -> dict[str, Any]:
    if pick.random() < 0.8:
        return test(pick)
    return {"any": [[test(pick) for _ in range(pick.randint(1, 2))] for _ in range(2)]}


def rule(pick: random.Random, number: int, tagged: float) -> dict[str, Any]:
    when = [condition(pick) for _ in range(pick.randint(1, 3))]
    data: dict[str, Any] = {"id": f"rule-{number}", "title": "random rule", "when": when}
    if pick.random() < tagged:
        data["tags"] = [{"tag": pick.choice(TAGS), "on": pick.choice("ab")} for _ in range(pick.randint(1, 2))]
    if pick.random() < 0.5:
        data["conclude"] = {"tag": pick.choice(TAGS), "on": pick.choice("ab")}
    else:
        data["finding"] = {"severity": "note", "says": "random"}
    return data | {"why": "random", "basis": "from-memory", "examples": {"fires": [{}], "near-miss": [{}]}}


def rules_of(pick: random.Random, seed: int) -> list[Rule]:
    # Every fiftieth set is large and of one kind, so that it needs several groups of conjunctions.
    kinds, most, tagged = (KINDS, 8, 0.4) if seed % 50 else (KINDS[:1], 60, 0.8)
    found: list[Rule] = []
    for kind in kinds:
        entries = [rule(pick, len(found) + i, tagged) for i in range(pick.randint(most // 2, most))]
        for start in range(0, len(entries), 30):
            rules, problems = parse({"for": kind, "rules": entries[start : start + 30]}, FIELDS)
            assert not problems, problems[0]
            found += rules
    return found


def number(pick: random.Random) -> tuple[float, float]:
    shape = pick.random()
    if shape < 0.15:
        return meaning.UNBOUNDED
    low = round(pick.uniform(-3, 3), pick.choice(DECIMALS)) + 0.0
    if shape < 0.6:
        return (low, low)
    if shape < 0.7:
        return (low, meaning.LIMIT) if shape < 0.65 else (-meaning.LIMIT, low)
    return (low, round(low + pick.uniform(0.001, 2), 4))


def rows_of(pick: random.Random) -> list[dict[str, Any]]:
    return [
        {name: number(pick) for name in NUMBERS}
        | {name: pick.choice((*WORDS, "?")) for name in ("s0", "s1", "s2")}
        | {
            "a": pick.choice(KEYS),
            "b": pick.choice(KEYS),
            "id": f"row {i}",
            "kind": pick.choice((*KINDS, "case.other")),
        }
        for i in range(pick.randint(1, 25))
    ]


def completed(pick: random.Random, row: dict[str, Any]) -> dict[str, Any]:
    """The row with a known value, chosen at random, for every unknown."""

    def one(name: str, value: Any) -> Any:
        if isinstance(value, tuple):
            point = value[0] if value[0] == value[1] else round(pick.uniform(max(value[0], -5), min(value[1], 5)), 4)
            return (point, point)
        return pick.choice(WORDS) if value == "?" and name.startswith("s") else value

    return {name: one(name, value) for name, value in row.items()}


def one_set(seed: int) -> tuple[int, int]:
    """Counts of certain and possible firings of one random set. Raises AssertionError if the engines differ."""
    pick = random.Random(seed)
    rules, rows = rules_of(pick, seed), rows_of(pick)
    plain = meaning.judge(rows, rules)
    possible = Chain(rules, True).judge(rows)
    certain = Chain(rules, False).judge(meaning.that_fired(rows, possible))
    assert possible == plain.possible, f"seed {seed}: possible"
    assert certain == plain.certain, f"seed {seed}: certain"
    assert certain == meaning.fixpoint(rules, rows, False), f"seed {seed}: rows left out of the certain mode"
    for _ in range(3):
        truth: Derivations = meaning.fixpoint(rules, [completed(pick, row) for row in rows], False)
        assert certain <= truth <= possible, f"seed {seed}: truth outside"
    return len(certain), len(possible)


def main() -> None:
    first, count = int(sys.argv[1]), int(sys.argv[2])
    certain = possible = 0
    for seed in range(first, first + count):
        sure, may = one_set(seed)
        certain, possible = certain + sure, possible + may
    print(json.dumps({"sets": count, "certain": certain, "possible": possible}))


if __name__ == "__main__":
    main()
