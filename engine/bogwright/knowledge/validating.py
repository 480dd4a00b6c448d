"""Check documents against the JSON Schemas: one message for each mistake, at its place."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import jsonschema
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from .documents import Document
from .problems import Problem
from .schema_errors import Fault, explain

SUFFIX = ".schema.json"


def schema_files(folder: Path) -> list[Path]:
    """The schema files of a folder, sorted."""
    return sorted(folder.glob(f"*{SUFFIX}"))


class Schemas:
    """All schemas of a folder, found by kind of file: ``profile`` is ``profile.schema.json``.

    Schemas refer to one another by ``$id``; nothing is fetched. Each kind is prepared once.
    """

    def __init__(self, folder: Path) -> None:
        contents = {path.name.removesuffix(SUFFIX): _load(path) for path in schema_files(folder)}
        resources = [Resource.from_contents(schema, DRAFT202012) for schema in contents.values()]
        registry: Registry[Any] = Registry().with_resources(
            [(resource.id() or kind, resource) for kind, resource in zip(contents, resources, strict=True)]
        )
        self._validators = {kind: _VALIDATOR(schema, registry=registry) for kind, schema in contents.items()}

    @property
    def kinds(self) -> frozenset[str]:
        """Kinds of file that have a schema."""
        return frozenset(self._validators)

    def check(self, document: Document, kind: str) -> list[Problem]:
        """What is wrong with a document of this kind, its YAML problems included; sorted.

        A place that was already refused as YAML gets no second message from the schema.
        """
        problems = list(document.problems)
        if document.readable:
            refused = {(problem.line, problem.column) for problem in problems}
            problems += [p for p in self._schema_problems(document, kind) if (p.line, p.column) not in refused]
        return sorted(problems)

    def _schema_problems(self, document: Document, kind: str) -> Iterator[Problem]:
        errors: Iterable[Any] = self._validators[kind].iter_errors(document.data)
        for fault in explain(list(errors)):
            yield _problem(document, fault)


def _load(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def _problem(document: Document, fault: Fault) -> Problem:
    if fault.key is not None:
        line, column = document.positions.key((*fault.path, fault.key))
    elif fault.missing:
        line, column = document.positions.key(fault.path)
    else:
        line, column = document.positions.value(fault.path)
    return Problem(document.file, line, column, fault.message, fault.hint, fault.code)


def _if(validator: Any, condition: Any, instance: Any, schema: Any) -> Iterator[Any]:
    """The keyword ``if``, with a note on each error of which keys the condition looked at.

    When such a key is itself wrong or missing, the branch taken is an accident and its errors are noise.
    """
    branch = "then" if validator.evolve(schema=condition).is_valid(instance) else "else"
    if branch not in schema:
        return
    keys = frozenset(condition.get("required", ())) | frozenset(condition.get("properties", ()))
    for error in validator.descend(instance, schema[branch], schema_path=branch):
        noted: list[Any] = getattr(error, "conditions", [])
        error.conditions = [*noted, (len(error.relative_path), keys, branch)]
        yield error


_EXTEND: Any = jsonschema.validators.extend
_VALIDATOR = _EXTEND(jsonschema.Draft202012Validator, {"if": _if})
