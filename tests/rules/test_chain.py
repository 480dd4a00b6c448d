"""durable-rules: equal to the plain meaning on random rule sets, within its limits, and loud when it fails."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from bogwright.rules import UNBOUNDED, ChainError, RowError, chain, judge, load_fields, meaning, parse
from bogwright.rules.model import Leaf

HERE = Path(__file__).parent
BATCHES, BATCH = 10, 250

pytestmark = pytest.mark.skipif(not chain.available(), reason="durable-rules cannot be imported from Python 3.13 on")


def agreement(first: int) -> dict[str, int]:
    environment = os.environ | {"PYTHONPATH": str(HERE.parents[1] / "engine")}
    command = [sys.executable, str(HERE / "agreement.py"), str(first), str(BATCH)]
    done = subprocess.run(command, capture_output=True, text=True, env=environment, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    counts: dict[str, int] = json.loads(done.stdout)
    return counts


def test_both_engines_agree_on_random_rule_sets() -> None:
    with ThreadPoolExecutor(max_workers=2) as pool:
        counts = list(pool.map(agreement, range(0, BATCHES * BATCH, BATCH)))
    assert sum(one["sets"] for one in counts) == BATCHES * BATCH
    assert all(one["certain"] > BATCH and one["possible"] > 1.5 * one["certain"] for one in counts)


def plant(name: str, night_low: Any = UNBOUNDED, habit: str = "?") -> dict[str, Any]:
    rest = {"genus": "?", "rest_need": "?", "rest_weeks": UNBOUNDED}
    return {"id": name, "kind": "plant.traits", "plant": name, "night_low": night_low, "habit": habit, **rest}


def hardy(number: int, **more: Any) -> dict[str, Any]:
    return {"id": f"hardy-{number}", "when": [{"night_low": {"below": number + 0.5}}, {"habit": "moss"}], **more}


def two_files(make: Any, first: int, count: int, **more: Any) -> list[Any]:
    return [
        rule
        for n in range(first, first + count, 25)
        for rule in make("plant.traits", *(hardy(i, **more) for i in range(n, n + 25)))
    ]


def test_more_rules_fire_on_one_row_than_the_library_has_places_for(make: Any) -> None:
    rules = two_files(make, 0, 200, tags=[{"tag": "known", "on": "plant"}])
    rules += make(
        "plant.traits",
        {
            "id": "known",
            "when": [{"habit": "moss"}],
            "conclude": {"tag": "known", "on": "plant"},
        },
    )
    rows = [plant(f"p{i}", (-5.0, 0.0), "?" if i else "moss") for i in range(5)]
    assert len(chain.Chain(rules, True).judge(rows)) == 5 * 201
    assert len(chain.Chain(rules, False).judge(rows)) == 201


def test_judgements_do_not_see_each_other(make: Any) -> None:
    one = chain.Chain(make("plant.traits", hardy(0)), False)
    cold, warm = plant("a", (-5.0, 0.0), "moss"), plant("a", (5.0, 9.0), "moss")
    outcomes = [len(one.judge(rows)) for rows in ([cold], [warm], [], [cold, plant("b", (-5.0, 0.0), "moss")], [cold])]
    assert outcomes == [1, 0, 0, 2, 1]


def test_rules_without_rows_and_rows_without_rules(make: Any) -> None:
    assert len(chain.Chain([], True).judge([plant("a")])) == 0
    assert len(chain.Chain(make("plant.traits", hardy(0)), True).judge([])) == 0


def test_package_judges_the_same_with_and_without_the_library(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    rules = make("plant.traits", *(hardy(i) for i in range(-3, 3) if i >= 0))
    rows = [plant("a", (-1.0, 1.0), "moss"), plant("b", (0.0, 0.0)), plant("c", (9.0, 9.0))]
    with_library = judge(rows, rules)
    assert judge(rows, rules) == with_library
    monkeypatch.setattr(chain, "available", lambda: False)
    assert judge(rows, rules) == with_library
    assert 0 < len(with_library.certain) < len(with_library.possible)


def test_rows_that_fire_nothing_possibly_are_not_told_again(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    real = chain.Chain._fact

    def spy(self: chain.Chain, row: Any) -> Any:
        told.append(f"{row['id']} {'possible' if self.possible else 'certain'}")
        return real(self, row)

    monkeypatch.setattr(chain.Chain, "_fact", spy)
    judge([plant("a", (-1.0, 1.0)), plant("b", (9.0, 9.0))], make("plant.traits", hardy(0)))
    assert told == ["a possible", "b possible", "a certain"]


def test_bad_rows_are_refused(make: Any) -> None:
    with pytest.raises(RowError, match="night_low is not rounded"):
        chain.Chain(make("plant.traits", hardy(0)), True).judge([plant("a", (0.123456, 1.0))])


def test_an_exception_in_a_consequent_is_raised(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    real = chain.Chain._recorder

    def broken(self: chain.Chain, name: str) -> Any:
        def record(closure: Any) -> None:
            raise ZeroDivisionError("out of luck")

        return real(self, name) if name == "canary" else record

    monkeypatch.setattr(chain.Chain, "_recorder", broken)
    one = chain.Chain(make("plant.traits", hardy(0)), True)
    with pytest.raises(ChainError, match="an action failed: exception caught out of luck"):
        one.judge([plant("a")])
    assert len(one.judge([plant("a", (9.0, 9.0))])) == 0


def test_a_lost_fact_is_noticed(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    one = chain.Chain(make("plant.traits", hardy(0)), True)
    real, handles = one._ruleset.assert_fact, []

    def forgetful(fact: dict[str, Any]) -> Any:
        if fact.get("W_habit") != "moss":
            handles.append(real(fact))
        return handles[-1]

    monkeypatch.setattr(one._ruleset, "assert_fact", forgetful)
    with pytest.raises(ChainError, match="lost facts: 3 facts were told, 2 are held and 0 are read by nobody"):
        one.judge([plant("a"), plant("b", (-5.0, 0.0), "moss")])


def test_a_refused_fact_is_raised(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chain, "GROUP", 1000)
    one = chain.Chain(two_files(make, 0, 100), True)
    with pytest.raises(ChainError, match="refused a fact: Could not assert fact, error code: 303"):
        one.judge([plant("a", (-5.0, 0.0))])


def test_a_missing_completion_is_raised(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    one = chain.Chain(make("plant.traits", hardy(0)), True)
    monkeypatch.setattr(one._ruleset, "do_actions", lambda handle, complete: None)
    with pytest.raises(ChainError, match="did not complete its actions: no word of them"):
        one.judge([plant("a")])


def test_a_silent_canary_is_raised(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    one = chain.Chain(make("plant.traits", hardy(0)), True)
    monkeypatch.setattr(one._ruleset, "do_actions", lambda handle, complete: complete(None, None))
    with pytest.raises(ChainError, match="ran no action for the canary"):
        one.judge([plant("a")])


class Beyond:
    """A rule as the parser would never pass it."""

    def __init__(self, *conjunctions: tuple[Leaf, ...]) -> None:
        self.id, self.kind, self.tags, self.conclude, self.finding = "beyond", "plant.traits", (), None, None
        self.conjunctions = list(conjunctions)
        self.leaves = [leaf for conjunction in conjunctions for leaf in conjunction]


COLD = Leaf("night_low", "below", bound=1.0)
WIDE = [tuple(Leaf(f"f{i}", "below") for i in range(n, n + 12)) for n in range(0, 192, 12)]


@pytest.mark.parametrize(
    ("conjunctions", "message"),
    [
        ([(COLD,)] * 17, "rule 'beyond' has 17 conjunctions, 16 at most"),
        ([(COLD,) * 13], "rule 'beyond' has 13 tests in a conjunction, 12 at most"),
        ([(Leaf("night_low", "below", bound=1e-5),)], "1e-05 is not a number of four decimals within ±1e9"),
        ([(Leaf("night_low", "below", bound=1e16),)], "1e\\+16 is not a number of four decimals"),
        ([(Leaf("genus", "one-of", words=tuple(map(str, range(500)))),)], "names 500 words in one test, 400 at most"),
        (WIDE, "read too much of plant.traits: 385 properties, 250 at most"),
    ],
)
def test_limits_are_checked_when_compiling(conjunctions: Any, message: str) -> None:
    with pytest.raises(ChainError, match=message):
        chain.Chain([Beyond(*conjunctions)], True)  # type: ignore[list-item]


def test_number_of_conjunctions_is_limited(make: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chain, "GROUPS", 2)
    with pytest.raises(ChainError, match=r"too many tests of plant\.traits: 60 conjunctions at most"):
        chain.Chain(two_files(make, 0, 75), True)


def hashed(text: str) -> int:
    """The 32-bit hash (FNV-1a) by which the library tells names and ids apart."""
    value = 0x811C9DC5
    for byte in text.encode():
        value = ((value ^ byte) * 0x01000193) & 0xFFFFFFFF
    return value


def test_no_two_names_or_ids_look_alike_to_the_library() -> None:
    document = json.loads((HERE.parents[1] / "schemas" / "fields.schema.json").read_text("utf-8"))
    names = {"kind", "id", "sid", "key", "name", "$s", *(f"G{n}" for n in range(chain.GROUPS))}
    for kind in load_fields(document).kinds.values():
        names |= {
            column for name in kind.fields for column in (chain._end(name, 0), chain._end(name, 1), chain._word(name))
        }
    ids = {f"f{n}" for n in range(20_000)}
    assert len(set(map(hashed, names))) == len(names)
    assert len(set(map(hashed, ids))) == len(ids)


def test_rules_need_ids_of_their_own(make: Any) -> None:
    with pytest.raises(ChainError, match="two rules have the same id"):
        chain.Chain(make("plant.traits", hardy(0)) * 2, True)


def test_fields_whose_names_look_like_columns_stay_apart() -> None:
    names = ("f", "f_l", "l_f", "sid", "key", "g0", "row")
    properties = {name: {"$ref": "#/$defs/number", "x-unit": "K"} for name in names}
    entry = {"additionalProperties": False, "required": [*names], "properties": properties}
    texts = {
        "title": "a rule",
        "why": "for a test",
        "basis": "from-memory",
        "examples": {"fires": [{}], "near-miss": [{}]},
    }
    entries = [
        {
            "id": name.replace("_", "-"),
            "when": [{name: {"at-least": i}}],
            "finding": {"severity": "note", "says": "yes"},
        }
        | texts
        for i, name in enumerate(names)
    ]
    rules, problems = parse({"for": "case.odd", "rules": entries}, load_fields({"$defs": {"case.odd": entry}}))
    assert not problems
    rows = [
        {"id": f"r{k}", "kind": "case.odd"} | {name: (float(i - (i == k)), 9.0) for i, name in enumerate(names)}
        for k in range(8)
    ]
    certain = chain.Chain(rules, False).judge(rows)
    assert certain == meaning.fixpoint(rules, rows, False)
    assert len(certain) == 49
