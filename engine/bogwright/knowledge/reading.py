"""Read YAML strictly: plain data with the place of everything, and all that is wrong in one go.

Stricter than YAML 1.1: what different readers understand differently (bare ``no``, ``14:00``, ``010``,
dates, ``1e3``) is refused, as are duplicate keys, tags, merge keys and several documents in a file.
"""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path
from typing import Any

import yaml

from .building import TOO_DEEP, Builder, Stop
from .documents import Document, Place, Positions
from .problems import Problem, Problems
from .syntax import MENDS

LARGEST = 2_000_000  # bytes

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_TAB_INDENT = re.compile(r"^ *\t", re.MULTILINE)


def read(file: str | os.PathLike[str]) -> Document:
    """Read a YAML file. Never raises for what is wrong with the file: that is in ``problems``."""
    name = os.fspath(file)
    text = _text(name)
    if isinstance(text, Problem):
        return _unreadable(name, [text])
    return read_text(text, name)


def read_text(text: str, file: str) -> Document:
    """Read YAML that is already in memory; `file` is the name its problems are given."""
    text = text.removeprefix("\ufeff")
    problems = Problems()
    for match in _UNPRINTABLE.finditer(text):
        line, column = _place(text, match.start())
        message = f"the character U+{ord(match[0]):04X} cannot stand in a YAML file"
        problems.add(Problem(file, line, column, message, "remove it", "bad-character"))
    if problems:
        return _unreadable(file, problems)
    builder = Builder(file, problems)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except Stop:
        return _unreadable(file, problems)
    except (yaml.YAMLError, UnicodeError) as error:
        problems.extend(_syntax_problems(error, text, file))
        return _unreadable(file, problems)
    if not builder.documents:
        problems.add(Problem(file, 1, 1, "the file is empty", "write something into it, or delete it", "empty-file"))
        return _unreadable(file, problems)
    return Document(file, builder.data, Positions(builder.data, builder.flat), tuple(problems))


def _unreadable(file: str, problems: Problems | list[Problem]) -> Document:
    return Document(file, None, Positions(None, [1, 1]), tuple(problems), readable=False)


def _text(file: str) -> str | Problem:
    """The text of the file, or why there is none. The size is looked at before anything is read."""

    def refuse(message: str, hint: str, code: str, line: int = 0, column: int = 0) -> Problem:
        return Problem(file, line, column, message, hint, code)

    path = Path(file)
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            return refuse("this is a folder", "name a file inside it", "not-a-file")
        if not stat.S_ISREG(status.st_mode):
            return refuse("this is not an ordinary file", "name a YAML file", "not-a-file")
        if status.st_size > LARGEST:
            size = f"{status.st_size / 1e6:.1f} MB"
            return refuse(f"the file is too large: {size}", f"at most {LARGEST // 1_000_000} MB; split it", "too-large")
        with path.open("rb") as stream:
            raw = stream.read(LARGEST + 1)
    except FileNotFoundError:
        return refuse("there is no such file", "check the spelling and the folder", "no-file")
    except PermissionError:
        return refuse("the file may not be read", "give yourself permission to read it", "no-permission")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return refuse(f"the file cannot be read: {reason}", "check the name and the disk", "no-file")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return refuse("the file is written in UTF-16", "save it as UTF-8", "wrong-encoding", 1, 1)
    if b"\0" in raw:
        what = "UTF-16 or a binary file" if raw.count(b"\0") * 3 > len(raw) else "a binary file"
        line = raw.count(b"\n", 0, raw.index(b"\0")) + 1
        return refuse(
            f"this is no text: it holds zero bytes, like {what}",
            "save it as plain text in UTF-8",
            "wrong-encoding",
            line,
            1,
        )
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8").removeprefix("\ufeff")
        line, column = _place(before, len(before))
        message = f"the byte 0x{raw[error.start]:02X} is not UTF-8, perhaps Latin-1 or Windows-1252"
        return refuse(message, "save the file as UTF-8", "wrong-encoding", line, column)


def _place(text: str, index: int) -> Place:
    before = text[:index].replace("\r\n", "\n").replace("\r", "\n")
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def _syntax_problems(error: Exception, text: str, file: str) -> list[Problem]:
    """The parser stops at its first fault; tabs are looked for everywhere since they come in crowds."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    context_mark = getattr(error, "context_mark", None)
    fault = str(getattr(error, "problem", None) or getattr(error, "reason", None) or error)
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    tabs = [_place(text, match.end() - 1) for match in _TAB_INDENT.finditer(text)]
    if any(place[0] == line for place in tabs):
        hint = "indent with spaces"
        return [Problem(file, *place, "a tab stands in the indentation", hint, "tab") for place in tabs]
    if "nesting depth" in fault:  # libyaml's own bound, which it may reach while it looks ahead
        return [Problem(file, line, column, *TOO_DEEP)]
    unknown = (f"this is not YAML: {fault}", "compare the line with its neighbours")
    message, hint = next((mend for pattern, *mend in MENDS if re.search(pattern, fault)), unknown)
    if context_mark and "quote" in message:
        line, column = context_mark.line + 1, context_mark.column + 1
    elif context_mark and context_mark.line + 1 != line:
        hint = f"{hint} (it belongs to line {context_mark.line + 1})"
    return [Problem(file, line, column, message, hint, "syntax")]
