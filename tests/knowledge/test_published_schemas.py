"""The published schemas over all of kb/, as an outsider would use them: plain PyYAML and jsonschema."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from referencing import Registry, Resource

from bogwright.data import kb_folder, schemas_folder
from bogwright.knowledge.reading import read

KINDS = {"profiles": "profile", "sources": "source", "rules": "rule", "plans": "plan"}
SCHEMAS = {
    path.name.removesuffix(".schema.json"): json.loads(path.read_bytes()) for path in schemas_folder().glob("*.json")
}
FILES = sorted(path.relative_to(kb_folder()).as_posix() for path in kb_folder().rglob("*.yaml"))


def _kind(name: str) -> str:
    first = Path(name).parts[0]
    return KINDS.get(first, first.removesuffix(".yaml"))


@pytest.fixture(scope="module")
def validators() -> dict[str, Any]:
    registry: Registry[Any] = Registry().with_resources((s["$id"], Resource.from_contents(s)) for s in SCHEMAS.values())
    return {kind: jsonschema.Draft202012Validator(schema, registry=registry) for kind, schema in SCHEMAS.items()}


@pytest.mark.parametrize("kind", sorted(SCHEMAS))
def test_each_schema_is_one(kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[kind])
    assert SCHEMAS[kind]["$id"].endswith(f"/{kind}.schema.json")


@pytest.mark.parametrize("name", FILES)
def test_an_outsider_reads_the_same_and_finds_nothing(name: str, validators: dict[str, Any]) -> None:
    path = kb_folder() / name
    plain = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert read(path).data == plain
    kind = _kind(name)
    if kind in validators:
        errors = [
            f"{list(error.absolute_path)}: {error.message[:200]}" for error in validators[kind].iter_errors(plain)
        ]
        assert errors == []
