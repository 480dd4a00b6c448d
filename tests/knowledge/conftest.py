"""Small made-up knowledge bases in a temporary folder."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.data import schemas_folder
from bogwright.knowledge import KnowledgeBase

SOURCES = """\
- {id: a-book, type: book, title: A book, ISBN: "1", custom: {standing: expert, read: "2026-11-25", extent: whole}}
- {id: a-post, type: post, title: A post, URL: "https://post.example/1",
   custom: {standing: casual, read: "2026-11-25", extent: whole}}
"""

Write = Callable[..., Path]


@pytest.fixture
def schemas() -> Path:
    return schemas_folder()


@pytest.fixture
def kb(tmp_path: Path) -> Path:
    """An empty kb folder with two sources."""
    folder = tmp_path / "kb"
    (folder / "profiles").mkdir(parents=True)
    (folder / "sources").mkdir()
    (folder / "sources" / "some.yaml").write_text(SOURCES, encoding="utf-8")
    return folder


@pytest.fixture
def write(kb: Path) -> Write:
    """Write a file of the kb."""

    def put(name: str, text: str) -> Path:
        path = kb / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    return put


@pytest.fixture
def species(write: Write) -> Write:
    """Write a species profile: the head that the schema demands (five lines), then the text."""

    def put(text: str, name: str = "Exempla una", path: str | None = None, head: str = "") -> Path:
        genus, _, epithet = name.partition(" ")
        start = f"profile: taxon\nname: {name}\nrank: species\n{head}identity:\n"
        family = "  family: {value: Exemplaceae, basis: from-memory}\n"
        return write(path or f"profiles/{genus.lower()}/{epithet}.yaml", start + family + text)

    return put


@pytest.fixture
def opened(kb: Path, tmp_path: Path) -> Callable[[], KnowledgeBase]:
    """Open the made-up knowledge base with a cache of its own."""
    return lambda: KnowledgeBase.open(kb, cache=tmp_path / "cache")
