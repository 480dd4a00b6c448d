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

from bogwright.rules import Fields, FieldsError, language, load_fields, model, parse, reading
from bogwright.rules.model import AnyOf, Finding, Leaf, TagOn

GROWS = Leaf("phase", "one-of", words=("growth",))
SCHEMAS = Path(__file__).parents[2] / "schemas"


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
        AnyOf(((GROWS,), (Leaf("outside_low", "one-of", words=("decline", "death")),))),
    )
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


# Each names a path to change in the sound rule, the new value, and the messages without their file.
BROKEN = json.loads((Path(__file__).parent / "broken.json").read_text("utf-8"))


@pytest.mark.parametrize(
    "case", BROKEN, ids=[f"{case['messages'][0].rpartition(' ')[2]}-{case['where']}" for case in BROKEN]
)
def test_each_message_with_its_place(fields: Fields, cold_night: Any, validator: Any, case: Any) -> None:
    *parents, last = [int(key) if key.isdigit() else key for key in case["where"].split("/")]
    target = cold_night
    for key in parents:
        target = target[key]
    if "remove" in case:
        del target[last]
    else:
        target[last] = case["value"]
    data = {"for": "month.air", "rules": [cold_night]}
    assert messages(data, fields) == [f"air.yaml:{line}" for line in case["messages"]]
    assert parse(data, fields)[0] == []
    assert validator.is_valid(data) is not case["schema sees it"]


RULES_WANTED = "air.yaml:rules: rules should be a list of at least one rule — - id: … (wrong-type)"


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ([], "air.yaml:: a rule file should be a map, not [] — write for: KIND.TOPIC and rules: [...] (wrong-type)"),
        ({"for": "month.air"}, "air.yaml:: the file lacks 'rules' — add rules: (missing-key)"),
        ({"for": "month.air", "rules": []}, RULES_WANTED),
        (
            {"for": "month.air", "rules": ["x"]},
            "air.yaml:rules/0: a rule should be a map, not 'x' — - id: … (wrong-type)",
        ),
        (
            {"for": "month.ayr", "rules": [{}]},
            "air.yaml:for: unknown row kind 'month.ayr' — did you mean 'month.air'? (unknown-kind)",
        ),
        (
            {"four": "month.air", "rules": [{}]},
            "air.yaml:four: unknown key 'four' in the file — did you mean 'for'? (unknown-key)",
        ),
    ],
)
def test_files_that_are_no_rule_files(fields: Fields, validator: Any, data: Any, message: str) -> None:
    assert messages(data, fields) == [message]
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
    check = Draft202012Validator({"$ref": "fields#/$defs/place.roots"}, registry=registry)
    kind = load_fields(schema("fields")).kinds["place.roots"]
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
        (
            "house.air",
            entry(),
            "'house.air' is not a row kind — plant, pair, place, month, case, work or remedy, a dot and",
        ),
        ("case.air", entry() | {"additionalProperties": True}, "row kind 'case.air' is not closed"),
        ("case.air", entry(a={"enum": ["x", "?"]}) | {"required": []}, "row kind 'case.air' is not closed"),
        ("case.air", entry(tags={"enum": ["x", "?"]}), "'tags' cannot name a field"),
        ("case.air", entry(Big={"enum": ["x", "?"]}), "'Big' cannot name a field"),
        ("case.air", entry(a={"type": "string"}), "field 'a' is of no known sort"),
        ("case.air", entry(a={"$ref": "#/$defs/number"}), "number 'a' has no unit"),
        ("case.air", entry(a={"enum": ["x"]}), "the words of 'a' are not a closed list"),
        ("case.air", entry(a={"enum": ["x", False, "?"]}), "the words of 'a' are not a closed list"),
    ],
)
def test_fields_file_is_checked(name: str, kind: Any, message: str) -> None:
    with pytest.raises(FieldsError) as caught:
        load_fields({"$defs": {"number": {}, name: kind}})
    assert str(caught.value).startswith(message)
    assert len(caught.value.problems) == 1


def test_nothing_heavy_is_imported() -> None:
    heavy = {"yaml", "jsonschema", "numpy", "networkx", "durable", "difflib"}
    code = f"import sys, bogwright.rules; print(*({heavy} & set(sys.modules)))"
    engine = str(SCHEMAS.parent / "engine")
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env={"PYTHONPATH": engine}, check=True
    )
    assert done.stdout.strip() == ""
