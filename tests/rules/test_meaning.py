"""What tests mean over intervals and unknown words, the plain fixpoint, and explanations."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from bogwright.rules import UNBOUNDED, RowError, meaning, outward, severity
from bogwright.rules.meaning import Coded, check_rows, fixpoint, holds, judge, meets
from bogwright.rules.model import AnyOf, Leaf

ORDERED = [
    # op, interval, certain, possible; the bound is 5
    ("below", (4, 4.9), True, True),
    ("below", (4, 5), False, True),
    ("below", (5, 6), False, False),
    ("at-most", (4, 5), True, True),
    ("at-most", (5, 6), False, True),
    ("at-most", (5.1, 6), False, False),
    ("at-least", (5, 6), True, True),
    ("at-least", (4, 5), False, True),
    ("at-least", (4, 4.9), False, False),
    ("above", (5.1, 6), True, True),
    ("above", (5, 6), False, True),
    ("above", (4, 5), False, False),
    *((op, UNBOUNDED, False, True) for op in ("below", "at-most", "at-least", "above")),
]

WORDED = [
    # op, words, value, certain, possible
    ("one-of", ("wet",), "wet", True, True),
    ("one-of", ("wet",), "dry", False, False),
    ("one-of", ("wet",), "?", False, True),
    ("one-of", ("wet", "damp"), "damp", True, True),
    ("one-of", ("wet", "damp"), "?", False, True),
    ("none-of", ("wet",), "dry", True, True),
    ("none-of", ("wet",), "wet", False, False),
    ("none-of", ("wet",), "?", False, True),
    ("none-of", ("wet", "damp"), "damp", False, False),
    ("none-of", ("wet", "damp"), "?", False, True),
]


@pytest.mark.parametrize(("op", "value", "certain", "possible"), ORDERED)
def test_ordering(op: str, value: Any, certain: bool, possible: bool) -> None:
    leaf = Leaf("f", op, bound=5)
    assert (holds(leaf, value, False), holds(leaf, value, True)) == (certain, possible)


@pytest.mark.parametrize(("op", "words", "value", "certain", "possible"), WORDED)
def test_words(op: str, words: Any, value: str, certain: bool, possible: bool) -> None:
    leaf = Leaf("f", op, words=words)
    assert (holds(leaf, value, False), holds(leaf, value, True)) == (certain, possible)


def test_columns_mean_what_rows_mean() -> None:
    np = pytest.importorskip("numpy")
    pick = random.Random(7)
    words = ("wet", "damp", "dry", "?")
    rows = []
    for _ in range(200):
        low = round(pick.uniform(0, 10), 1)
        number = UNBOUNDED if pick.random() < 0.2 else (low, low + pick.choice([0, 1.5]))
        rows.append({"n": number, "s": pick.choice(words)})
    lows, highs = (np.array([row["n"][end] for row in rows]) for end in (0, 1))
    text = np.array([row["s"] for row in rows])
    coded = Coded(np.array([words.index(row["s"]) for row in rows]), words)
    whens: list[Any] = [(Leaf("n", op, bound=5.0),) for op in ("below", "at-most", "at-least", "above")]
    whens += [(Leaf("s", op, words=some),) for op in ("one-of", "none-of") for some in (("wet",), ("wet", "unheard"))]
    whens += [(*whens[0], AnyOf((whens[4], (*whens[3], *whens[6]))))]
    for when in whens:
        for possible in (False, True):
            expected = [meets(when, row, possible) for row in rows]
            assert 0 < sum(expected) < len(rows) or len(when) > 1
            for column in (text, coded):
                assert meets(when, {"n": (lows, highs), "s": column}, possible).tolist() == expected


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ((1.1, 1.1), (1.1, 1.1)),
        ((0.1 + 0.2, 0.1 + 0.2), (0.3, 0.3)),
        ((1.00001, 1.00001), (1.0, 1.0001)),
        ((-1.00009, -1.00001), (-1.0001, -1.0)),
        ((-0.00001, 0.0), (-0.0001, 0.0)),
        (UNBOUNDED, UNBOUNDED),
        ((-5e8, 2e9), UNBOUNDED),
        ((-math.inf, 3.0), (-1e9, 3.0)),
        ((3e8, math.inf), (3e8, 1e9)),
    ],
)
def test_rounding_goes_outward(given: meaning.Interval, expected: meaning.Interval) -> None:
    assert outward(*given) == expected


@pytest.mark.parametrize("given", [(2.0, 1.0), (math.nan, 1.0), (1.0, math.nan)])
def test_rounding_refuses_what_is_no_interval(given: meaning.Interval) -> None:
    with pytest.raises(ValueError, match="not an interval"):
        outward(*given)


def plant(name: str, **known: Any) -> dict[str, Any]:
    unknown = {"genus": "?", "rest_need": "?", "rest_weeks": UNBOUNDED, "night_low": UNBOUNDED, "habit": "?"}
    return {"id": name, "kind": "plant.traits", "plant": name, **unknown, **known}


def test_tags_join_on_their_key_and_chain(make: Any) -> None:
    rules = make(
        "plant.traits",
        {"id": "hardy", "when": [{"night_low": {"below": 0}}], "conclude": {"tag": "frost", "on": "plant"}},
        {"id": "moss", "when": [{"habit": "moss"}], "tags": [{"tag": "frost", "on": "plant"}]},
    ) + make(
        "month.air",
        {"id": "cold", "when": [{"night_margin": {"below": 0}}], "tags": [{"tag": "frost", "on": "plant"}]},
    )
    air = {"kind": "month.air", "month": "1", "night_drop": UNBOUNDED, "outside_low": "?", "phase": "?"}
    rows = [
        plant("a", night_low=(-5.0, -1.0), habit="moss"),
        plant("b", night_low=(-5.0, 1.0), habit="moss"),
        {"id": "a1", "plant": "a", "night_margin": (-2.0, -1.0), **air},
        {"id": "b1", "plant": "b", "night_margin": (-2.0, -1.0), **air},
    ]
    outcome = judge(rows, rules)
    assert set(outcome.certain.firings) == {("hardy", "a"), ("moss", "a"), ("cold", "a1")}
    assert outcome.certain.tags == {("frost", "a")}
    assert outcome.possible.tags == {("frost", "a"), ("frost", "b")}
    assert ("cold", "b1") in outcome.possible
    assert outcome.certain <= outcome.possible


def test_cycles_end_and_do_not_hold_themselves_up(make: Any) -> None:
    def follows(made: str, needed: str) -> dict[str, Any]:
        entry = {"id": f"{made}-from-{needed}", "when": [{"habit": "moss"}], "tags": [{"tag": needed, "on": "plant"}]}
        return entry | {"conclude": {"tag": made, "on": "plant"}}

    entries = [follows("x", "y"), follows("y", "x")]
    start = {"id": "x-given", "when": [{"genus": "Utricularia"}], "conclude": {"tag": "x", "on": "plant"}}
    row = plant("a", habit="moss", genus="Utricularia")
    assert len(fixpoint(make("plant.traits", *entries), [row], False)) == 0
    derived = fixpoint(make("plant.traits", *entries, start), [row], False)
    assert set(derived.firings) == {("x-from-y", "a"), ("y-from-x", "a"), ("x-given", "a")}
    assert [one.rule for one in derived.explain("x-from-y", "a")] == ["x-given", "y-from-x", "x-from-y"]


def test_explanation_is_the_shortest_and_ties_go_by_rule_id(make: Any) -> None:
    def concludes(name: str, tag: str, *needs: str) -> dict[str, Any]:
        entry: dict[str, Any] = {"id": name, "when": [{"habit": "moss"}], "conclude": {"tag": tag, "on": "plant"}}
        return entry | ({"tags": [{"tag": need, "on": "plant"} for need in needs]} if needs else {})

    rules = make(
        "plant.traits",
        concludes("m-start", "one"),
        concludes("a-long-way", "two", "one"),
        concludes("z-direct", "two"),
        concludes("y-direct", "two"),
        concludes("end", "three", "one", "two"),
    )
    derived = fixpoint(rules, [plant("a", habit="moss")], False)
    assert [one.rule for one in derived.explain("end", "a")] == ["m-start", "y-direct", "end"]
    assert derived.explain("end", "a")[-1].premises == (("one", "a"), ("two", "a"))
    with pytest.raises(KeyError):
        derived.explain("end", "b")


@pytest.mark.parametrize(
    ("word", "certain", "possible"),
    [("death", "blocker", "blocker"), ("slow", "condition", "condition"), ("?", "note", "blocker")],
)
def test_severity_chosen_by_a_word(make: Any, cold_night: Any, word: str, certain: str, possible: str) -> None:
    (rule,) = make("month.air", cold_night)
    row = {"outside_low": word}
    assert (severity(rule.finding, row, False), severity(rule.finding, row, True)) == (certain, possible)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"night_low": (2.0, 1.0)}, "night_low is no interval within ±1e9: (2.0, 1.0)"),
        ({"night_low": (math.nan, 1.0)}, "night_low is no interval within ±1e9: (nan, 1.0)"),
        ({"night_low": (0.0, 1e10)}, "night_low is no interval within ±1e9"),
        ({"night_low": (0.00001, 1.0)}, "night_low is not rounded to four decimals"),
        ({"night_low": "?"}, "night_low should be an interval (low, high) and is '?'"),
        ({"habit": None}, "habit should be a string and is None"),
        ({"plant": "?"}, "plant is a key and cannot be unknown"),
    ],
)
def test_rows_are_held_to_their_contract(make: Any, change: dict[str, Any], message: str) -> None:
    rules = make(
        "plant.traits",
        {"id": "r", "when": [{"night_low": {"below": 0}}, {"habit": "moss"}], "conclude": {"tag": "t", "on": "plant"}},
    )
    with pytest.raises(RowError) as caught:
        judge([plant("a") | change], rules)
    assert str(caught.value).startswith(f"row 'a' (plant.traits): {message}")


def test_rows_need_their_fields_and_an_id_of_their_own(make: Any) -> None:
    rules = make("plant.traits", {"id": "r", "when": [{"night_low": {"below": 0}}]})
    with pytest.raises(RowError, match="night_low is missing"):
        check_rows([{"id": "a", "kind": "plant.traits"}], rules)
    with pytest.raises(RowError, match="two rows have the id 'a'"):
        check_rows([plant("a"), plant("a")], rules)
    check_rows([{"id": "a", "kind": "case.group"}], rules)
