"""Checks across rules, the examples beside each rule, and the sentences filled from a row."""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.rules import UNBOUNDED, Fields, check, fill, parse, run_examples


def parsed(fields: Fields, kind: str, file: str, *entries: dict[str, Any]) -> list[Any]:
    usual = {"title": "a rule", "why": "for a test", "basis": "from-memory"}
    usual |= {"examples": {"fires": [{}], "near-miss": [{}]}}
    filled = [
        usual | ({} if "conclude" in one else {"finding": {"severity": "note", "says": "yes"}}) | one for one in entries
    ]
    rules, problems = parse({"for": kind, "rules": filled}, fields, lambda path: f"{file}:" + "/".join(map(str, path)))
    assert not problems, "\n".join(map(str, problems))
    return rules


def lines(rules: list[Any]) -> list[str]:
    return [str(problem) for problem in check(rules)]


MOSS: dict[str, Any] = {"when": [{"habit": "moss"}]}


def test_ids_are_unique_across_files(fields: Fields) -> None:
    rules = parsed(fields, "plant.traits", "a.yaml", {"id": "one"} | MOSS)
    rules += parsed(fields, "plant.traits", "b.yaml", {"id": "two"} | MOSS, {"id": "one"} | MOSS)
    assert lines(rules) == [
        "b.yaml:rules/1/id: a second rule with the id 'one' — the first is at a.yaml:rules/0/id (same-id)"
    ]


def test_tags_are_concluded_and_read(fields: Fields) -> None:
    rules = parsed(
        fields,
        "plant.traits",
        "a.yaml",
        {"id": "makes", "conclude": {"tag": "frost-hardy", "on": "plant"}} | MOSS,
        {"id": "reads", "tags": [{"tag": "frost-hardi", "on": "plant"}]} | MOSS,
    )
    assert lines(rules) == [
        "a.yaml:rules/0/conclude/tag: warning: no rule reads the tag 'frost-hardy' — "
        "did you mean 'frost-hardi'? (tag-not-read)",
        "a.yaml:rules/1/tags/0/tag: no rule concludes the tag 'frost-hardi' — "
        "did you mean 'frost-hardy'? (tag-not-concluded)",
    ]


def test_cycles_of_tags_are_allowed(fields: Fields) -> None:
    def follows(made: str, needed: str) -> dict[str, Any]:
        return {"id": made, "tags": [{"tag": needed, "on": "plant"}], "conclude": {"tag": made, "on": "plant"}} | MOSS

    assert lines(parsed(fields, "plant.traits", "a.yaml", follows("x", "y"), follows("y", "x"))) == []


@pytest.mark.parametrize(
    ("test", "dual", "wanted"),
    [
        ({"night_low": {"below": 5}}, {"night_low": {"at-least": 5}}, ""),
        ({"night_low": {"at-most": 5}}, {"night_low": {"above": 5}}, ""),
        ({"habit": "moss"}, {"habit": {"is-not": "moss"}}, ""),
        ({"habit": {"one-of": ["moss", "clump"]}}, {"habit": {"none-of": ["clump", "moss"]}}, ""),
        ({"habit": "moss"}, {"habit": {"none-of": ["moss"]}}, ""),
        ({"night_low": {"below": 5}}, {"night_low": {"above": 5}}, "night_low at-least 5"),
        ({"night_low": {"below": 5}}, {"night_low": {"at-least": 5.5}}, "night_low at-least 5"),
        ({"night_low": {"below": 5}}, {"rest_weeks": {"at-least": 5}}, "night_low at-least 5"),
        ({"habit": {"one-of": ["moss", "clump"]}}, {"habit": {"is-not": "moss"}}, "habit none-of moss, clump"),
    ],
)
def test_duals_are_exact(fields: Fields, test: Any, dual: Any, wanted: str) -> None:
    rules = parsed(
        fields,
        "plant.traits",
        "a.yaml",
        {"id": "it", "when": [test]},
        {"id": "not-it", "when": [dual], "dual-of": "it"},
    )
    message = f"a.yaml:rules/1/when: 'not-it' is not the complement of 'it' ({rules[0].when[0]})"
    assert lines(rules) == ([f"{message} — for plant.traits, test: {wanted} (dual-not-exact)"] if wanted else [])


def test_duals_that_cannot_be_compared(fields: Fields) -> None:
    both = {"when": [{"habit": "moss"}, {"night_low": {"below": 5}}]}
    rules = parsed(
        fields,
        "plant.traits",
        "a.yaml",
        {"id": "it"} | both,
        {"id": "not-it", "dual-of": "it"} | MOSS,
        {"id": "x", "dual-of": "itt"} | MOSS,
    )
    assert lines(rules) == [
        "a.yaml:rules/1/dual-of: 'not-it' and 'it' are not single tests, so their duality cannot be checked — "
        "conclude a tag from one test, and its dual from the opposite test (dual-not-single)",
        "a.yaml:rules/2/dual-of: no rule 'itt' — did you mean 'it'? (unknown-dual)",
    ]


