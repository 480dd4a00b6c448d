"""CITES appendices of the profiles against the listings of ``kb/cites.yaml``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from .base import KnowledgeBase
from .claims import ValueClaim
from .problems import Problem


def listing(name: str, table: Mapping[str, Any]) -> dict[str, Any] | None:
    """The most exact listing for a taxon, or None where the sources say nothing of it."""
    fitting = [row for row in table["listings"] if name == row["taxon"] or name.startswith(f"{row['taxon']} ")]
    return max(fitting, key=lambda row: len(row["taxon"])) if fitting else None


def check_cites(base: KnowledgeBase) -> Iterator[Problem]:
    """Plants whose profile gives another appendix than the listings, or none though they give one."""
    table = base.table("cites")
    for entry in base.taxa() + base.listed() if table else []:
        row = listing(entry.name, table.data) if table else None
        if row is None:
            continue
        claim = base.profile(entry.id).claim("law.cites")
        said = claim.value if isinstance(claim, ValueClaim) else None
        if said == row["appendix"]:
            continue
        wanted = f"{row['sources'][0]} says {row['appendix']}"
        record = base.records[entry.record]
        line, column = record.positions.key((*entry.root, "law", "cites"))
        message = (
            f"{entry.name} {f'is said to stand in appendix {said}' if said else 'gives no CITES appendix'}, {wanted}"
        )
        hint = "state law.cites as listed; the listings are in kb/cites.yaml"
        yield Problem(record.file, line, column, message, hint, "cites")
