"""Check data files beyond their schemas: sources, figures, names, inheritance, order of keys."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .. import data
from .base import KnowledgeBase
from .documents import Document, Record
from .fields import Fields
from .key_order import KeyOrder
from .lint_claims import ClaimChecks
from .lint_law import check_cites
from .lint_names import check_names
from .lint_profiles import check_group_order, check_profile
from .names import Entry, entries, normal
from .outline import outline_entries, read_outline
from .problems import Problem, Problems, quoted, shown_path
from .reading import read
from .snapshot import FOLDERS, SINGLE_FILES, kind_of, open_snapshot
from .validating import Schemas

_SUFFIXES = (".yaml", ".yml", ".csv")
_LOOSE_KINDS = {"profile": "profile", "plan": "plan", "rules": "rule", "outline": "outline"}
_ENTRIES = {"profile": entries, "outline": outline_entries}


def lint(paths: Iterable[Path] = (), kb: Path | None = None, schemas: Path | None = None) -> list[Problem]:
    """Problems of the files named, or of the whole knowledge base if none are; sorted.

    paths : files or folders. One inside a kb folder is checked as part of that; any other (a contributor's own copy)
    as if it stood in `kb`, which is by default the one `bogwright.data` gives. Raises DataNotFound.
    """
    wanted = [path.resolve() for path in paths]
    schemas = schemas or data.schemas_folder()
    default = (kb or data.kb_folder()).resolve()
    if not wanted:
        return list(_Linter(default, schemas).run())
    roots: dict[Path, list[Path]] = {}
    for path in wanted:
        roots.setdefault(_root(path) or default, []).append(path)
    problems = Problems()
    for root, inside in roots.items():
        problems.extend(_Linter(root, schemas, inside).run())
    return list(problems)


def _root(path: Path) -> Path | None:
    """The kb folder that a path is or lies in."""
    return next((folder for folder in (path, *path.parents) if (folder / "profiles").is_dir()), None)


@dataclass
class _Linter:
    """One run over one kb folder. asked : what to report on; empty for everything."""

    kb: Path
    folder: Path
    asked: list[Path] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.schemas = Schemas(self.folder)
        self.order = KeyOrder(self.folder)
        self.fields = Fields.load(self.folder)
        self.problems = Problems()
        self.records: dict[str, Record] = {}
        self.entries: list[Entry] = []
        self.broken: list[Document] = []  # readable, but not as their schemas want them

    def run(self) -> Iterator[Problem]:
        self._take_snapshot()
        for path in self._loose():
            self._take_loose(path)
        base = KnowledgeBase(self.records, self.entries, self.fields)
        self._each_file()
        self.problems.extend(base.missing_groups())
        self.problems.extend(_clashing_sources(self.records))
        self.problems.extend(_unused_sources(self.records, self.broken))
        self.problems.extend(_clashing_names(base))
        self.problems.extend(_misnamed(base))
        self.problems.extend(check_names(base))
        self.problems.extend(check_cites(base))
        self.problems.extend(check_group_order(base))
        for taxon, entry in base.entries.items():
            if not entry.listed:
                self.problems.extend(check_profile(base, taxon))
        return (problem for problem in self.problems if self._is_asked(problem.file))

    def _is_asked(self, file: str) -> bool:
        path = Path(file)
        return not self.asked or any(path == asked or asked in path.parents for asked in self.asked)

    def _take_snapshot(self) -> None:
        snapshot = open_snapshot(self.kb, self.folder)
        self.records = dict(snapshot)
        self.entries = list(snapshot.entries())
        self.problems.extend(snapshot.problems)
        for file in {problem.file for problem in snapshot.problems}:
            document = _read(file)
            if document.readable:
                self.broken.append(document)
        for path in sorted((self.kb / "plans").glob("*.yaml")):
            self._schema(read(path), "plan")

    def _loose(self) -> Iterator[Path]:
        """Files asked for that are no part of the kb folder."""
        for path in self.asked:
            found = sorted(p for p in path.rglob("*") if p.suffix in _SUFFIXES) if path.is_dir() else [path]
            for file in found:
                inside = file.relative_to(self.kb).as_posix() if file.is_relative_to(self.kb) else ""
                if not (kind_of(inside) and file.exists()) and not inside.startswith("plans/"):
                    yield file

    def _take_loose(self, path: Path) -> None:
        """A contributor's own copy takes the place of the file it would be."""
        document = _read(str(path))
        if not document.readable:
            self.problems.extend(document.problems)
            return
        kind, name = _loose_kind(document, path)
        if kind is None:
            message = "it cannot be told what kind of file this is"
            hint = "start a profile with profile:, a plan with plan:, a rule file with for: and rules:"
            self.problems.add(Problem(document.file, 1, 1, message, hint, "unknown-kind"))
            return
        if not self._schema(document, kind):
            self.broken.append(document)
        elif name:
            self.entries = [entry for entry in self.entries if entry.record != name]
            self.entries += _ENTRIES[kind](name, document.data) if kind in _ENTRIES else []
            self.records[name] = Record(name, document.file, document.data, document.positions)

    def _schema(self, document: Document, kind: str) -> bool:
        """Report what the schema finds; whether that was nothing."""
        found = self.schemas.check(document, kind) if kind in self.schemas.kinds else list(document.problems)
        self.problems.extend(found)
        return not found

    def _each_file(self) -> None:
        checks = ClaimChecks(self.fields, _sources(self.records, self.broken))
        for record in self.records.values():
            if self._is_asked(record.file):
                self.problems.extend(checks.check(record))
                self.problems.extend(self.order.check(record, kind_of(record.name) or ""))
        for document in self.broken:
            self.problems.extend(checks.check(document))


def _read(file: str) -> Document:
    return read_outline(file) if file.endswith(".csv") else read(file)


def _loose_kind(document: Document, path: Path) -> tuple[str | None, str | None]:
    """The kind of a file that stands outside a kb folder, and the name it would have inside."""
    content = document.data
    if isinstance(content, list):
        return "source", f"sources/{path.stem}.yaml"
    if not isinstance(content, dict):
        return None, None
    kind = next((kind for key, kind in _LOOSE_KINDS.items() if key in content), None)
    if kind == "profile":
        genus = normal(str(content.get("name", ""))).partition(" ")[0] or path.parent.name
        return kind, f"profiles/{genus}/{path.stem}.yaml"
    folder = next((folder for folder, of in FOLDERS.items() if of == kind), None)
    if kind == "outline":
        return kind, f"outline/{path.stem}.csv"
    if kind is None and path.name in SINGLE_FILES:
        return path.stem, path.name
    return kind, f"{folder}/{path.stem}.yaml" if folder else None


def _sources(records: dict[str, Record], broken: list[Document]) -> dict[str, dict[str, Any]]:
    """Sources by id, also those of files with errors: one mistake there must not make every claim an error."""
    lists = [record.data for name, record in records.items() if name.startswith("sources/")]
    lists += [document.data for document in broken if isinstance(document.data, list)]
    items = [item for listed in lists for item in listed if isinstance(item, dict)]
    return {item["id"]: item for item in items if isinstance(item.get("id"), str)}


def _each_source(records: dict[str, Record]) -> Iterator[tuple[Record, int, dict[str, Any]]]:
    for name, record in records.items():
        if name.startswith("sources/"):
            for index, item in enumerate(record.data):
                yield record, index, item


def _clashing_sources(records: dict[str, Record]) -> Iterator[Problem]:
    ids: dict[str, str] = {}
    addresses: dict[str, str] = {}
    for record, index, item in _each_source(records):
        line, column = record.positions.value((index, "id"))
        place = f"{shown_path(record.file)}:{line}"
        if item["id"] in ids:
            message = f"the source id {quoted(item['id'])} is used before, at {ids[item['id']]}"
            yield Problem(record.file, line, column, message, "give each source one entry", "duplicate-source")
        ids.setdefault(item["id"], place)
        address = _address(item)
        if address in addresses:
            line, column = record.positions.value((index, "URL"))
            message = f"the address of {quoted(item['id'])} is entered before, at {addresses[address]}"
            yield Problem(record.file, line, column, message, "use the id that is there", "duplicate-source")
        elif address:
            addresses[address] = place


def _address(item: dict[str, Any]) -> str:
    """A URL without what does not tell two pages apart."""
    return re.sub(r"^https?://(www\.)?", "", item.get("URL", "").partition("#")[0]).rstrip("/")


def _unused_sources(records: dict[str, Record], broken: list[Document]) -> Iterator[Problem]:
    used: set[str] = set()
    for content in [*(r.data for n, r in records.items() if not n.startswith("sources/")), *(d.data for d in broken)]:
        used.update(_cited(content))
    for record, index, item in _each_source(records):
        if item["id"] not in used:
            line, column = record.positions.value((index, "id"))
            message = f"the source {quoted(item['id'])} is not cited anywhere"
            yield Problem(record.file, line, column, message, "cite it or remove it", "unused-source", "warning")


def _cited(node: Any) -> Iterator[str]:
    """Ids under `sources` or `source`, as references or as bare ids; and words of notes that may be ids."""
    if isinstance(node, str):
        yield from re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", node)
    if isinstance(node, dict):
        for key, part in node.items():
            if key in ("source", "sources"):
                for ref in part if isinstance(part, list) else [part]:
                    found = ref.get("id") if isinstance(ref, dict) else ref
                    if isinstance(found, str):
                        yield found
            yield from _cited(part)
    elif isinstance(node, list):
        for part in node:
            yield from _cited(part)


def _clashing_names(base: KnowledgeBase) -> Iterator[Problem]:
    """An accepted name belongs to one taxon; a synonym to one as well, and not to another's accepted name."""
    taken: dict[str, Entry] = {}
    ordered = [(kind, entry) for kind in ("accepted", "synonym") for entry in (*base.taxa(), *base.listed())]
    for kind, entry in ordered:
        for name in entry.names:
            if name.kind != kind:
                continue
            other = taken.setdefault(name.key, entry)
            if other.id != entry.id and not {other.id, entry.id} <= _family(base, entry):
                record = base.records[entry.record]
                path = entry.root
                own = (*path, "name") if kind == "accepted" else (*path, "identity", "synonyms")
                line, column = record.positions.value(own)
                message = f"the {kind} name {quoted(name.shown)} already means {other.name}"
                hint = f"see {shown_path(base.records[other.record].file)}; keep the name in one place"
                yield Problem(record.file, line, column, message, hint, "name-clash")


def _family(base: KnowledgeBase, entry: Entry) -> set[str]:
    """A species and its forms may share synonyms."""
    return {other.id for other in base.taxa() if other.record == entry.record}


def _misnamed(base: KnowledgeBase) -> Iterator[Problem]:
    """Path and name of a profile agree, so that either is found by the other."""
    for entry in base.entries.values():
        if entry.form or entry.listed:
            continue
        record = base.records[entry.record]
        wanted = _wanted_name(entry)
        if wanted:
            line, column = record.positions.value(("name",))
            message = f"the {entry.kind} {quoted(entry.name)} does not agree with its path {quoted(entry.record, 80)}"
            yield Problem(
                record.file, line, column, message, f"rename the file to {wanted}, or correct the name", "file-name"
            )


def _wanted_name(entry: Entry) -> str | None:
    """The path a profile should have, or None if the one it has will do."""
    genus, _, rest = normal(entry.name).partition(" ")
    stem = entry.record.rpartition("/")[2].removesuffix(".yaml")
    if entry.kind == "genus":
        return None if entry.id == f"{genus}/_genus" else f"profiles/{genus}/_genus.yaml"
    if entry.kind == "group":
        return None if stem.startswith("_") and stem != "_genus" else f"profiles/{entry.genus}/_{stem}.yaml"
    agrees = entry.genus == genus and normal(f"{genus} {stem}") == f"{genus} {rest}" and not stem.startswith("_")
    return None if agrees or not rest else f"profiles/{genus}/{rest.replace(' ', '-')}.yaml"
