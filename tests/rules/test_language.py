"""Reading rule files: what a sound one becomes, and each message with its place and wording.

The same broken inputs are held against the published schema, so that an editor and the parser do not drift apart.
"""

from __future__ import annotations

import copy
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from bogwright.rules import Fields, FieldsError, load_fields, parse
from bogwright.rules import language, model, reading
from bogwright.rules.model import AnyOf, Finding, Leaf, TagOn

SCHEMAS = Path(__file__).parents[2] / "schemas"
GONE = object()


def schema(name: str) -> Any:
    return json.loads((SCHEMAS / f"{name}.schema.json").read_text("utf-8"))


def place(path: tuple[Any, ...]) -> str:
    """Stands in for a YAML reader: the path itself is the place."""
    return "air.yaml:" + "/".join(map(str, path))


def messages(data: Any, fields: Fields) -> list[str]:
    return [str(problem) for problem in parse(data, fields, place)[1]]


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    documents = [schema(name) for name in ("rule", "claim")]
    registry: Any = Registry().with_resources([(one["$id"], Resource.from_contents(one)) for one in documents])
    return Draft202012Validator(documents[0], registry=registry)


def test_a_sound_rule(fields: Fields, cold_night: Any, validator: Draft202012Validator) -> None:
    data = {"for": "month.air", "rules": [cold_night]}
    validator.validate(data)
    (rule,), problems = parse(data, fields)
    assert problems == []
    assert rule.kind == "month.air"
    assert rule.when == (
        Leaf("night_margin", "below", bound=0.0),
        AnyOf(((Leaf("phase", "one-of", words=("growth",)),), (Leaf("outside_low", "one-of", words=("decline", "death")),))),
    )  # fmt: skip
    assert [list(map(str, one)) for one in rule.conjunctions] == [
        ["night_margin below 0", "phase is growth"],
        ["night_margin below 0", "outside_low one-of decline, death"],
    ]
    assert isinstance(rule.finding, Finding)
    assert (rule.finding.by, rule.finding.worst, rule.finding.axis) == ("outside_low", "blocker", "temperature_night")
    assert (rule.if_unknown, rule.disputed, rule.basis, rule.sources) == ("withhold", False, "common-practice", ())
    assert rule.fires[0].values["night_margin"] == (-8.0, -6.0)
    assert rule.near_misses[0].values == {"night_margin": (0.0, 0.0)}


def test_tags_sources_and_conclusions(fields: Fields, cold_night: Any, validator: Draft202012Validator) -> None:
    for key in ("finding", "if-unknown"):
        del cold_night[key]
    cold_night |= {
        "tags": [{"tag": "resting", "on": "plant"}],
        "conclude": {"tag": "chilled", "on": "month"},
        "disputed": True,
        "dual-of": "night-fine",
        "basis": "published",
        "sources": [{"id": "some-guide", "locator": "p. 4", "as_stated": "below 40 °F"}],
    }
    data = {"for": "month.air", "rules": [cold_night]}
    validator.validate(data)
    (rule,), problems = parse(data, fields)
    assert problems == []
    assert (rule.tags, rule.conclude) == ((TagOn("resting", "plant"),), TagOn("chilled", "month"))
    assert (rule.disputed, rule.dual_of, rule.sources[0]["locator"]) == (True, "night-fine", "p. 4")


