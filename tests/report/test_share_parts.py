"""The parts of the share check that touch no page, and the plants it offers to begin with."""

import shutil
import subprocess
from pathlib import Path

import pytest

from bogwright import data
from bogwright.judge.ask import resolve
from bogwright.report.site import share_page
from bogwright.report.site.atlas import Atlas

PARTS = Path(__file__).parent / "share_parts.test.js"
NODE = shutil.which("node")


@pytest.mark.skipif(NODE is None, reason="node is not installed")
def test_parts_that_touch_no_page(tmp_path):
    """Names, months, numbers, margins and texts, as one package of ES modules."""
    shutil.copy(PARTS, tmp_path)
    shutil.copytree(data.site_folder() / "theme" / "js" / "share", tmp_path / "share")
    (tmp_path / "package.json").write_text('{"type": "module"}')
    done = subprocess.run(
        [NODE, "--test", PARTS.name], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stdout


def test_every_example_names_plants_that_can_be_chosen():
    atlas = Atlas.open()
    for _, ids in share_page.EXAMPLES:
        for one in ids:
            assert resolve(atlas.bench, atlas.base.entries[one].name) == (one,)
