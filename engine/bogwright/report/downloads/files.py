"""The files to download, each with what a reader is told of it."""

from __future__ import annotations

import json
from typing import NamedTuple

from bogwright import data
from bogwright.judge.bench import Bench
from bogwright.knowledge.edition import Edition
from bogwright.report.downloads import darwin_core
from bogwright.report.downloads.bibliography import csl_items, csl_json
from bogwright.report.downloads.claims import SCHEMA, knowledge_content, knowledge_json


class Download(NamedTuple):
    """A file. about : what it is. shape : parts of it with what each holds, empty where another file says it."""

    name: str
    content: bytes
    about: str
    shape: tuple[tuple[str, str], ...] = ()


_CSL = (
    ("id", "as the claims cite it"),
    ("type, title, author, container-title, URL, DOI …", "fields of CSL-JSON, as far as they are known"),
    ("issued, accessed", "when it appeared and when it was read, as date-parts: year, month, day"),
    ("custom", "standing (reviewed, society, expert, trade, casual), read, extent and copy: how far it was read"),
)


def downloads(bench: Bench, edition: Edition) -> list[Download]:
    """Every file; the same knowledge gives the same bytes. Raises DataNotFound."""
    described = (data.schemas_folder() / SCHEMA).read_bytes()
    made = darwin_core.tables(bench.base)
    inside = {table.file: table.csv() for table in made} | {"meta.xml": darwin_core.meta_xml(made, edition)}
    about = {
        "taxon.csv": "Names as Darwin Core taxa: accepted ones, synonyms, and forms that growers keep apart.",
        "vernacularname.csv": "Common names, with their language.",
        "distribution.csv": "Native ranges by WGSRPD level 3 region, each with the sources it rests on.",
        "meta.xml": "Says which column of the three tables is which term, so that they are a Darwin Core Archive.",
    }
    shapes = {table.file: tuple(table.columns) for table in made}
    return [
        Download(
            "bogwright.json",
            knowledge_json(knowledge_content(bench, edition)),
            "Every claim of every profiled plant after inheritance: figures, standing, sources, file and line.",
            _plant_shape(described),
        ),
        Download(SCHEMA, described, "The JSON Schema of bogwright.json."),
        *(Download(name, content, about[name], shapes.get(name, ())) for name, content in inside.items()),
        Download("darwin-core.zip", darwin_core.archive(inside), "The three tables and meta.xml in one archive."),
        Download("sources.json", csl_json(csl_items(bench.base)), "The bibliography as CSL-JSON.", _CSL),
    ]


def _plant_shape(schema: bytes) -> tuple[tuple[str, str], ...]:
    """What the schema says of the parts of a plant and of an entry of a claim."""
    parts = json.loads(schema)["$defs"]
    named = [(f"plants[].{key}", part) for key, part in parts["plant"]["properties"].items()]
    named += [(f"…entries[].{key}", part) for key, part in parts["entry"]["properties"].items()]
    return tuple((key, part["description"]) for key, part in named if "description" in part)