# Path to change in the sound rule, new value, whether the schema sees it too, the expected lines without their file.
BROKEN: list[tuple[str, Any, bool, list[str]]] = [
    ("id", GONE, True, ["rules/0: the rule lacks 'id' — add id: (missing-key)"]),
    ("id", "Night Cold", True, ["rules/0/id: id cannot be 'Night Cold' — lower-case words joined by hyphens (bad-id)"]),
    ("title", True, True, ["rules/0/title: title should be a text, not true — write a sentence, in quotes if need be (wrong-type)"]),
    ("why", GONE, True, ["rules/0: rule 'night-too-cold' lacks 'why' — add why: (missing-key)"]),
    ("wen", [], True, ["rules/0/wen: unknown key 'wen' in rule 'night-too-cold' — known: id, title, when, tags, finding, conclude, "
                       "if-unknown, disputed, dual-of, why, basis, sources, examples (unknown-key)"]),
    ("basis", "hearsay", True, ["rules/0/basis: basis cannot be 'hearsay' — published, common-practice or from-memory (unknown-word)"]),
    ("basis", "published", True, ["rules/0/basis: a published rule names at least one source that was read — "
                                  "add sources: [{id, locator, as_stated}], or another basis (no-source)"]),
    ("sources", [{"id": "a", "locator": "p. 4", "as_stated": "cold"}], True, [
        "rules/0/sources: only a published rule carries sources — set basis: published, or remove them (idle-source)"]),
    ("disputed", False, True, ["rules/0/disputed: disputed can only be true — remove the line (wrong-type)"]),
    ("disputed", True, False, ["rules/0/if-unknown: a disputed rule cannot withhold the verdict: it may decide nothing alone — "
                               "remove it, or settle the dispute (disputed-decides)"]),
    ("if-unknown", "askk", True, ["rules/0/if-unknown: if-unknown cannot be 'askk' — did you mean 'ask'? (unknown-word)"]),
    ("conclude", {"tag": "t", "on": "plant"}, True, [
        "rules/0/conclude: rule 'night-too-cold' has a finding and concludes a tag — "
        "write two rules: one that concludes, one that reads the tag (two-outcomes)"]),
    ("finding", GONE, True, [
        "rules/0: rule 'night-too-cold' has no outcome — add finding: or conclude: (missing-key)",
        "rules/0/if-unknown: rule 'night-too-cold' has if-unknown but no finding — remove it; it belongs to a finding (idle-if-unknown)"]),
    ("when", [], True, ["rules/0/when: when should be a list of conditions, not [] — - FIELD: test (wrong-type)"]),
    ("when/0", "night_margin", True, ["rules/0/when/0: a condition should be a map, not 'night_margin' — - FIELD: test; one field an item (wrong-type)"]),
    ("when/0", {"night_margn": {"below": 0}}, False, [
        "rules/0/when/0/night_margn: month.air has no field 'night_margn' — did you mean 'night_margin'? (unknown-field)"]),
    ("when/0", {"night_margin": {"below": 0}, "phase": "rest"}, True, [
        "rules/0/when/0: a condition tests one field, this one 2 — write an item for each (two-in-one)"]),
    ("when/0", {"night_margin": 3}, True, [
        "rules/0/when/0/night_margin: night_margin is a number and cannot be tested with 'is' — "
        "night_margin: {at-least: 3}; below, at-most, at-least or above; no equality (bad-test)"]),
    ("when/0", {"night_margin": {"atleast": 3}}, True, [
        "rules/0/when/0/night_margin: night_margin is a number and cannot be tested with 'atleast' — did you mean 'at-least'? (bad-test)"]),
    ("when/0", {"night_margin": {"below": "0"}}, True, [
        "rules/0/when/0/night_margin/below: '0' is not a number — write digits, without quotes or unit (not-a-number)"]),
    ("when/0", {"night_margin": {"below": 1e9}}, True, [
        "rules/0/when/0/night_margin/below: 1000000000.0 is out of range — between -1e9 and 1e9 (not-a-number)"]),
    ("when/0", {"night_margin": {"below": 0.00001}}, False, [
        "rules/0/when/0/night_margin/below: 1e-05 has more than four decimals — round it (not-a-number)"]),
    ("when/0", {"plant": "trap"}, False, [
        "rules/0/when/0/plant: plant is a key and cannot be tested — test a trait of it, or join a tag on it (key-tested)"]),
    ("when/0", {"phase": "grwth"}, False, ["rules/0/when/0/phase: phase cannot be 'grwth' — did you mean 'growth'? (unknown-word)"]),
    ("when/0", {"phase": "?"}, True, [
        "rules/0/when/0/phase: a rule cannot test for \"?\" — certain and possible take care of unknowns (tests-unknown)"]),
    ("when/0", {"phase": False}, True, [
        "rules/0/when/0/phase: phase holds words, not false — a word, in quotes if YAML alters it (wrong-type)"]),
    ("when/0", {"phase": {"below": 3}}, False, [
        "rules/0/when/0/phase: phase holds words and cannot be tested with 'below' — phase: WORD; or is-not, one-of or none-of (bad-test)"]),
    ("when/0", {"phase": {"one-of": "rest"}}, True, [
        "rules/0/when/0/phase/one-of: one-of needs a list of words, not 'rest' — one-of: [WORD, WORD] (wrong-type)"]),
    ("when/0", {"outside_low": {"one-of": ["death", "death"]}}, True, [
        "rules/0/when/0/outside_low/one-of: a word stands twice — remove one (idle-test)"]),
    ("when/0", {"phase": {"one-of": ["growth", "rest"]}}, False, [
        "rules/0/when/0/phase/one-of: these are all the words of phase — remove the test; it tells nothing apart (idle-test)"]),
    ("when/1", {"any": [[{"phase": "rest"}]]}, True, [
        "rules/0/when/1/any: any should be two or more lists of tests — any: [[{FIELD: test}], [{FIELD: test}, {FIELD: test}]] (wrong-type)"]),
    ("when/1/any/0/0", {"any": [[{"phase": "rest"}], [{"phase": "growth"}]]}, True, [
        "rules/0/when/1/any/0/0/any: any inside any — write the alternatives out, or conclude a tag (nested-any)"]),
    ("when/1/any/1/0", {"phas": "rest"}, False, [
        "rules/0/when/1/any/1/0/phas: month.air has no field 'phas' — did you mean 'phase'? (unknown-field)"]),
    ("when/1/phase", "rest", True, ["rules/0/when/1: any stands beside other tests — make it an item of its own (two-in-one)"]),
    ("when", [{"night_margin": {"below": i}} for i in range(13)], False, [
        "rules/0/when: 13 tests must hold together, 12 at most — conclude a tag from some of them (too-many-tests)"]),
    ("when", [{"any": [[{"phase": "rest"}], [{"night_drop": {"below": i}}]]} for i in range(5)], False, [
        "rules/0/when: the alternatives multiply to 32, 16 at most — split the rule (too-many-alternatives)"]),
    ("tags", [], True, ["rules/0/tags: tags should be a list, not [] — - {tag: NAME, on: KEYFIELD} (wrong-type)"]),
    ("tags", [{"tag": name, "on": "plant"} for name in "abc"], True, [
        "rules/0/tags: 3 tags, 2 at most — conclude a tag from two of them (too-many-tags)"]),
    ("tags", [{"tag": "x", "on": "phase"}], False, [
        "rules/0/tags/0/on: phase is not a key — keys of month.air: plant, month (not-a-key)"]),
    ("tags", [{"tag": "x"}], True, ["rules/0/tags/0: the tag lacks 'on' — add on: (missing-key)"]),
    ("finding/severity", "fatal", True, ["rules/0/finding/severity: severity cannot be 'fatal' — note, caution, condition or blocker (unknown-word)"]),
    ("finding/severity", "note", False, [
        "rules/0/if-unknown: withhold is for blockers only, and this rule never blocks — remove it, or make the severity a blocker (idle-if-unknown)"]),
    ("finding/severity/words/slow", GONE, False, ["rules/0/finding/severity/words: no severity for slow — say what each word means (bad-severity)"]),
    ("finding/severity/words/slow", "mild", True, [
        "rules/0/finding/severity/words/slow: severity cannot be 'mild' — note, caution, condition or blocker (unknown-word)"]),
    ("finding/severity/by", "night_drop", False, [
        "rules/0/finding/severity/by: night_drop has no closed list of words — choose a word field (bad-severity)"]),
    ("finding/cap", "sound", True, ["rules/0/finding/cap: cap cannot be 'sound' — conditional or unproven (unknown-word)"]),
    ("finding/axis", "Night", True, ["rules/0/finding/axis: axis cannot be 'Night' — lower-case words joined by _ (bad-id)"]),
    ("finding/says", GONE, True, ["rules/0/finding: the finding lacks 'says' — add says: (missing-key)"]),
    ("finding/sayss", "so be it", True, ["rules/0/finding/sayss: unknown key 'sayss' in the finding — known: severity, axis, says, do, cap (unknown-key)"]),
    ("finding/says", "cold by {night_margn}", False, [
        "rules/0/finding/says: month.air has no field 'night_margn' — did you mean 'night_margin'? (unknown-field)"]),
    ("finding/says", "cold by {night_margin:degC}", False, ["rules/0/finding/says: night_margin is not in degC — write {night_margin:K} (wrong-unit)"]),
    ("finding/do", "warm {plant:K}", False, ["rules/0/finding/do: plant is not in K — write {plant} (wrong-unit)"]),
    ("finding/says", "cold by {night_margin", False, [
        "rules/0/finding/says: a brace without its partner in says — write {field} or {field:unit} (bad-template)"]),
    ("examples", {"fires": [{}]}, True, ["rules/0/examples: examples lacks 'near-miss' — add near-miss: (missing-key)"]),
    ("examples/fires", [], True, ["rules/0/examples/fires: fires should list at least one example — - {FIELD: value} (wrong-type)"]),
    ("examples/fires/0/night_margin", [3, 1], False, ["rules/0/examples/fires/0/night_margin: 3 to 1 runs backwards — [low, high] (not-a-number)"]),
    ("examples/fires/0/night_margin", "cold", False, [
        "rules/0/examples/fires/0/night_margin: 'cold' is not a number — write digits, without quotes or unit (not-a-number)"]),
    ("examples/fires/0/phaze", "rest", False, [
        "rules/0/examples/fires/0/phaze: month.air has no field 'phaze' — did you mean 'phase'? (unknown-field)"]),
    ("examples/near-miss/0/phase", "resting", False, [
        "rules/0/examples/near-miss/0/phase: phase cannot be 'resting' — did you mean 'rest'? (unknown-word)"]),
    ("examples/fires/0/tags", ["resting"], False, ["rules/0/examples/fires/0/tags: the rule reads no tag 'resting' — reads: none (unknown-tag)"]),
]  # fmt: skip


