"""Building the site for tests, in a process of its own."""

import os
import subprocess
import sys
from pathlib import Path

ENGINE = Path(__file__).parents[1] / "engine"
BUILD = "import sys; from pathlib import Path; from bogwright.report.site.build import build; sys.exit(build({}, True))"


def built_in(folder: Path, cache: Path, seed: str) -> None:
    """Build strictly; the seed changes the order in which Python walks through sets."""
    env = {**os.environ, "PYTHONPATH": str(ENGINE), "BOGWRIGHT_CACHE": str(cache), "PYTHONHASHSEED": seed}
    env.pop("BOGWRIGHT_KB", None)
    code = BUILD.format(f"Path({str(folder)!r})")
    done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
