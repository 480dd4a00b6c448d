"""Problems found in files: where, what is wrong, how to mend it."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Literal

Severity = Literal["error", "warning"]


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one place. Sorts by file, line, column.

    Parameters
    ----------
    file : path as the reader opened it; shown relative to the current folder where inside it.
    line, column : 1-based, as editors count; 0 where the file as a whole is meant.
    message : what is wrong. hint : how to mend it. code : stable id of the kind of problem.
    """

    file: str
    line: int
    column: int
    message: str
    hint: str
    code: str
    severity: Severity = "error"

    @property
    def place(self) -> str:
        """``file:line:column``, without the numbers where the whole file is meant."""
        shown = shown_path(self.file)
        return f"{shown}:{self.line}:{self.column}" if self.line else shown

    def __str__(self) -> str:
        return f"{self.place}: {self.message} — {self.hint} ({self.code})"


@dataclass
class Problems:
    """Collects problems; the same problem is kept once."""

    found: dict[Problem, None] = field(default_factory=dict)

    def add(self, problem: Problem) -> None:
        self.found[problem] = None

    def extend(self, problems: Iterable[Problem]) -> None:
        for problem in problems:
            self.add(problem)

    def __iter__(self) -> Iterator[Problem]:
        return iter(sorted(self.found))

    def __len__(self) -> int:
        return len(self.found)

    @property
    def errors(self) -> list[Problem]:
        return [problem for problem in self if problem.severity == "error"]


def shown_path(file: str) -> str:
    """The path relative to the current folder where inside it, safe to print on a terminal."""
    try:
        relative = os.path.relpath(file, _current_folder())
    except ValueError:  # another drive on Windows
        relative = file
    inside = relative != os.pardir and not relative.startswith(os.pardir + os.sep)
    return _printable(relative if inside else file)


def kb_path(file: str) -> str:
    """The path of a data file as the repository names it, ``kb/profiles/…``, wherever the knowledge base is kept."""
    for folder in (Path(file), *Path(file).parents):
        if (folder / "profiles").is_dir():
            return f"kb/{Path(file).relative_to(folder).as_posix()}"
    return shown_path(file)


def quoted(value: object, most: int = 60) -> str:
    """A value of the file as shown in a message: in single quotes, cut, control characters escaped."""
    text = _printable(str(value))
    return f"'{text[: most - 1]}…'" if len(text) > most else f"'{text}'"


def count(problems: Iterable[Problem]) -> str:
    """``2 errors, 1 warning``."""
    severities = [problem.severity for problem in problems]
    errors, warnings = severities.count("error"), severities.count("warning")
    parts = [
        f"{number} {word}{'s' * (number != 1)}" for number, word in ((errors, "error"), (warnings, "warning")) if number
    ]
    return ", ".join(parts) or "no problems"


def one_line(problems: Iterable[Problem]) -> str:
    """One problem a line, for editors and scripts; a warning says so."""
    return "\n".join(_line(problem) for problem in sorted(problems))


def terminal(problems: Iterable[Problem]) -> str:
    """For people: each problem with the line of the file under it, and a count at the end."""
    ordered = sorted(problems)
    blocks = []
    for problem in ordered:
        source = _source_line(problem.file, problem.line)
        if source is None:
            blocks.append(_line(problem))
            continue
        start = max(0, problem.column - 60)
        cut = _printable(source[start : start + 110].replace("\t", " "))
        blocks.append(f"{_line(problem)}\n    {cut}\n    {' ' * (problem.column - 1 - start)}^")
    return "\n".join([*blocks, count(ordered)])


def in_brief(problems: Iterable[Problem]) -> str:
    """For people who asked about everything: errors in full, warnings as one line for each kind, and the count."""
    ordered = sorted(problems)
    errors = [problem for problem in ordered if problem.severity == "error"]
    kinds: dict[str, list[Problem]] = {}
    for problem in ordered:
        if problem.severity == "warning":
            kinds.setdefault(problem.code, []).append(problem)
    blocks = [terminal(errors).rpartition("\n")[0]] if errors else []
    for code, held in kinds.items():
        files = len({problem.file for problem in held})
        where = f"{files} file{'s' * (files != 1)}"
        blocks.append(f"{count(held)} in {where}: {held[0].hint} ({code}); first {held[0].place}")
    if kinds:
        blocks.append("name a file or folder, or give --all, to see each warning")
    return "\n".join([*blocks, count(ordered)])


def as_json(problems: Iterable[Problem]) -> str:
    """A JSON list of objects with the fields of Problem; paths as printed elsewhere."""
    names = ("line", "column", "message", "hint", "code", "severity")
    rows = [{"file": shown_path(p.file), **{name: getattr(p, name) for name in names}} for p in sorted(problems)]
    return json.dumps(rows, ensure_ascii=False, indent=2)


def _line(problem: Problem) -> str:
    if problem.severity == "error":
        return str(problem)
    return f"{problem.place}: warning: {problem.message} — {problem.hint} ({problem.code})"


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)


def _current_folder() -> str:
    try:
        return str(Path.cwd())
    except FileNotFoundError:  # the folder was removed under us
        return os.sep


@lru_cache(maxsize=32)
def _source_lines(file: str) -> list[str]:
    try:
        with Path(file).open(encoding="utf-8-sig") as stream:
            return stream.read(2_000_000).splitlines()
    except (OSError, UnicodeDecodeError):
        return []


def _source_line(file: str, line: int) -> str | None:
    if line < 1 or not Path(file).is_file():
        return None
    lines = _source_lines(file)
    return lines[line - 1] if line <= len(lines) else None
