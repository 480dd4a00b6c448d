"""The data folders are found from a checkout, an editable install and a wheel that was unpacked elsewhere."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SHOW = "from bogwright import data; print(data.kb_folder()); print(data.schemas_folder()); print(data.site_folder())"


def folders(cwd: Path, **env: str) -> list[Path]:
    """The three folders as a process outside the checkout sees them."""
    clean = {k: v for k, v in os.environ.items() if not k.startswith("BOGWRIGHT") and k != "PYTHONPATH"}
    done = subprocess.run(
        [sys.executable, "-c", SHOW], cwd=cwd, env={**clean, **env}, capture_output=True, text=True, check=True
    )
    return [Path(line) for line in done.stdout.split()]


def test_from_a_checkout(tmp_path):
    """engine/ on the path: kb, schemas and site of the checkout."""
    assert folders(tmp_path, PYTHONPATH=str(ROOT / "engine")) == [ROOT / "kb", ROOT / "schemas", ROOT / "site"]


def test_from_an_editable_install(tmp_path):
    """What is installed here answers without any path set, when it was installed editable."""
    found = subprocess.run(
        [sys.executable, "-m", "pip", "show", "-f", "bogwright"], capture_output=True, text=True, check=False
    ).stdout
    if "Editable project location" not in found:
        pytest.skip("bogwright is not installed editable in this environment")
    assert folders(tmp_path) == [ROOT / "kb", ROOT / "schemas", ROOT / "site"]


def test_from_a_wheel_installed_elsewhere(tmp_path):
    """The wheel carries its data and judges from them, with the checkout out of sight."""
    pytest.importorskip("hatchling")
    code = f"from hatchling.build import build_wheel; print(build_wheel({str(tmp_path)!r}))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    name = done.stdout.split()[-1]
    place = tmp_path / "site-packages"
    with zipfile.ZipFile(tmp_path / name) as wheel:
        wheel.extractall(place)
    data = place / "bogwright" / "_data"
    assert folders(tmp_path, PYTHONPATH=str(place)) == [data / "kb", data / "schemas", data / "site"]
    env = {**os.environ, "PYTHONPATH": str(place), "BOGWRIGHT_CACHE": str(tmp_path / "cache")}
    done = subprocess.run(
        [sys.executable, "-m", "bogwright", "judge", "Drosera capensis"],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Drosera capensis" in done.stdout


def test_top_level_holds_what_it_may():
    """The top level is fixed."""
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.split()
    if not tracked:
        pytest.skip("not a git checkout")
    top = {name.split("/")[0] for name in tracked if not name.startswith(".")}
    assert top <= {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "LICENSE",
        "kb",
        "engine",
        "schemas",
        "site",
        "tests",
    }
