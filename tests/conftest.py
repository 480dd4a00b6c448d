"""What all tests share: no test reads or writes the user's own cache."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BOGWRIGHT_CACHE", str(_cache(tmp_path_factory)))
    monkeypatch.delenv("BOGWRIGHT_KB", raising=False)


def _cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache folder a run, so that the shipped knowledge base is checked once and not in every test."""
    folder = tmp_path_factory.getbasetemp() / "cache"
    folder.mkdir(exist_ok=True)
    return folder
