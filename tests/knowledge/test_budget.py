"""What the knowledge base may cost, measured as CPU time in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

import bogwright.data

from . import synthetic

READ_TWELVE = """
import sys, time
from pathlib import Path
{first}
from bogwright.knowledge import KnowledgeBase
start = time.process_time()
kb = KnowledgeBase.open(Path({kb!r}), cache=Path({cache!r}))
for entry in kb.taxa()[::21][:12]:
    profile = kb.profile(entry.id)
    for field in ("air.temperature_day", "air.temperature_night", "air.humidity", "light.dli", "roots.sensitivity"):
        profile.claim(field)
    for way in profile.ways.values():
        for rest in way.rests.values():
            rest.weeks, rest.may, rest.claim("air.temperature_day")
print(time.process_time() - start, "yaml" in sys.modules, "jsonschema" in sys.modules)
"""


def _run(folder: Path, first: str = "") -> tuple[float, list[str]]:
    """CPU seconds, and whether yaml and jsonschema were imported."""
    code = READ_TWELVE.format(kb=str(folder / "kb"), cache=str(folder / "cache"), first=first)
    engine = str(bogwright.data.PACKAGE.parent)
    path = os.pathsep.join(part for part in (engine, os.environ.get("PYTHONPATH")) if part)
    done = subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": path}, capture_output=True, text=True, check=True
    )
    seconds, *imported = done.stdout.split()
    return float(seconds), imported


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, float]:
    """250 made-up species with their snapshot, and what that cost."""
    folder = tmp_path_factory.mktemp("large")
    synthetic.write(folder / "kb", 250)
    return folder, _run(folder)[0]


def test_from_nothing(large: tuple[Path, float]) -> None:
    assert large[1] <= 8.0


def test_twelve_of_250_from_the_snapshot(large: tuple[Path, float]) -> None:
    time.sleep(2.1)  # until the files count as settled
    _run(large[0])
    runs = [_run(large[0]) for _ in range(5)]
    assert all(imported == ["False", "False"] for _, imported in runs)
    assert min(seconds for seconds, _ in runs) <= 0.025


def test_after_one_changed_file(large: tuple[Path, float]) -> None:
    path = large[0] / "kb" / "profiles" / "exemplaa" / "planta3.yaml"
    text = path.read_text(encoding="utf-8")
    times = []
    for high in (31, 32, 33):
        path.write_text(text.replace("[12, 30]", f"[12, {high}]"), encoding="utf-8")
        times.append(_run(large[0], "import yaml, jsonschema, referencing")[0])
    assert min(times) <= 0.1
