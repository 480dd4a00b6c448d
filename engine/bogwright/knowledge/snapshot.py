"""The knowledge base as parsed and checked once, kept in the user's cache folder.

One file: 8 bytes with the length of the header; the header, JSON; one JSON record for each source file (data and
positions, before inheritance); 4 bytes with a checksum of all that. Anything wrong with it means it is built again.
"""

from __future__ import annotations

import json
import os
import sys
import time
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import blake2b
from pathlib import Path
from typing import Any

from .documents import Positions, Record
from .names import Entry, Name, entries
from .problems import Problem

FORMAT = 2
CACHE_VARIABLE = "BOGWRIGHT_CACHE"
SINGLE_FILES = (
    "axes.yaml",
    "regimes.yaml",
    "assumptions.yaml",
    "formulas.yaml",
    "materials.yaml",
    "lamps.yaml",
    "climates.yaml",
    "cites.yaml",
    "needs.yaml",
)
FOLDERS = {"profiles": "profile", "sources": "source", "rules": "rule", "outline": "outline"}
_YAML = (".yaml", ".yml")
_SUFFIXES = {"outline": (".csv",)}
# A file this much older than the snapshot cannot have changed since without its times changing: file systems
# count in steps of up to two seconds.
SETTLED = 2_000_000_000  # ns

Stat = tuple[int, int, int]  # size in bytes, mtime and ctime in ns


@dataclass
class Row:
    """What the header keeps of one source file."""

    stat: Stat
    digest: str
    record: bytes | memoryview
    entries: list[Entry]

    def fresh(self, now: Stat, began: int) -> bool:
        """The file is certainly the one that was read."""
        return self.stat == now and max(now[1], now[2]) < began - SETTLED


@dataclass
class Snapshot(Mapping[str, Record]):
    """Records of the source files by name, decoded when asked for.

    began : when reading started, ns. rows : by name. problems : of files that could not be taken in.
    """

    kb: Path
    began: int
    rows: dict[str, Row]
    problems: list[Problem] = field(default_factory=list)
    _decoded: dict[str, Record] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Record:
        if name not in self._decoded:
            kept = json.loads(bytes(self.rows[name].record))
            data = kept["data"]
            self._decoded[name] = Record(name, str(self.kb / name), data, Positions(data, kept["positions"]))
        return self._decoded[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)

    def entries(self) -> Iterator[Entry]:
        """All profiles, in the order of their files."""
        for row in self.rows.values():
            yield from row.entries


def open_snapshot(kb: Path, schemas: Path, cache: Path | None = None) -> Snapshot:
    """The records of a knowledge base, from the snapshot as far as it is fresh.

    cache : folder of the snapshot; None takes the user's. If that cannot be written the work is done without.
    """
    cache = cache or cache_folder()
    of_these = _digest(os.fsencode(kb) + b"\0" + os.fsencode(schemas))[:16]
    file = cache / f"knowledge-{of_these}.snapshot" if cache else None
    versions = [FORMAT, code_version(), _digest(b"".join(path.read_bytes() for path in sorted(schemas.glob("*.json"))))]
    old = _load(file, versions, kb) if file else None
    snapshot, changed = _brought_up_to_date(kb, schemas, old)
    if file and changed:
        _save(file, versions, snapshot)
    return snapshot


def kind_of(name: str) -> str | None:
    """The kind of a file by its name inside the kb folder, or None if it is not part of the knowledge base."""
    first, _, rest = name.partition("/")
    if rest:
        return FOLDERS.get(first)
    return first.removesuffix(".yaml") if first in SINGLE_FILES else None


def scan(kb: Path) -> dict[str, Stat]:
    """Source files of a kb folder with their size and times, sorted by name."""
    found: dict[str, Stat] = {}
    for name in SINGLE_FILES:
        path = kb / name
        if path.is_file():
            found[name] = _stat(path.stat())
    folders = [name for name in FOLDERS if (kb / name).is_dir()]
    while folders:
        folder = folders.pop()
        with os.scandir(kb / folder) as listing:
            for item in listing:
                name = f"{folder}/{item.name}"
                if item.name.startswith("."):
                    continue
                if item.is_dir(follow_symlinks=False):
                    folders.append(name)
                elif item.name.endswith(_SUFFIXES.get(folder.partition("/")[0], _YAML)) and item.is_file():
                    found[name] = _stat(item.stat())
    return dict(sorted(found.items()))


def cache_folder() -> Path | None:
    """The user's cache folder for this program, or None where there is no home to keep it in."""
    named = os.environ.get(CACHE_VARIABLE)
    if named:
        return Path(named)
    try:
        if sys.platform == "win32":
            return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "bogwright" / "cache"
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Caches" / "bogwright"
        return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "bogwright"
    except RuntimeError:
        return None


def code_version() -> str:
    """Changes whenever the code that makes records changes."""
    here = Path(__file__).parent
    return _digest(b"".join(path.read_bytes() for path in sorted(here.glob("*.py"))))


def _stat(status: os.stat_result) -> Stat:
    return status.st_size, status.st_mtime_ns, status.st_ctime_ns