@pytest.mark.parametrize(
    ("test", "hint"),
    [
        ({"min_drop_window": {"below": 3}}, ""),
        ({"max_height": {"above": 30}}, ""),
        ({"headroom": {"below": 30}}, ""),
        ({"min_drop_window": {"at-least": 3}}, "test min_drop_window with below or at-most, or lower the severity"),
        ({"max_height": {"below": 30}}, "test max_height with above or at-least, or lower the severity"),
        ({"count_weedy": {"at-most": 1}}, "test count_weedy with above or at-least, or lower the severity"),
    ],
)
def test_blockers_on_aggregates_are_monotone(fields: Fields, test: Any, hint: str) -> None:
    blocker = {"severity": "blocker", "says": "too bad"}
    apart = {"any": [[{"headroom": {"below": 9}}], [test]]}
    name = next(iter(test))
    for when, path in (([test], f"when/0/{name}"), ([apart], f"when/0/any/1/0/{name}")):
        rules = parsed(fields, "case.group", "a.yaml", {"id": "r", "when": when, "finding": blocker})
        found = lines(rules)
        assert len(found) == bool(hint)
        assert all(line.startswith(f"a.yaml:rules/0/{path}: a blocker may not rest on '{name} ") for line in found)
        assert all(line.endswith(f" — {hint} (aggregate-not-monotone)") for line in found)
        assert lines(parsed(fields, "case.group", "a.yaml", {"id": "r", "when": when})) == []


def test_blockers_through_tags_are_monotone_too(fields: Fields) -> None:
    tag = {"tag": "low", "on": "case"}
    rules = parsed(
        fields,
        "case.group",
        "a.yaml",
        {"id": "makes", "when": [{"max_height": {"below": 3}}], "conclude": tag},
        {
            "id": "blocks",
            "when": [{"headroom": {"below": 9}}],
            "tags": [tag],
            "finding": {"severity": "blocker", "says": "too bad"},
        },
    )
    assert [problem.path for problem in check(rules)] == [("rules", 0, "when", 0, "max_height")]


def example_lines(fields: Fields, rule: dict[str, Any], fires: Any, misses: Any) -> list[str]:
    rules = parsed(fields, "month.air", "a.yaml", rule | {"examples": {"fires": fires, "near-miss": misses}})
    return [str(problem) for problem in run_examples(rules, fields)]


def test_sound_examples(fields: Fields, cold_night: Any) -> None:
    rules, _ = parse({"for": "month.air", "rules": [cold_night]}, fields)
    assert run_examples(rules, fields) == []


def test_examples_that_do_not_do_what_they_say(fields: Fields) -> None:
    rule = {"id": "r", "when": [{"night_margin": {"below": 0}}, {"phase": "growth"}]}
    fires = [
        {"name": "too warm", "night_margin": 1, "phase": "growth"},
        {"name": "half told", "night_margin": -1},
        {"night_margin": [-1, 1], "phase": "growth"},
    ]
    misses = [
        {"name": "cold", "night_margin": -1, "phase": "growth"},
        {"name": "untold", "phase": "growth"},
        {"name": "touching", "night_margin": 0},
    ]
    hint = "name or change that value, or mend the rule (example-does-not-fire)"
    assert example_lines(fields, rule, fires, misses) == [
        "a.yaml:rules/0/examples/fires/0: example 'too warm' of 'r' does not fire: "
        f"'night_margin below 0' does not hold with certainty (night_margin is 1) — {hint}",
        "a.yaml:rules/0/examples/fires/1: example 'half told' of 'r' does not fire: "
        f"'phase is growth' does not hold with certainty (phase is unknown) — {hint}",
        "a.yaml:rules/0/examples/fires/2: example '2' of 'r' does not fire: "
        f"'night_margin below 0' does not hold with certainty (night_margin is −1 to 1) — {hint}",
        "a.yaml:rules/0/examples/near-miss/0: near miss 'cold' of 'r' fires — "
        "name every field of at least one test that fails (near-miss-fires)",
        "a.yaml:rules/0/examples/near-miss/1: near miss 'untold' of 'r' may still fire, for all it names — "
        "name every field of at least one test that fails (near-miss-fires)",
    ]


def test_tags_in_examples_hold_unless_told_otherwise(fields: Fields) -> None:
    rule = {
        "id": "r",
        "when": [{"phase": "growth"}],
        "tags": [{"tag": "wet", "on": "plant"}, {"tag": "cold", "on": "month"}],
    }
    grows = {"phase": "growth"}
    fires = [grows, grows | {"tags": ["wet", "cold"]}, grows | {"name": "dry", "tags": ["cold"]}]
    misses = [grows | {"tags": ["wet"]}, grows | {"tags": []}, {"phase": "rest"}]
    assert example_lines(fields, rule, fires, misses) == [
        "a.yaml:rules/0/examples/fires/2: example 'dry' of 'r' does not fire: the tag 'wet' does not hold — "
        "name or change that value, or mend the rule (example-does-not-fire)"
    ]


@pytest.mark.parametrize(
    ("template", "filled"),
    [
        ("{point}", "12"),
        ("{range:degC}", "12–14.5 °C"),
        ("{cold:degC}", "−3 to 5 °C"),
        ("{frost:degC}", "−3 °C"),
        ("{unknown:K}", "unknown"),
        ("{upto:cm}", "at most 5 cm"),
        ("{from:%}", "at least 5 %"),
        ("{point:pH}", "pH 12"),
        ("{one:weeks}, {point:weeks}", "1 week, 12 weeks"),
        ("{point:mol m-2 d-1}", "12 mol/m²/day"),
        ("{point:1} times", "12 times"),
        ("{zero:h}", "0 h"),
        ("{word} and {nobody}", "wet and unknown"),
        ("{plant} keeps", "Dionaea muscipula keeps"),
    ],
)
def test_sentences_are_filled(template: str, filled: str) -> None:
    row = {
        "point": (12.0, 12.0),
        "range": (12.0, 14.5),
        "cold": (-3.0, 5.0),
        "frost": (-3.0, -3.0),
        "unknown": UNBOUNDED,
        "upto": (-1e9, 5.0),
        "from": (5.0, 1e9),
        "one": (1.0, 1.0),
        "zero": (-0.0, 0.0),
        "word": "wet",
        "nobody": "?",
        "plant": "trap",
    }
    assert fill(template, row, {"trap": "Dionaea muscipula"}) == filled
