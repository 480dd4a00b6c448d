"""The snapshot: never stale, never in the way, never a traceback."""

from __future__ import annotations

import json
import os
import sys
import time
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bogwright.data import schemas_folder
from bogwright.knowledge import KnowledgeBase, KnowledgeError, reading, snapshot
from bogwright.knowledge.snapshot import Snapshot, open_snapshot

from . import synthetic


@pytest.fixture
def plants(tmp_path: Path) -> list[Path]:
    """Five made-up species, old enough that their times can be trusted."""
    paths = synthetic.write(tmp_path / "kb", 5)
    for path in (tmp_path / "kb").rglob("*.yaml"):
        _age(path)
    return paths


def _age(path: Path, seconds: float = 3600) -> None:
    then = time.time() - seconds
    os.utime(path, (then, then))


@pytest.fixture
def read_files(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files that are parsed from now on."""
    names: list[str] = []
    real = reading.read

    def noted(file: str) -> object:
        names.append(Path(file).name)
        return real(file)

    monkeypatch.setattr(reading, "read", noted)
    return names


@pytest.fixture
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Files count as settled at once: ctime cannot be set back, and a test cannot wait for it."""
    monkeypatch.setattr(snapshot, "SETTLED", -3600_000_000_000)


def _open(tmp_path: Path) -> Snapshot:
    return open_snapshot(tmp_path / "kb", schemas_folder(), tmp_path / "cache")


def _file(tmp_path: Path) -> Path:
    (found,) = (tmp_path / "cache").iterdir()
    return found


def _high(found: Snapshot, number: int) -> float:
    value: float = found[f"profiles/exemplaa/planta{number}.yaml"].data["air"]["temperature_day"]["tolerates"]["high"]
    return value


def _edit(path: Path, old: str = "high: 34", new: str = "high: 33") -> None:
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")


def test_a_fresh_snapshot_parses_nothing(
    tmp_path: Path, plants: list[Path], settled: None, read_files: list[str]
) -> None:
    first = _open(tmp_path)
    assert len(read_files) == len(first) == 8
    read_files.clear()
    second = _open(tmp_path)
    assert read_files == []
    assert list(second) == list(first)
    assert all(second[name].data == first[name].data for name in first)
    name = "profiles/exemplaa/planta3.yaml"
    assert second[name].positions.key(("air", "humidity")) == first[name].positions.key(("air", "humidity"))
    assert list(second.entries()) == list(first.entries())


def test_only_the_changed_file_is_parsed_again(
    tmp_path: Path, plants: list[Path], settled: None, read_files: list[str]
) -> None:
    _open(tmp_path)
    read_files.clear()
    _edit(plants[2], "high: 34,", "high: 33.5,")
    assert (_high(_open(tmp_path), 2), read_files) == (33.5, ["planta2.yaml"])
    read_files.clear()
    assert (_high(_open(tmp_path), 2), read_files) == (33.5, [])


def test_new_and_deleted_files_count(tmp_path: Path, plants: list[Path], settled: None, read_files: list[str]) -> None:
    _open(tmp_path)
    read_files.clear()
    new = plants[0].with_name("plantanova.yaml")
    new.write_text(plants[0].read_text(encoding="utf-8").replace("planta0", "plantanova"), encoding="utf-8")
    plants[1].unlink()
    found = _open(tmp_path)
    assert read_files == ["plantanova.yaml"]
    assert "profiles/exemplaa/planta1.yaml" not in found
    assert {entry.id for entry in found.entries()} >= {"exemplaa/plantanova", "exemplaa/planta0"}
    new.unlink()
    assert "exemplaa/plantanova" not in {entry.id for entry in _open(tmp_path).entries()}


def test_a_change_within_the_same_second_is_seen(tmp_path: Path, plants: list[Path]) -> None:
    """Same size and same times, as a coarse clock would show them: only the content tells."""
    _open(tmp_path)
    before = plants[0].stat()
    _edit(plants[0])
    os.utime(plants[0], ns=(before.st_atime_ns, before.st_mtime_ns))
    file = _file(tmp_path)
    header, body = _split(file)
    size, mtime, _ = header["files"]["profiles/exemplaa/planta0.yaml"][0]
    header["files"]["profiles/exemplaa/planta0.yaml"][0] = [size, mtime, plants[0].stat().st_ctime_ns]
    _join(file, header, body)
    assert _high(_open(tmp_path), 0) == 33


def test_a_touched_file_is_not_parsed(tmp_path: Path, plants: list[Path], settled: None, read_files: list[str]) -> None:
    _open(tmp_path)
    read_files.clear()
    plants[0].touch()
    _open(tmp_path)
    assert read_files == []


def test_new_files_are_hashed_until_they_have_settled(
    tmp_path: Path, plants: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    _open(tmp_path)
    first = _file(tmp_path).stat().st_mtime_ns
    _open(tmp_path)
    assert _file(tmp_path).stat().st_mtime_ns == first, "nothing new to say, nothing written"
    monkeypatch.setattr(snapshot, "SETTLED", -3600_000_000_000)
    _open(tmp_path)
    hashed: list[bytes] = []

    def noted(data: bytes) -> str:
        hashed.append(data)
        return ""

    monkeypatch.setattr(snapshot, "_digest", noted)
    kept = snapshot._load(_file(tmp_path), _split(_file(tmp_path))[0]["versions"], tmp_path / "kb")
    assert kept is not None
    snapshot._brought_up_to_date(tmp_path / "kb", schemas_folder(), kept)
    assert hashed == []


def _split(file: Path) -> tuple[dict[str, Any], bytes]:
    raw = file.read_bytes()
    length = int.from_bytes(raw[:8], "big")
    header: dict[str, Any] = json.loads(raw[8 : 8 + length])
    return header, raw[8 + length : -4]


def _join(file: Path, header: Any, body: bytes) -> None:
    text = json.dumps(header).encode()
    whole = len(text).to_bytes(8, "big") + text + body
    file.write_bytes(whole + zlib.crc32(whole).to_bytes(4, "big"))


def _flipped(raw: bytes, place: int) -> bytes:
    return raw[:place] + bytes([raw[place] ^ 1]) + raw[place + 1 :]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda raw: b"",
        lambda raw: raw[:5],
        lambda raw: raw[: len(raw) // 2],
        lambda raw: raw[:-1],
        lambda raw: b"\xff" * len(raw),
        lambda raw: _flipped(raw, 3),
        lambda raw: _flipped(raw, 40),
        lambda raw: _flipped(raw, len(raw) - 900),
        lambda raw: raw + b"x",
        lambda raw: b"[]" + raw,
    ],
    ids=["empty", "short", "half", "cut", "noise", "length", "header", "record", "longer", "shifted"],
)
def test_a_damaged_snapshot_is_built_again(
    tmp_path: Path, plants: list[Path], settled: None, read_files: list[str], spoil: Callable[[bytes], bytes]
) -> None:
    _open(tmp_path)
    file = _file(tmp_path)
    file.write_bytes(spoil(file.read_bytes()))
    read_files.clear()
    assert _high(_open(tmp_path), 0) == 34
    assert len(read_files) == 8
    read_files.clear()
    _open(tmp_path)
    assert read_files == []


@pytest.mark.parametrize("header", [{}, {"versions": None}, [], 3])
def test_a_header_that_makes_no_sense(tmp_path: Path, plants: list[Path], header: object) -> None:
    _open(tmp_path)
    _join(_file(tmp_path), header, b"")
    assert _high(_open(tmp_path), 0) == 34


def test_other_code_or_other_schemas_build_it_again(
    tmp_path: Path, plants: list[Path], settled: None, read_files: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    _open(tmp_path)
    read_files.clear()
    with monkeypatch.context() as patch:
        patch.setattr(snapshot, "code_version", lambda: "other")
        _open(tmp_path)
    assert len(read_files) == 8
    read_files.clear()
    schemas = tmp_path / "schemas"
    schemas.mkdir()
    for path in schemas_folder().glob("*.json"):
        (schemas / path.name).write_bytes(path.read_bytes())
    open_snapshot(tmp_path / "kb", schemas, tmp_path / "cache")
    read_files.clear()
    (schemas / "source.schema.json").write_text(
        (schemas / "source.schema.json").read_text(encoding="utf-8") + "\n", encoding="utf-8"
    )
    open_snapshot(tmp_path / "kb", schemas, tmp_path / "cache")
    assert len(read_files) == 8


def test_without_a_place_to_write_it_works_all_the_same(tmp_path: Path, plants: list[Path]) -> None:
    (tmp_path / "cache").write_text("a file, not a folder", encoding="utf-8")
    assert _high(_open(tmp_path), 0) == 34
    assert _high(_open(tmp_path), 0) == 34


def test_a_failed_write_leaves_nothing_behind(
    tmp_path: Path, plants: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", fail)
    assert _high(_open(tmp_path), 0) == 34
    assert list((tmp_path / "cache").iterdir()) == []


def test_no_home_no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("BOGWRIGHT_CACHE")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", staticmethod(fail))
    monkeypatch.setattr(sys, "platform", "linux")
    assert snapshot.cache_folder() is None


@pytest.mark.parametrize(
    ("platform", "variables", "folder"),
    [
        ("linux", {}, "/home/x/.cache/bogwright"),
        ("linux", {"XDG_CACHE_HOME": "/xdg"}, "/xdg/bogwright"),
        ("darwin", {}, "/home/x/Library/Caches/bogwright"),
        ("win32", {"LOCALAPPDATA": "/local"}, "/local/bogwright/cache"),
        ("linux", {"BOGWRIGHT_CACHE": "/mine"}, "/mine"),
    ],
)
def test_the_cache_lies_where_the_platform_keeps_caches(
    platform: str, variables: dict[str, str], folder: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("BOGWRIGHT_CACHE", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(Path, "home", staticmethod(lambda: Path("/home/x")))
    monkeypatch.setattr(sys, "platform", platform)
    assert snapshot.cache_folder() == Path(folder)


def test_files_with_errors_are_all_reported_each_time(
    tmp_path: Path, plants: list[Path], read_files: list[str]
) -> None:
    _edit(plants[0], "basis: from-memory}", "bassis: from-memory}")
    _edit(plants[1], "rank: species", "rank: no")
    for _ in range(2):
        with pytest.raises(KnowledgeError) as caught:
            KnowledgeBase.open(tmp_path / "kb", cache=tmp_path / "cache")
        files = {Path(problem.file).name for problem in caught.value.problems}
        assert files == {"planta0.yaml", "planta1.yaml"}
        assert caught.value.problems == sorted(caught.value.problems)
    assert sorted(read_files[-2:]) == ["planta0.yaml", "planta1.yaml"], "the good ones were kept"
    assert "the knowledge base cannot be read: " in str(caught.value)


def test_which_files_are_part_of_it(tmp_path: Path, plants: list[Path]) -> None:
    kb = tmp_path / "kb"
    for name in (
        "axes.yaml",
        "rules/share/cold.yaml",
        "plans/mine.yaml",
        "profiles/.#lock.yaml",
        "profiles/x.txt",
        "no.yaml",
    ):
        (kb / name).parent.mkdir(parents=True, exist_ok=True)
        (kb / name).write_text("a: 1\n", encoding="utf-8")
    (kb / "profiles" / ".hidden").symlink_to("nowhere")
    names = set(snapshot.scan(kb))
    assert {"axes.yaml", "rules/share/cold.yaml"} <= names
    assert not names & {"plans/mine.yaml", "profiles/.#lock.yaml", "profiles/x.txt", "no.yaml", "profiles/.hidden"}


def test_a_file_named_yml_is_not_passed_over(tmp_path: Path, plants: list[Path]) -> None:
    plants[0].rename(plants[0].with_suffix(".yml"))
    (problem,) = _open(tmp_path).problems
    assert str(problem).endswith("planta0.yml: the file name ends in .yml — rename it to .yaml (file-name)")


def test_a_folder_that_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "kb" / "profiles").mkdir(parents=True)

    def refuse(path: object) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(os, "scandir", refuse)
    (problem,) = _open(tmp_path).problems
    assert str(problem).endswith(
        "profiles: the folder cannot be read: Permission denied — mend its permissions (no-folder)"
    )