@pytest.mark.parametrize(("where", "value", "seen_by_schema", "expected"), BROKEN, ids=[f"{one[0]}-{n}" for n, one in enumerate(BROKEN)])  # fmt: skip
def test_each_message_with_its_place(
    fields: Fields, cold_night: Any, validator: Any, where: str, value: Any, seen_by_schema: bool, expected: list[str]
) -> None:
    *parents, last = [int(key) if key.isdigit() else key for key in where.split("/")]
    target = cold_night
    for key in parents:
        target = target[key]
    if value is GONE:
        del target[last]
    else:
        target[last] = value
    data = {"for": "month.air", "rules": [cold_night]}
    assert messages(data, fields) == [f"air.yaml:{line}" for line in expected]
    assert parse(data, fields)[0] == []
    assert validator.is_valid(data) is not seen_by_schema


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        ([], ["air.yaml:: a rule file should be a map, not [] — write for: KIND.TOPIC and rules: [...] (wrong-type)"]),
        ({"for": "month.air"}, ["air.yaml:: the file lacks 'rules' — add rules: (missing-key)"]),
        ({"for": "month.air", "rules": []}, ["air.yaml:rules: rules should be a list of at least one rule — - id: … (wrong-type)"]),
        ({"for": "month.air", "rules": ["x"]}, ["air.yaml:rules/0: a rule should be a map, not 'x' — - id: … (wrong-type)"]),
        ({"for": "month.ayr", "rules": [{}]}, ["air.yaml:for: unknown row kind 'month.ayr' — did you mean 'month.air'? (unknown-kind)"]),
        ({"four": "month.air", "rules": [{}]}, ["air.yaml:four: unknown key 'four' in the file — did you mean 'for'? (unknown-key)"]),
    ],
)  # fmt: skip
def test_files_that_are_no_rule_files(fields: Fields, validator: Any, data: Any, expected: list[str]) -> None:
    assert messages(data, fields) == expected
    assert not validator.is_valid(data)


