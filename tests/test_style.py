"""ruff and mypy are clean: the same checks everywhere, in one command."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize(
    "command", [["ruff", "check", "engine", "tests", "site"], ["mypy", "engine/bogwright"]], ids=lambda c: c[0]
)
def test_clean(command):
    """No finding."""
    pytest.importorskip(command[0])
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
