"""Every resolved claim of every profiled plant as one JSON file, described by ``schemas/knowledge.schema.json``."""

from __future__ import annotations

import json
from typing import Any

from bogwright.judge.bench import Bench
from bogwright.knowledge.edition import Edition
from bogwright.report.plant import plant_content

LICENCE = "CC-BY-4.0"
SCHEMA = "knowledge.schema.json"


def knowledge_content(bench: Bench, edition: Edition) -> dict[str, Any]:
    """The whole file as plain data; each plant is what ``bogwright plant --json`` prints of it."""
    dated = {"date": edition.date} if edition.date else {}
    return {
        "title": "Bogwright: what carnivorous plants ask of an enclosure",
        "licence": LICENCE,
        "schema": SCHEMA,
        "edition": {"hash": edition.hash, **dated},
        "plants": [plant_content(bench, taxon.id) for taxon in bench.base.taxa()],
    }


def knowledge_json(content: dict[str, Any]) -> bytes:
    """The file, one plant a line."""
    head = json.dumps({key: part for key, part in content.items() if key != "plants"}, ensure_ascii=False, indent=1)
    plants = (json.dumps(plant, ensure_ascii=False, separators=(",", ":")) for plant in content["plants"])
    return (head[:-2] + ',\n "plants": [\n' + ",\n".join(plants) + "\n]}\n").encode()
