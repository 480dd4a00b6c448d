"""How problems are sorted and printed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bogwright.knowledge.problems import Problem, Problems, as_json, one_line, quoted, terminal

ERROR = Problem("kb/a.yaml", 3, 5, "unknown key 'x'", "did you mean 'y'?", "unknown-key")
WARNING = Problem("kb/a.yaml", 2, 1, "not cited", "cite it", "unused-source", "warning")
WHOLE = Problem("kb/b.yaml", 0, 0, "there is no such file", "check the spelling", "no-file")


def test_one_problem() -> None:
    assert str(ERROR) == "kb/a.yaml:3:5: unknown key 'x' — did you mean 'y'? (unknown-key)"
    assert str(WHOLE) == "kb/b.yaml: there is no such file — check the spelling (no-file)"


def test_they_are_sorted_by_place_and_kept_once() -> None:
    problems = Problems()
    problems.extend([WHOLE, ERROR, WARNING, ERROR])
    assert (list(problems), problems.errors, len(problems)) == ([WARNING, ERROR, WHOLE], [ERROR, WHOLE], 3)


def test_paths_are_shown_relative_to_the_current_folder_where_inside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    inside = Problem(str(tmp_path / "kb" / "a.yaml"), 1, 2, "m", "h", "c")
    outside = Problem(str(tmp_path.parent / "a.yaml"), 1, 2, "m", "h", "c")
    beside = Problem(str(tmp_path / "..a.yaml"), 1, 2, "m", "h", "c")
    assert inside.place == "kb/a.yaml:1:2"
    assert outside.place == f"{tmp_path.parent}/a.yaml:1:2"
    assert beside.place == "..a.yaml:1:2"


def test_on_a_line_each() -> None:
    assert one_line([ERROR, WARNING]) == (
        "kb/a.yaml:2:1: warning: not cited — cite it (unused-source)\n"
        "kb/a.yaml:3:5: unknown key 'x' — did you mean 'y'? (unknown-key)"
    )


def test_on_a_terminal_with_the_line_of_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "kb").mkdir()
    (tmp_path / "kb" / "a.yaml").write_text("one: 1\ntwo: 2\ntw\x1bo:\tx: 3\n", encoding="utf-8")
    assert terminal([WHOLE, ERROR, WARNING]).splitlines() == [
        "kb/a.yaml:2:1: warning: not cited — cite it (unused-source)",
        "    two: 2",
        "    ^",
        "kb/a.yaml:3:5: unknown key 'x' — did you mean 'y'? (unknown-key)",
        r"    tw\x1bo: x: 3",
        "        ^",
        "kb/b.yaml: there is no such file — check the spelling (no-file)",
        "2 errors, 1 warning",
    ]
    assert terminal([]) == "no problems"


def test_as_json() -> None:
    assert json.loads(as_json([ERROR]))[0] == {
        "file": "kb/a.yaml", "line": 3, "column": 5, "message": "unknown key 'x'", "hint": "did you mean 'y'?",
        "code": "unknown-key", "severity": "error",
    }  # fmt: skip


def test_values_are_quoted_short_and_harmless() -> None:
    assert quoted("a\x1b[31mb\n") == r"'a\x1b[31mb\n'"
    assert quoted("x" * 100) == f"'{'x' * 59}…'"
