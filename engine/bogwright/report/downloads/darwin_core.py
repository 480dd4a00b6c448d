"""The names as a Darwin Core Archive: taxa, common names and native ranges as CSV, described by meta.xml.

Terms: https://dwc.tdwg.org/list/; layout: the Darwin Core Text Guide, https://dwc.tdwg.org/text/. An id of a taxon is
that of `bogwright.json`; a synonym's is made from its accepted taxon's and its own words.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple
from xml.sax.saxutils import quoteattr

from bogwright.knowledge import Entry, KnowledgeBase, Profile, SourceRef, ValueClaim
from bogwright.knowledge.edition import Edition

DWC, DC, GBIF = "http://rs.tdwg.org/dwc/terms/", "http://purl.org/dc/terms/", "http://rs.gbif.org/terms/1.0/"
LICENCE = "https://creativecommons.org/licenses/by/4.0/"
RANKS = {
    "subsp.": "subspecies",
    "ssp.": "subspecies",
    "nothosubsp.": "subspecies",
    "var.": "variety",
    "nothovar.": "variety",
    "f.": "form",
}
_EPITHET = r"[^\W\d_A-Z][\w-]+"
_NAME = re.compile(
    rf"(?P<generic>[A-Z][\w-]+)(?: (?:[×x] )?(?P<species>{_EPITHET})"
    rf"(?P<below>(?: (?:{'|'.join(map(re.escape, RANKS))}) {_EPITHET})*))?(?: ['‘](?P<cultivar>[^()]+)['’])?"
)
_WGSRPD = re.compile(r"[A-Z]{3}")
# a date every zip file can bear; the archive has the same bytes on every day
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)


class Table(NamedTuple):
    """A file of the archive. row : URI of what a row is; columns : name and URI, the id first; rows : of text."""

    file: str
    row: str
    columns: tuple[tuple[str, str], ...]
    rows: list[list[str]]

    def csv(self) -> bytes:
        """RFC 4180 but for the line ends, which are single line feeds; UTF-8; the first line names the columns."""
        out = io.StringIO(newline="")
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow([name for name, _ in self.columns])
        writer.writerows(self.rows)
        return out.getvalue().encode()


class Parts(NamedTuple):
    """A scientific name taken apart; all empty where it is no such name, as of a horticultural form or a formula."""

    rank: str = ""
    generic: str = ""
    species: str = ""
    infraspecific: str = ""
    cultivar: str = ""


def parts_of(name: str) -> Parts:
    """The parts of a name without its authority."""
    found = _NAME.fullmatch(name)
    if found is None:
        return Parts()
    below = (found["below"] or "").split()
    rank = RANKS[below[-2]] if below else "species" if found["species"] else "genus"
    cultivar = found["cultivar"] or ""
    return Parts(
        "cultivar" if cultivar else rank, found["generic"], found["species"] or "", below[-1] if below else "", cultivar
    )


def tables(base: KnowledgeBase) -> list[Table]:
    """Taxa first, which is the core of the archive; plants known by name only are among them."""
    taxa = sorted((*base.taxa(), *base.listed()), key=lambda taxon: taxon.id)
    taxon = Table("taxon.csv", f"{DWC}Taxon", _TAXON, list(_unique(row for one in taxa for row in _taxon(base, one))))
    names = [[one.id, name.shown, "en"] for one in taxa for name in one.names if name.kind == "common"]
    common = Table("vernacularname.csv", f"{GBIF}VernacularName", _COMMON, names)
    ranges = [row for one in taxa for row in _ranges(base.profile(one.id))]
    return [taxon, common, Table("distribution.csv", f"{GBIF}Distribution", _RANGE, ranges)]


def meta_xml(made: list[Table], edition: Edition) -> bytes:
    """The description of the archive."""
    everywhere = (
        ("license", f"{DC}license", LICENCE),
        ("datasetName", f"{DWC}datasetName", f"Bogwright, knowledge {edition}"),
    )
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', '<archive xmlns="http://rs.tdwg.org/dwc/text/">']
    for table in made:
        tag, key = ("core", "id") if table is made[0] else ("extension", "coreid")
        how = 'encoding="UTF-8" fieldsTerminatedBy="," linesTerminatedBy="\\n" fieldsEnclosedBy="&quot;"'
        lines += [
            f'<{tag} {how} ignoreHeaderLines="1" rowType="{table.row}">',
            f"<files><location>{table.file}</location></files>",
            f'<{key} index="0"/>',
        ]
        start = 0 if tag == "core" else 1
        named = list(enumerate(table.columns))[start:]
        lines += [f'<field index="{index}" term="{term}"/>' for index, (_, term) in named]
        if tag == "core":
            lines += [f'<field default={quoteattr(value)} term="{term}"/>' for _, term, value in everywhere]
        lines.append(f"</{tag}>")
    return "\n".join([*lines, "</archive>", ""]).encode()


def archive(files: Mapping[str, bytes]) -> bytes:
    """The files in one zip, not compressed, so that its bytes depend on nothing else."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as zipped:
        for name, content in files.items():
            zipped.writestr(zipfile.ZipInfo(name, _ZIP_DATE), content)
    return out.getvalue()