def test_a_file_holds_thirty_rules(fields: Fields, cold_night: Any, validator: Any) -> None:
    data = {"for": "month.air", "rules": [cold_night | {"id": f"r-{n}"} for n in range(31)]}
    assert messages(data, fields) == [
        "air.yaml:rules/30: 31 rules in one file, 30 at most — split the file by topic (too-many-rules)"
    ]
    assert not validator.is_valid(data)


def test_all_problems_at_once_and_sound_rules_stand(fields: Fields, cold_night: Any) -> None:
    broken = copy.deepcopy(cold_night) | {
        "id": "broken",
        "basis": "hearsay",
        "when": [{"phase": "x"}, {"night_drop": 3}],
    }
    rules, problems = parse({"for": "month.air", "rules": [broken, cold_night]}, fields, place)
    assert [rule.id for rule in rules] == ["night-too-cold"]
    assert sorted(problem.code for problem in problems) == ["bad-test", "unknown-word", "unknown-word"]
    assert {problem.path[:2] for problem in problems} == {("rules", 0)}


def test_nonsense_of_any_shape_is_reported_and_never_crashes(fields: Fields, cold_night: Any) -> None:
    nonsense: list[Any] = [None, True, 3, float("nan"), "x", [], [[]], {}, {"a": 1}, {1: 2}, [None], [{}], {"any": 1}]

    def places(value: Any, path: tuple[Any, ...] = ()) -> Any:
        if path:
            yield path
        items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        for key, inner in items:
            yield from places(inner, (*path, key))

    for path in list(places(cold_night)):
        for value in nonsense:
            rule = copy.deepcopy(cold_night)
            target = rule
            for key in path[:-1]:
                target = target[key]
            target[path[-1]] = value
            rules, problems = parse({"for": "month.air", "rules": [rule]}, fields, place)
            assert len(rules) + bool(problems) == 1, (path, value)


