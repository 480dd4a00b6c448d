"""Time the share check's judgement of every pair of 250, 500 and 1,000 invented plants, in Node.

The plants are known ones with their air, hours of light and humidity shifted by a seed. Outcomes are held against
judge() on a sample. Run: ``python tests/benchmarks/pair_table.py [plants ...]``. Needs Node. Prints figures; nothing
here is a test, since machines differ: cpu is the processor's own time, wall what passed.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from every_pair import package

from bogwright.judge.bench import Bench
from bogwright.report.site.share_data import ShareData

PLANTS = (250, 500, 1000)
SAMPLE = 1000


def main() -> None:
    """Measure each number of plants in a process of its own."""
    node = shutil.which("node") or sys.exit("node is not installed")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "share.json"
        file.write_text(json.dumps(ShareData(Bench.open(), lambda entry: "").whole()))
        modules = package(Path(folder))
        for plants in map(int, sys.argv[1:] or PLANTS):
            command = [
                node,
                "--max-old-space-size=6000",
                str(Path(__file__).with_suffix(".mjs")),
                str(modules),
                str(file),
            ]
            run = subprocess.run([*command, str(plants), str(SAMPLE)], capture_output=True, text=True, check=False)
            if run.returncode:
                sys.exit(run.stderr)
            told = json.loads(run.stdout)
            print(
                f"{plants:5} plants, {told['pairs']:7} pairs: wall {told['seconds']:6.1f} s, cpu {told['cpu']:6.1f} s, "
                f"{told['cpu'] / told['pairs'] * 1e6:4.0f} us a pair, {told['mb']:5.0f} MB; "
                f"{told['held']} as judge() has them; {told['verdicts']}; {told['ways']}",
                flush=True,
            )


if __name__ == "__main__":
    main()
