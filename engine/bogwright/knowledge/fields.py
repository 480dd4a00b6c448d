"""The fields of a profile as its schema declares them: kind of claim, unit, range, words."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

_CLAIM = "claim.schema.json#/$defs/"
_LOCAL = "#/"
ANY = "*"


@dataclass(frozen=True, slots=True)
class Field:
    """A field that holds a claim.

    path : dotted; ``*`` stands for the keys of a map (``year.ways.*.rests.*.weeks``).
    kind : band, range, word, words, text, months, season, count or steps. unit : as the schema writes it, or None.
    bounds : least and most a number may be, or None. words : the closed list, empty where there is none.
    """

    path: str
    kind: str
    title: str
    unit: str | None
    bounds: tuple[float, float] | None
    words: tuple[str, ...]


Node: TypeAlias = "Field | dict[str, Node]"


class Fields:
    """The field table, read from ``profile.schema.json``; the schema is the one truth for it."""

    def __init__(self, schema: Any) -> None:
        self._schema = schema
        self._tree = self._properties(schema, ())

    @classmethod
    def load(cls, schemas: Path) -> Fields:
        """From the folder of schemas. Raises OSError, json.JSONDecodeError."""
        return cls(json.loads((schemas / "profile.schema.json").read_bytes()))

    def get(self, path: str) -> Field | None:
        """The field at a dotted path with its real map keys, or None if no claim is kept there."""
        node: Node | None = self._tree
        for part in path.split("."):
            if not isinstance(node, dict):
                return None
            node = node.get(part) or node.get(ANY)
        return node if isinstance(node, Field) else None

    def below(self, path: str) -> Sequence[Field]:
        """All fields at or below a dotted path, in the order of the schema."""
        node: Node | None = self._tree
        for part in path.split(".") if path else ():
            node = (node.get(part) or node.get(ANY)) if isinstance(node, dict) else None
        return list(_leaves(node)) if node is not None else []

    def _properties(self, schema: Any, path: tuple[str, ...]) -> dict[str, Node]:
        entries: dict[str, Any] = dict(schema.get("properties", {}))
        if isinstance(schema.get("additionalProperties"), dict):
            entries[ANY] = schema["additionalProperties"]
        tree: dict[str, Node] = {}
        for key, part in entries.items():
            node = self._node(part, (*path, key))
            if node:
                tree[key] = node
        return tree

    def _node(self, schema: Any, path: tuple[str, ...]) -> Node | None:
        reference = schema.get("$ref", "")
        if reference.startswith(_CLAIM):
            name = reference.removeprefix(_CLAIM)
            return self._field(name.removesuffix("-claim"), schema, path) if name.endswith("-claim") else None
        if reference.startswith(_LOCAL):
            return self._node(self._local(reference), path)
        tree = self._properties(schema, path)
        for alternative in schema.get("oneOf", ()):
            node = self._node(alternative, path)
            if isinstance(node, dict):
                tree.update(node)
        return tree or None

    def _field(self, kind: str, schema: Any, path: tuple[str, ...]) -> Field:
        value = schema.get("properties", {}).get("value", {})
        reference = value.get("$ref") or value.get("items", {}).get("$ref")
        words = self._local(reference)["enum"] if reference else ()
        bounds = schema.get("x-range")
        return Field(
            ".".join(path),
            kind,
            schema.get("x-title", path[-1]),
            schema.get("x-unit"),
            (float(bounds[0]), float(bounds[1])) if bounds else None,
            tuple(words),
        )

    def _local(self, reference: str) -> Any:
        node = self._schema
        for part in reference.removeprefix(_LOCAL).split("/"):
            node = node[part]
        return node


def _leaves(node: Node) -> Iterator[Field]:
    if isinstance(node, Field):
        yield node
    else:
        for part in node.values():
            yield from _leaves(part)
