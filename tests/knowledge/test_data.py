"""Where the data folders are found."""

from __future__ import annotations

from pathlib import Path

import pytest

from bogwright import data


def test_in_a_checkout() -> None:
    root = Path(__file__).resolve().parents[2]
    assert (data.kb_folder(), data.schemas_folder(), data.site_folder()) == (
        root / "kb",
        root / "schemas",
        root / "site",
    )


def test_in_a_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site-packages" / "bogwright"
    for name in ("kb", "schemas", "site"):
        (package / "_data" / name).mkdir(parents=True)
    monkeypatch.setattr(data, "PACKAGE", package)
    assert data.kb_folder() == package / "_data" / "kb"
    assert data.schemas_folder() == package / "_data" / "schemas"
    assert data.site_folder() == package / "_data" / "site"


def test_a_kb_of_your_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BOGWRIGHT_KB", str(tmp_path))
    assert data.kb_folder() == tmp_path
    monkeypatch.setenv("BOGWRIGHT_KB", str(tmp_path / "none"))
    with pytest.raises(
        data.DataNotFound, match=r"BOGWRIGHT_KB names .*none', which is not a folder — point it at a kb"
    ):
        data.kb_folder()


def test_nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(data, "PACKAGE", tmp_path / "a" / "b")
    with pytest.raises(data.DataNotFound, match=r"the folder 'schemas' is in neither .* — install bogwright again"):
        data.schemas_folder()