def test_schema_and_parser_know_the_same_keys_and_words() -> None:
    rule = schema("rule")["$defs"]
    assert tuple(rule["rule"]["properties"]) == language.RULE_KEYS
    assert tuple(rule["rule"]["required"]) == language.REQUIRED
    assert tuple(rule["finding"]["properties"]) == language.FINDING_KEYS
    assert sorted(rule["severity-word"]["enum"]) == sorted(model.SEVERITIES)
    assert sorted(rule["rule"]["properties"]["if-unknown"]["enum"]) == sorted(language.IF_UNKNOWN)
    assert sorted(rule["finding"]["properties"]["cap"]["enum"]) == sorted(language.CAPS)
    assert set(rule["test"]["properties"]) == {*model.ORDERINGS, *reading.WORD_TESTS}
    assert tuple(rule["example"]["properties"]) == language.EXAMPLE_KEYS
    assert schema("rule")["properties"]["rules"]["maxItems"] == language.MAX_RULES
    assert rule["rule"]["properties"]["tags"]["maxItems"] == language.MAX_TAGS
    claim = schema("claim")["$defs"]
    assert sorted(claim["basis"]["enum"]) == sorted(language.BASES)
    assert tuple(claim["source-ref"]["properties"]) == language.SOURCE_KEYS


def test_published_schemas_are_sound_and_readable() -> None:
    for name in ("rule", "fields"):
        Draft202012Validator.check_schema(schema(name))
    document = schema("fields")
    kinds = load_fields(document).kinds
    assert set(kinds) == {name for name in document["$defs"] if "." in name}
    assert all(kind.title and kind.of and kind.keys for kind in kinds.values())


def test_rows_can_be_checked_against_the_published_fields() -> None:
    registry: Any = Registry().with_resource("fields", Resource.from_contents(schema("fields")))
    check = Draft202012Validator({"$ref": "fields#/$defs/plant.traits"}, registry=registry)
    kind = load_fields(schema("fields")).kinds["plant.traits"]
    unknown = {"number": [-1e9, 1e9], "word": "?", "free-word": "?", "key": "trap"}
    row = {name: unknown[field.sort] for name, field in kind.fields.items()}
    assert check.is_valid(row)
    key, number = kind.keys[0], next(name for name, field in kind.fields.items() if field.sort == "number")
    for change in ({key: "?"}, {number: [1, 2, 3]}, {"unheard_of": "?"}):
        assert not check.is_valid(row | change)
    assert not check.is_valid({name: value for name, value in row.items() if name != number})


def entry(**properties: Any) -> dict[str, Any]:
    return {"additionalProperties": False, "required": list(properties), "properties": properties}


@pytest.mark.parametrize(
    ("name", "kind", "message"),
    [
        ("house.air", entry(), "'house.air' is not a row kind — plant, pair, place, month, case, work or remedy, a dot and a topic (bad-kind)"),
        ("case.air", entry() | {"additionalProperties": True}, "row kind 'case.air' is not closed"),
        ("case.air", entry(a={"enum": ["x", "?"]}) | {"required": []}, "row kind 'case.air' is not closed"),
        ("case.air", entry(tags={"enum": ["x", "?"]}), "'tags' cannot name a field"),
        ("case.air", entry(Big={"enum": ["x", "?"]}), "'Big' cannot name a field"),
        ("case.air", entry(a={"type": "string"}), "field 'a' is of no known sort"),
        ("case.air", entry(a={"$ref": "#/$defs/number"}), "number 'a' has no unit"),
        ("case.air", entry(a={"enum": ["x"]}), "the words of 'a' are not a closed list"),
        ("case.air", entry(a={"enum": ["x", False, "?"]}), "the words of 'a' are not a closed list"),
    ],
)  # fmt: skip
def test_fields_file_is_checked(name: str, kind: Any, message: str) -> None:
    with pytest.raises(FieldsError) as caught:
        load_fields({"$defs": {"number": {}, name: kind}})
    assert str(caught.value).startswith(message)
    assert len(caught.value.problems) == 1


def test_nothing_heavy_is_imported() -> None:
    code = "import sys, bogwright.rules as r; print(*({'yaml','jsonschema','numpy','networkx','durable','difflib'} & set(sys.modules)))"
    engine = str(SCHEMAS.parent / "engine")
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env={"PYTHONPATH": engine}, check=True
    )
    assert done.stdout.strip() == ""