_TAXON = tuple(
    (name, f"{DWC}{name}")
    for name in (
        "taxonID",
        "scientificName",
        "scientificNameAuthorship",
        "taxonRank",
        "verbatimTaxonRank",
        "taxonomicStatus",
        "acceptedNameUsageID",
        "parentNameUsageID",
        "family",
        "genus",
        "genericName",
        "specificEpithet",
        "infraspecificEpithet",
        "cultivarEpithet",
        "taxonRemarks",
    )
)
_COMMON = (
    ("taxonID", f"{DWC}taxonID"),
    ("vernacularName", f"{DWC}vernacularName"),
    ("language", f"{DC}language"),
)
_RANGE = (
    ("taxonID", f"{DWC}taxonID"),
    ("locationID", f"{DWC}locationID"),
    ("locality", f"{DWC}locality"),
    ("source", f"{DC}source"),
)


def _taxon(base: KnowledgeBase, taxon: Entry) -> Iterator[list[str]]:
    """The row of an accepted name, or of a horticultural form, and one for each of its synonyms."""
    profile = base.profile(taxon.id)
    claim = _stated(profile, "identity.authority")
    authority = str(claim.value) if claim and not claim.origin.inherited else ""
    parts = parts_of(taxon.name)
    yield [
        taxon.id,
        f"{taxon.name} {authority}".strip() if parts.rank else taxon.name,
        authority if parts.rank else "",
        parts.rank,
        taxon.rank or "",
        "accepted" if parts.rank else "",
        "",
        taxon.id.removesuffix(f"/{taxon.form}") if taxon.form else "",
        *_placed(profile),
        *parts[1:],
        _remark(base, taxon),
    ]
    for name in taxon.names:
        if name.kind == "synonym" and name.shown != taxon.name:
            own = parts_of(name.shown)
            key = re.sub(r"\W+", "-", name.shown.casefold()).strip("-")
            head = [f"{taxon.id}/synonym/{key}", name.shown, "", own.rank, "", "synonym", taxon.id, ""]
            yield [*head, *_placed(profile), *own[1:], ""]


def _placed(profile: Profile) -> tuple[str, str]:
    """Family and genus in which a taxon is placed."""
    family = _stated(profile, "identity.family")
    return str(family.value) if family else "", profile.entry.genus.capitalize()


def _remark(base: KnowledgeBase, taxon: Entry) -> str:
    if not taxon.listed:
        return "" if parts_of(taxon.name).rank else "kept apart by growers; not a scientific name"
    lists = base.profile(taxon.id).layers[0].data["sources"]
    return f"known by name only, from {', '.join(lists)}" if lists else "known by name only, from memory"


def _ranges(profile: Profile) -> Iterator[list[str]]:
    """One row a region; a range in words, which holds no code, is a locality."""
    claim = _stated(profile, "identity.range")
    if claim is None:
        return
    regions = claim.value if isinstance(claim.value, tuple) else (claim.value,)
    for region in regions:
        coded = _WGSRPD.fullmatch(region)
        yield [profile.id, f"TDWG:{region}" if coded else "", "" if coded else region, _word(claim)]


def _word(claim: ValueClaim) -> str:
    """On whose word a range stands: ids of `sources.json`, or its basis."""
    cited: Iterable[SourceRef] = claim.sources
    return " | ".join(dict.fromkeys(one.id for one in cited)) or (claim.basis or "").replace("-", " ")


def _stated(profile: Profile, field: str) -> ValueClaim | None:
    claim = profile.claim(field)
    return claim if isinstance(claim, ValueClaim) and claim.value else None


def _unique(rows: Iterable[list[str]]) -> Iterator[list[str]]:
    """Rows with each id once: lists and profiles may have the same synonym in other signs."""
    seen: set[str] = set()
    for row in rows:
        if row[0] not in seen:
            seen.add(row[0])
            yield row
