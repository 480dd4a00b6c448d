"""The shipped knowledge base, opened once, and the data files with what outside sources say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from bogwright.judge.bench import Bench
from bogwright.knowledge.base import KnowledgeBase


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """The shipped knowledge with its tables; its snapshot is kept in the run's own cache folder."""
    cache = tmp_path_factory.getbasetemp() / "cache"
    cache.mkdir(exist_ok=True)
    return Bench(KnowledgeBase.open(cache=cache))


@pytest.fixture(scope="session")
def base(bench: Bench) -> KnowledgeBase:
    """The shipped profiles and sources."""
    return bench.base


def published(name: str) -> Any:
    """A data file of this folder: facts of outside sources, each with the source and where it was read."""
    return yaml.safe_load((Path(__file__).parent / name).read_text(encoding="utf-8"))