def _digest(data: bytes) -> str:
    return blake2b(data, digest_size=16).hexdigest()


def _brought_up_to_date(kb: Path, schemas: Path, old: Snapshot | None) -> tuple[Snapshot, bool]:
    """The snapshot for the files as they are now, and whether it says more than the old one."""
    began = time.time_ns()
    try:
        stats = scan(kb)
    except OSError as error:
        place = str(error.filename or kb)
        problem = Problem(
            place, 0, 0, f"the folder cannot be read: {error.strerror}", "mend its permissions", "no-folder"
        )
        return Snapshot(kb, began, {}, [problem]), False
    rows = old.rows if old else {}
    snapshot = Snapshot(kb, began, {})
    changed = old is None or rows.keys() != stats.keys()
    reader = _Reader(kb, schemas)
    for name, now in stats.items():
        row = rows.get(name)
        if row and old and row.fresh(now, old.began):
            snapshot.rows[name] = row
            continue
        read, problems = reader.read(name, now, row)
        snapshot.problems += problems
        if read:
            snapshot.rows[name] = read
            changed |= read is not row or read.fresh(now, began)
    return snapshot, changed


class _Reader:
    """Reads and checks source files. The parser and the schemas are loaded when the first one is needed."""

    def __init__(self, kb: Path, schemas: Path) -> None:
        self.kb = kb
        self.folder = schemas
        self.schemas: Any = None

    def read(self, name: str, now: Stat, old: Row | None) -> tuple[Row | None, list[Problem]]:
        """A row for the file as it is now; the old one's record is kept if the content is the same."""
        path = self.kb / name
        try:
            digest = _digest(path.read_bytes()) if now[0] <= 2_000_000 else ""
        except OSError:
            digest = ""
        if old and digest and old.digest == digest:
            return old if old.stat == now else Row(now, digest, old.record, old.entries), []
        return self._check(name, str(path), now, digest)

    def _check(self, name: str, path: str, now: Stat, digest: str) -> tuple[Row | None, list[Problem]]:
        from .outline import outline_entries, read_outline
        from .reading import read
        from .validating import Schemas

        self.schemas = self.schemas or Schemas(self.folder)
        kind = kind_of(name)
        document = read_outline(path) if kind == "outline" else read(path)
        problems = self.schemas.check(document, kind) if kind in self.schemas.kinds else list(document.problems)
        if name.endswith(".yml"):
            problems.append(Problem(path, 0, 0, "the file name ends in .yml", "rename it to .yaml", "file-name"))
        if any(problem.severity == "error" for problem in problems):
            return None, problems
        kept = {"data": document.data, "positions": document.positions.packed()}
        record = json.dumps(kept, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")
        found = entries(name, document.data) if kind == "profile" and kind in self.schemas.kinds else []
        if kind == "outline":
            found = outline_entries(name, document.data)
        return Row(now, digest, record, found), problems


def _load(file: Path, versions: list[Any], kb: Path) -> Snapshot | None:
    """The snapshot in this file, or None if there is none, it is damaged, or other code or schemas wrote it."""
    try:
        raw = memoryview(file.read_bytes())  # sliced without copying
        length = int.from_bytes(raw[:8], "big")
        if zlib.crc32(raw[:-4]).to_bytes(4, "big") != raw[-4:]:
            return None
        header = json.loads(bytes(raw[8 : 8 + length]))
        if header["versions"] != versions:
            return None
        start = 8 + length
        rows = {}
        for name, (stat, digest, offset, size, listed) in header["files"].items():
            record = raw[start + offset : start + offset + size]
            rows[name] = Row(tuple(stat), digest, record, [_entry(name, item) for item in listed])
        return Snapshot(kb, header["began"], rows)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def _save(file: Path, versions: list[Any], snapshot: Snapshot) -> None:
    files = {}
    offset = 0
    for name, row in snapshot.rows.items():
        files[name] = [row.stat, row.digest, offset, len(row.record), [_packed(entry) for entry in row.entries]]
        offset += len(row.record)
    content = {"versions": versions, "began": snapshot.began, "files": files}
    header = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")
    body = b"".join([len(header).to_bytes(8, "big"), header, *(row.record for row in snapshot.rows.values())])
    temporary = file.with_name(f"{file.name}.{os.getpid()}.{time.time_ns()}")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        try:
            temporary.write_bytes(body + zlib.crc32(body).to_bytes(4, "big"))
            temporary.replace(file)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError:
        return  # a cache that cannot be written only costs time


def _packed(entry: Entry) -> list[Any]:
    return [
        entry.id,
        entry.kind,
        entry.name,
        entry.rank,
        entry.genus,
        entry.group,
        entry.form,
        entry.outline,
        entry.differs,
        entry.names,
    ]


def _entry(record: str, packed: list[Any]) -> Entry:
    taxon, kind, name, rank, genus, group, form, outline, differs, names = packed
    shown = tuple(Name(*item) for item in names)
    return Entry(taxon, kind, name, rank, genus, group, record, form, outline, differs, shown)
