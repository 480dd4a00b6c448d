"""In which order the schema lists the keys of each mapping: data files keep to it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path as FilePath
from typing import Any

from .documents import Document, Path, Record
from .problems import Problem, quoted
from .validating import SUFFIX, schema_files

_Schemas = list[tuple[str, Any]]  # (name of the file a schema stands in, schema)


class KeyOrder:
    """The order of keys by kind of file. Maps whose keys are free have none."""

    def __init__(self, folder: FilePath) -> None:
        paths = schema_files(folder)
        self._files = {path.name: json.loads(path.read_bytes()) for path in paths}

    def check(self, document: Document | Record, kind: str) -> Iterator[Problem]:
        """A warning for each mapping whose keys stand in another order, at the first key that is out of place."""
        name = f"{kind}{SUFFIX}"
        if name in self._files:
            yield from self._walk(document, document.data, (), [(name, self._files[name])])

    def _walk(self, document: Document | Record, data: Any, path: Path, schemas: _Schemas) -> Iterator[Problem]:
        schemas = list(self._expanded(schemas))
        if isinstance(data, list):
            items = [(name, schema["items"]) for name, schema in schemas if isinstance(schema.get("items"), dict)]
            for index, item in enumerate(data):
                yield from self._walk(document, item, (*path, index), items)
        elif isinstance(data, dict):
            order = list(dict.fromkeys(key for _, schema in schemas for key in schema.get("properties", ())))
            yield from _misplaced(document, data, path, order)
            for key, value in data.items():
                yield from self._walk(document, value, (*path, key), list(_entry(schemas, key)))

    def _expanded(self, schemas: _Schemas) -> Iterator[tuple[str, Any]]:
        """The schemas with what they refer to; what is referred to comes first."""
        for name, schema in schemas:
            if "$ref" in schema:
                address, _, pointer = schema["$ref"].partition("#")
                file = address.rpartition("/")[2] or name
                target = self._files[file]
                for part in filter(None, pointer.split("/")):
                    target = target[part]
                yield from self._expanded([(file, target)])
            yield name, schema
            for keyword in ("allOf", "oneOf", "anyOf"):
                yield from self._expanded([(name, part) for part in schema.get(keyword, ())])


def _entry(schemas: _Schemas, key: str) -> Iterator[tuple[str, Any]]:
    for name, schema in schemas:
        properties = schema.get("properties", {})
        others = schema.get("additionalProperties")
        if isinstance(properties.get(key), dict):
            yield name, properties[key]
        elif isinstance(others, dict):
            yield name, others


def _misplaced(document: Document | Record, data: dict[str, Any], path: Path, order: list[str]) -> Iterator[Problem]:
    places = {key: place for place, key in enumerate(order)}
    known = [key for key in data if key in places]
    for before, key in pairwise(known):
        if places[key] < places[before]:
            line, column = document.positions.key((*path, key))
            hint = f"the order is: {', '.join(sorted(known, key=places.__getitem__))}"
            message = f"the key {quoted(key)} stands after {quoted(before)}"
            yield Problem(document.file, line, column, message, hint, "key-order", "warning")
            return
