"""Which state of the knowledge this is: a hash of its files, and the day they were last committed."""

from __future__ import annotations

import os
import subprocess
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from pathlib import Path

from .. import data
from .snapshot import scan

DIGITS = 12


@dataclass(frozen=True)
class Edition:
    """hash : 12 hexadecimal digits, of the knowledge and its schemas; the demo plans do not count.

    date : ISO, in UTC, of the last commit that changed them; None where the files are not just as committed or their
    history is not at hand. Times of files say when they were copied, so they are not asked.
    """

    hash: str
    date: str | None

    @classmethod
    def read(cls, kb: Path | None = None, schemas: Path | None = None) -> Edition:
        """The edition of these folders, by default those of `bogwright.data`. Raises DataNotFound, OSError."""
        kb, schemas = kb or data.kb_folder(), schemas or data.schemas_folder()
        whole = blake2b(digest_size=DIGITS // 2)
        for name in scan(kb):
            _add(whole, f"kb/{name}", kb / name)
        for file in sorted(schemas.glob("*.json")):
            _add(whole, f"schemas/{file.name}", file)
        days = [_committed(folder) for folder in (kb, schemas)]
        known = [day for day in days if day]
        return cls(whole.hexdigest(), max(known) if len(known) == len(days) else None)

    def __str__(self) -> str:
        return f"{self.hash} of {self.date}" if self.date else self.hash


def _add(whole: blake2b, name: str, file: Path) -> None:
    content = file.read_bytes()
    whole.update(f"{name}\0{len(content)}\0".encode())
    whole.update(content)


def _committed(folder: Path) -> str | None:
    """The day of the last commit that touched a folder, if it is just as committed."""
    try:
        if _git(folder, "rev-parse", "--is-shallow-repository") != "false" or _git(folder, "status", "--porcelain"):
            return None
        seconds = _git(folder, "log", "-1", "--format=%ct")
    except (OSError, subprocess.SubprocessError):
        return None
    return datetime.fromtimestamp(int(seconds), UTC).date().isoformat() if seconds else None


def _git(folder: Path, *command: str) -> str:
    """What git says of a folder, whatever repository the calling process itself is about."""
    where = [] if command[0] == "rev-parse" else ["--", "."]
    done = subprocess.run(
        ["git", "--no-optional-locks", *command, *where],
        cwd=folder,
        env={key: value for key, value in os.environ.items() if not key.startswith("GIT_")},
        capture_output=True,
        text=True,
        check=True,
        timeout=30,
    )
    return done.stdout.strip()
