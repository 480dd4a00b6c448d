"""The sources as CSL-JSON, which reference managers read."""

from __future__ import annotations

import json
from typing import Any

from bogwright.knowledge import KnowledgeBase


def csl_items(base: KnowledgeBase) -> list[dict[str, Any]]:
    """The items by id, as the files have them, with the day of reading as CSL's own ``accessed`` as well."""
    return [_item(source) for _, source in sorted(base.sources().items())]


def csl_json(items: list[dict[str, Any]]) -> bytes:
    """The file, one source a line."""
    lines = (json.dumps(item, ensure_ascii=False, separators=(",", ":")) for item in items)
    return ("[\n" + ",\n".join(lines) + "\n]\n").encode()


def _item(source: dict[str, Any]) -> dict[str, Any]:
    read = [int(part) for part in source["custom"]["read"].split("-")]
    kept = {key: part for key, part in source.items() if key != "custom"}
    return {**kept, "accessed": {"date-parts": [read]}, "custom": source["custom"]}
