"""What all tests share: no test reads or writes the user's own cache."""

from __future__ import annotations

from pathlib import Path

import pytest

from sites import built_in


@pytest.fixture(autouse=True)
def _own_cache(run_cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BOGWRIGHT_CACHE", str(run_cache))
    monkeypatch.delenv("BOGWRIGHT_KB", raising=False)


@pytest.fixture(scope="session")
def run_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache folder a run, so that the shipped knowledge base is checked once and not in every test."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="session")
def shipped_site(tmp_path_factory: pytest.TempPathFactory, run_cache: Path) -> Path:
    """The site of the shipped knowledge, built once a run."""
    folder = tmp_path_factory.mktemp("site") / "out"
    built_in(folder, run_cache, "1")
    return folder
