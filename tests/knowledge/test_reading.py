"""Reading YAML: what is refused, where, and in which words."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml

from bogwright.knowledge import reading
from bogwright.knowledge.reading import read, read_text


def _said(text: str) -> list[str]:
    return [str(problem) for problem in read_text(text, "f.yaml").problems]


def test_plain_data_comes_with_the_place_of_every_key_and_value() -> None:
    document = read_text("a: 1\nb:\n  - {c: x, d: 1.5}\n  - true\n", "f.yaml")
    assert document.data == {"a": 1, "b": [{"c": "x", "d": 1.5}, True]}
    assert document.positions.key(("a",)) == (1, 1)
    assert document.positions.value(("a",)) == (1, 4)
    assert document.positions.key(("b", 0, "d")) == (3, 12)
    assert document.positions.value(("b", 0, "d")) == (3, 15)
    assert document.positions.value(("b", 1)) == (4, 5)
    assert document.positions.value(("b", 0, "missing", "deeper")) == (3, 5), "the nearest parent that exists"


def test_columns_count_characters_not_bytes() -> None:
    document = read_text("{größe: 'µ', tail: 𝄞, end: 1}\n", "f.yaml")
    assert document.positions.key(("end",)) == (1, 23)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0), ("-3", -3), ("+4", 4), ("2.50", 2.5), ("-.5", -0.5), ("5.", 5.0), ("true", True), ("false", False),
        ("'no'", "no"), ('"14:00"', "14:00"), ('"2026-11-25"', "2026-11-25"), ("2027-03", "2027-03"), ("y", "y"),
        ("v1_2", "v1_2"), ("p. 4", "p. 4"), ("1-12", "1-12"), ("north", "north"), ("-", None), ("12e", "12e"),
    ],
)  # fmt: skip
def test_unquoted_words_that_every_reader_understands_alike(text: str, value: object) -> None:
    if value is None:
        assert _said(f"a: {text}\n"), "a lone hyphen starts a list"
    else:
        document = read_text(f"a: {text}\n", "f.yaml")
        assert (document.problems, document.data) == ((), {"a": value})
        assert type(document.data["a"]) is type(value)


SURPRISES = [
    ("no", "the bare word 'no' is read as false by some YAML readers — write false for a yes-or-no value, or quote "
           "the word: \"no\""),
    ("Yes", "the bare word 'Yes' is read as true by some YAML readers — write true for a yes-or-no value, or quote "
            "the word: \"Yes\""),
    ("OFF", "the bare word 'OFF' is read as false by some YAML readers — write false for a yes-or-no value, or "
            "quote the word: \"OFF\""),
    ("True", "'True' is written in capitals — write true"),
    ("14:00", "'14:00' is read as a number to base 60 by some YAML readers — quote it: \"14:00\""),
    ("1_000", "'1_000' has underscores between its digits — write 1000"),
    ("010", "'010' starts with 0 and is read as an octal number by some YAML readers — write 10, or quote it: \"010\""),
    ("08", "'08' starts with 0 and is read as an octal number by some YAML readers — write 8, or quote it: \"08\""),
    ("0x1F", "'0x1F' is not a decimal number — write it in decimal digits, or quote it: \"0x1F\""),
    ("2026-11-25", "the date '2026-11-25' is not quoted — quote it: \"2026-11-25\""),
    ("1e3", "'1e3' is a number to some YAML readers and a text to others — write 1000"),
    ("1.5e-3", "'1.5e-3' is a number to some YAML readers and a text to others — write 0.0015"),
    ("1e400", "'1e400' is a number to some YAML readers and a text to others — write the number out, or quote it: "
              "\"1e400\""),
    ("18,5", "the number '18,5' is written with a comma — write 18.5, or quote it: \"18,5\""),
    ("15,000", "the number '15,000' is written with a comma — write 15000, or quote it: \"15,000\""),
    ("−7", "'−7' starts with a minus sign that is not the hyphen — write -7"),
    (".nan", "'.nan' is not a number that can be compared — give a number, or quote it: \".nan\""),
    ("=", "the bare word '=' has a special meaning in YAML — quote it: \"=\""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), SURPRISES)
def test_words_that_readers_understand_differently_are_refused(text: str, said: str) -> None:
    assert _said(f"key: {text}\n") == [f"f.yaml:1:6: {said} (ambiguous-word)"]


def test_too_many_digits_are_refused_and_not_computed() -> None:
    assert _said(f"a: {'9' * 6000}\n") == [
        "f.yaml:1:4: the number '99999999999999999999999999999…' has too many digits — "
        "at most 20 characters; quote it if it is a text (ambiguous-word)"
    ]


@pytest.mark.parametrize(
    ("text", "place"), [("a:\nb: 1\n", "1:1"), ("a: ~\n", "1:4"), ("a: null\n", "1:4"), ("- \n", "1:2")]
)
def test_a_key_without_a_value_is_refused(text: str, place: str) -> None:
    (said,) = _said(text)
    assert said.startswith(f"f.yaml:{place}: ")
    assert said.endswith(
        "— write a value, or leave the key out; what was looked for and not found is {unknown: true} (no-value)"
    )


OTHER_FAULTS = [
    ("a: 1\nb: {a: 1,\n  a: 2}\na: 3\n", [
        "f.yaml:3:3: the key 'a' stands here twice — keep one of the two; the first is used for the other checks "
        "(duplicate-key)",
        "f.yaml:4:1: the key 'a' stands here twice — keep one of the two; the first is used for the other checks "
        "(duplicate-key)",
    ]),
    ("<<: {a: 1}\n", ["f.yaml:1:1: the merge key '<<' is not used here — write the entries out (merge-key)"]),
    ("10: 1\n", ["f.yaml:1:1: the key '10' is not a text — quote it: \"10\" (key-not-text)"]),
    ("on: 1\n", ["f.yaml:1:1: the bare word 'on' is read as true by some YAML readers — quote it: \"on\" "
                 "(ambiguous-word)"]),
    ("? [a]\n: 1\n", ["f.yaml:1:3: a list or mapping stands where a key belongs — a key is a text (key-not-text)"]),
    ("a: !!python/object/apply:os.system [x]\n", [
        "f.yaml:1:4: the tag '!!python/object/apply:os.system' is not used here — remove it; quote a text that "
        "looks like a number (tag)"
    ]),
    ("a: !!int '3'\n", ["f.yaml:1:4: the tag '!!int' is not used here — remove it; quote a text that looks like a "
                        "number (tag)"]),
    ("&k a: 1\n", ["f.yaml:1:1: an anchor on a key is not used here — remove '&k' (anchor)"]),
    ("a: *x\n", ["f.yaml:1:4: the alias '*x' names nothing above it — write the value out (alias)"]),
    ("a: &x [*x]\n", ["f.yaml:1:8: the alias '*x' stands inside what it names — write the value out (alias)"]),
    ("a: &x b\n*x : 1\n", ["f.yaml:2:1: an alias stands where a key belongs — write the key out (alias)"]),
    ("a: 1\n---\nb: 2\n", ["f.yaml:2:1: a second document starts here — one document a file: remove the '---' or "
                           "split the file (several-documents)"]),
    ("", ["f.yaml:1:1: the file is empty — write something into it, or delete it (empty-file)"]),
    ("# only this\n", ["f.yaml:1:1: the file is empty — write something into it, or delete it (empty-file)"]),
    ("a: x\x07y\x00\n", [
        "f.yaml:1:5: the character U+0007 cannot stand in a YAML file — remove it (bad-character)",
        "f.yaml:1:7: the character U+0000 cannot stand in a YAML file — remove it (bad-character)",
    ]),
    ("a:\n\tb: 1\nc:\n\td: 1\n", [
        "f.yaml:2:1: a tab stands in the indentation — indent with spaces (tab)",
        "f.yaml:4:1: a tab stands in the indentation — indent with spaces (tab)",
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), OTHER_FAULTS)
def test_other_faults(text: str, said: list[str]) -> None:
    assert _said(text) == said


SYNTAX = [
    ("a: b: c\n", "1:5", "a ': ' stands where it cannot — quote a text that holds ': ', or line the key up with its "
                         "neighbours"),
    ("a: [1, 2\nb: 3\n", "2:2", "a list or mapping in brackets is not closed, or a comma is missing — add the comma "
                                "or the closing bracket (it belongs to line 1)"),
    ("a: 'b\n", "1:4", "a quote is opened and never closed — add the closing quote"),
    ("- a\nb: 1\n", "2:1", "the indentation does not fit the lines around it — line the entry up with its "
                           "neighbours (it belongs to line 1)"),
    ("a: @x\n", "1:4", "a text starts with a character that means something in YAML — quote the text"),
    ('a: "\\q"\n', "1:4", "a backslash in double quotes is followed by an unknown letter — use single quotes, or "
                          "double the backslash"),
    ("a: }\n", "1:4", "something stands where no value can stand — check the line above: a quote, bracket or ':' "
                      "may be missing"),
    ('a: "\\uD800"\n', "1:7", "an escaped character is not valid — write the character itself"),
    ("a: *\n", "1:5", "an '&' or '*' starts this text — quote the text"),
    ("a: > x\n", "1:6", "a '|' or '>' starts this text — quote the text, or start the text on the next line"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "place", "said"), SYNTAX)
def test_syntax_faults_are_explained(text: str, place: str, said: str) -> None:
    assert _said(text) == [f"f.yaml:{place}: {said} (syntax)"]


@pytest.mark.parametrize("text", [text for text, *_ in [*OTHER_FAULTS, *SYNTAX]])
def test_the_parser_without_libyaml_finds_the_same_kinds(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with_library = read_text(text, "f.yaml").problems
    monkeypatch.setattr(reading, "_LOADER", yaml.SafeLoader)
    without = read_text(text, "f.yaml").problems
    assert [(p.line, p.code) for p in with_library] == [(p.line, p.code) for p in without]


def test_all_faults_come_in_one_run() -> None:
    said = _said("a: no\nb: 1_000\nb: 2\nc: !x 14\nd:\n")
    assert [line.rpartition("(")[2] for line in said] == [
        "ambiguous-word)", "ambiguous-word)", "duplicate-key)", "tag)", "no-value)",
    ]  # fmt: skip


def test_aliases_are_bounded() -> None:
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]\n" for i in range(1, 12)
    )
    document = read_text(bomb, "f.yaml")
    (problem,) = document.problems
    assert str(problem) == "f.yaml:4:30: too many aliases — at most 50 in a file; write the values out (alias)"
    assert not document.readable


def test_an_alias_carries_places_with_it() -> None:
    document = read_text("a: &x {k: 1}\nb: *x\nc: 2\n", "f.yaml")
    assert document.data == {"a": {"k": 1}, "b": {"k": 1}, "c": 2}
    assert document.positions.value(("b", "k")) == (1, 11)
    assert document.positions.value(("c",)) == (3, 4)


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_deep_nesting_is_refused_before_it_costs_anything(opening: str) -> None:
    (problem,) = read_text(opening * 100_000, "f.yaml").problems
    assert (problem.message, problem.hint) == ("more than 40 levels inside one another", "flatten it")
    assert problem.code == "too-deep"


def test_the_place_of_too_deep_nesting() -> None:
    assert _said("[" * 41 + "]" * 41) == ["f.yaml:1:41: more than 40 levels inside one another — flatten it (too-deep)"]
    assert _said("[" * 40 + "]" * 40) == []


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    (problem,) = read(path).problems
    assert (problem.message, problem.hint, problem.line) == (
        "the file is too large: 50.0 MB",
        "at most 2 MB; split it",
        0,
    )


@pytest.mark.parametrize(
    ("raw", "place", "said"),
    [
        ("a: ä\n".encode("utf-16"), (1, 1), "the file is written in UTF-16 — save it as UTF-8"),
        ("a: b\n".encode("utf-16-le"), (1, 1), "this is no text: it holds zero bytes, like UTF-16 or a binary file "
                                               "— save it as plain text in UTF-8"),
        (b"\x7fELF\n\x01\x02" + b"\0" + b"x" * 9, (2, 1), "this is no text: it holds zero bytes, like a binary file "
                                                          "— save it as plain text in UTF-8"),
        ("a: 1\nb: größe\n".encode("latin-1"), (2, 6), "the byte 0xF6 is not UTF-8, perhaps Latin-1 or Windows-1252 "
                                                       "— save the file as UTF-8"),
    ],
)  # fmt: skip
def test_wrong_encodings(tmp_path: Path, raw: bytes, place: tuple[int, int], said: str) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes(raw)
    (problem,) = read(path).problems
    assert (problem.line, problem.column) == place
    assert f"{problem.message} — {problem.hint}" == said


def test_a_byte_order_mark_and_other_line_ends_are_fine(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    document = read(path)
    assert (document.data, document.problems) == ({"a": 1, "b": 2}, ())
    assert document.positions.key(("a",)) == (1, 1)
    assert document.positions.value(("b",)) == (2, 4)


def test_files_that_are_not_there_or_no_files(tmp_path: Path) -> None:
    said = {str(p).partition(": ")[2] for name in ("none.yaml", ".") for p in read(tmp_path / name).problems}
    assert said == {
        "there is no such file — check the spelling and the folder (no-file)",
        "this is a folder — name a file inside it (not-a-file)",
    }


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (problem,) = read(tmp_path / "pipe.yaml").problems
    assert problem.message == "this is not an ordinary file"


def test_no_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "f.yaml"
    path.write_text("a: 1\n", encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)  # root may read everything, so permissions alone cannot show it
    (problem,) = read(path).problems
    assert (problem.message, problem.hint) == ("the file may not be read", "give yourself permission to read it")
