"""What the knowledge base holds: taxa, names, claims, their standing, their sources, and gaps worth a contribution."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

from .base import KnowledgeBase
from .claims import LEVELS, BandClaim
from .documents import Path, Record
from .problems import kb_path

CARE = ("year", "air", "light", "water", "medium", "feeding", "roots", "propagation", "health")
BASES = ("published", "common-practice", "from-memory")
STANDINGS = ("reviewed", "society", "expert", "trade", "casual")
TABLES = ("formulas", "assumptions", "materials", "lamps")
_MOST_GAPS = 20


class Stated(NamedTuple):
    """One claim in a file. path : of the node with the basis. field : dotted. level : of a band, else empty."""

    record: Record
    path: Path
    field: str
    level: str
    kind: str
    node: dict[str, Any]
    of_taxon: bool


def statistics(base: KnowledgeBase) -> dict[str, Any]:
    """Everything counted, as plain data.

    A care band is a level of a ranged need (what a plant prefers, tolerates or survives) that a file states; identity,
    law, inherited and derived values are no care bands. Each reading of a dispute counts.
    """
    claims = list(stated_claims(base))
    bands = [claim for claim in claims if claim.level]
    taxa = base.taxa()
    cited = {ref["id"] for claim in claims for ref in claim.node.get("sources", ())}
    sources = base.sources()
    return {
        "taxa": {
            "profiled": len(taxa),
            "by_rank": dict(sorted(Counter(entry.rank or "" for entry in taxa).items())),
            "by_genus": {
                entry.genus: {
                    "profiled": sum(taxon.genus == entry.genus for taxon in taxa),
                    "by_name": sum(taxon.genus == entry.genus for taxon in base.listed()),
                    "groups": sum(group.genus == entry.genus for group in base.groups()),
                }
                for entry in base.genera()
            },
            "groups": len(base.groups()),
            "by_name_only": len(base.listed()),
            "names": sum(len(entry.names) for entry in (*taxa, *base.listed())),
        },
        "claims": {
            "all": _shares(claims),
            "care_bands": _shares(bands),
            "species_care_bands": _shares([claim for claim in bands if claim.of_taxon]),
        },
        "sources": {
            "all": len(sources),
            "cited_by_claims": len(cited),
            "cited_by_tables": len(_cited_by_tables(base)),
            "by_standing": _counted((sources[s]["custom"]["standing"] for s in cited if s in sources), STANDINGS),
        },
        "claims_by_standing": _counted(
            (best for claim in claims if (best := _best_standing(claim, sources)) is not None), STANDINGS
        ),
        "fields": _by_field(claims),
        "gaps": gaps(base, claims),
    }


def stated_claims(base: KnowledgeBase) -> Iterator[Stated]:
    """Every claim on care that a profile's file states, forms, stages and both sides of a dispute included."""
    for name, record in base.records.items():
        if name.startswith("profiles/"):
            of_taxon = record.data["profile"] == "taxon"
            for path, node in _nodes(record.data, ()):
                plain = _plain(path)
                field = base.fields.get(".".join(plain))
                level = ""
                if field is None and plain and plain[-1] in LEVELS:
                    field, level = base.fields.get(".".join(plain[:-1])), str(plain[-1])
                if field is not None and plain[0] in CARE:
                    yield Stated(record, path, field.path, level, field.kind, node, of_taxon)


def _cited_by_tables(base: KnowledgeBase) -> set[str]:
    """Sources of formulas, assumptions, materials and lamps."""
    tables = [record.data for name in TABLES if (record := base.table(name)) is not None]
    return {ref["id"] for table in tables for _, node in _nodes(table, ()) for ref in node.get("sources", ())}


def gaps(base: KnowledgeBase, claims: list[Stated]) -> list[dict[str, Any]]:
    """Claims without a source on which most profiled plants rest, most first: where one good page helps most."""
    rests: Counter[tuple[str, Path]] = Counter()
    for taxon in base.taxa():
        profile = base.profile(taxon.id)
        for field in profile.fields():
            held = profile.claim(field)
            ends = held.ends() if isinstance(held, BandClaim) else ()
            rests.update({(end.origin.record.name, end.origin.path) for end in ends if end.basis == "from-memory"})
    by_place = {(claim.record.name, claim.path): claim for claim in claims if claim.level}
    found = []
    for place, plants in sorted(rests.items(), key=lambda item: (-item[1], item[0][0], str(item[0][1]))):
        claim = by_place.get(place)
        if claim is not None:
            found.append(
                {
                    "file": kb_path(claim.record.file),
                    "line": claim.record.positions.key(claim.path)[0],
                    "field": claim.field,
                    "level": claim.level,
                    "plants": plants,
                }
            )
    return found[:_MOST_GAPS]


def _nodes(node: Any, path: Path) -> Iterator[tuple[Path, dict[str, Any]]]:
    if isinstance(node, dict):
        if "basis" in node:
            yield path, node
        for key, part in node.items():
            yield from _nodes(part, (*path, key))
    elif isinstance(node, list):
        for index, part in enumerate(node):
            yield from _nodes(part, (*path, index))


def _plain(path: Path) -> list[str]:
    """The path of the field: without form, stage, and reading of a dispute."""
    parts = list(path)
    while parts[:1] in (["forms"], ["stages"]):
        parts = parts[2:]
    while "disputed" in parts:
        at = parts.index("disputed")
        parts = parts[:at] + parts[at + 2 :]
    return [str(part) for part in parts]


def _shares(claims: list[Stated]) -> dict[str, Any]:
    counts = _counted((claim.node["basis"] for claim in claims), BASES)
    total = sum(counts.values())
    return {"total": total, **counts, "published_share": round(counts["published"] / total, 4) if total else 0.0}


def _counted(words: Iterator[str] | Any, order: tuple[str, ...]) -> dict[str, int]:
    found = Counter(words)
    return {word: found[word] for word in order}


def _best_standing(claim: Stated, sources: dict[str, dict[str, Any]]) -> str | None:
    held = [sources[ref["id"]]["custom"]["standing"] for ref in claim.node.get("sources", ()) if ref["id"] in sources]
    return min(held, key=STANDINGS.index) if held else None


def _by_field(claims: list[Stated]) -> dict[str, dict[str, int]]:
    found: dict[str, Counter[str]] = {}
    for claim in claims:
        found.setdefault(claim.field, Counter())[claim.node["basis"]] += 1
    return {field: {basis: counts[basis] for basis in BASES} for field, counts in sorted(found.items())}
