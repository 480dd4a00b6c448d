"""Names of profiles against the outline tables: the accepted name, and who gave it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .base import KnowledgeBase
from .claims import ValueClaim
from .names import Entry, normal
from .outline import TAXA
from .problems import Problem, Severity, quoted, shown_path

# ranks whose name has an authority of its own
BOTANICAL = ("species", "subspecies", "variety", "natural-hybrid")


# ranks that the lists of names hold throughout; varieties and natural hybrids they hold in part
LISTED = ("species", "subspecies")


def spellings(authority: str) -> set[str]:
    """The ways to write one authority: spaces, ``et`` and who first used the name (``… ex``) make no difference."""
    plain = re.sub(r"\bet\b", "&", authority.strip())
    whole = [plain, re.sub(r"[^&,()]*\bex\s", "", plain)]
    return {re.sub(r"\s+", "", form) for form in whole}


def listed_authorities(base: KnowledgeBase) -> dict[str, tuple[str, str]]:
    """By compared name: the authority an outline table gives it and the table's file. Accepted names only."""
    found = {}
    for name, record in base.records.items():
        if name.startswith("outline/"):
            for taxon in record.data[TAXA].values():
                authority = taxon["identity"].get("authority", {}).get("value", "")
                found[normal(taxon["name"])] = (authority, record.file)
    return found


def check_names(base: KnowledgeBase) -> Iterator[Problem]:
    """Profiles whose authority is not that of the table, and profiled names that no table lists."""
    listed = listed_authorities(base)
    genera = {key.partition(" ")[0] for key in listed}
    for entry in base.taxa():
        if entry.rank not in BOTANICAL or entry.genus not in genera:
            continue
        row = listed.get(normal(entry.name))
        if row is None and entry.rank not in LISTED:
            continue
        if row is None:
            hint = f"add it to kb/outline/{entry.genus}.csv with its source, or correct the name"
            yield _problem(
                base, entry, ("name",), f"no outline table lists {quoted(entry.name)}", hint, "not-listed", "warning"
            )
            continue
        claim = base.profile(entry.id).claim("identity.authority")
        if not isinstance(claim, ValueClaim) or claim.value is None or claim.origin.inherited:
            continue
        said = " & ".join(claim.value) if isinstance(claim.value, tuple) else claim.value
        if row[0] and not spellings(said) & spellings(row[0]):
            message = f"the authority of {entry.name} is {quoted(said)}, the outline table says {quoted(row[0])}"
            hint = f"correct the one that is wrong; the table is {shown_path(row[1])}"
            # where both rest on a source, the sources differ, and neither is known to be wrong
            severity: Severity = "warning" if claim.basis == "published" else "error"
            yield _problem(base, entry, ("identity", "authority"), message, hint, "authority", severity)


def _problem(
    base: KnowledgeBase,
    entry: Entry,
    path: tuple[str, ...],
    message: str,
    hint: str,
    code: str,
    severity: Severity = "error",
) -> Problem:
    record = base.records[entry.record]
    line, column = record.positions.key((*entry.root, *path))
    return Problem(record.file, line, column, message, hint, code, severity)
