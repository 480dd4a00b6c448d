"""CPU and memory of cold judgements beside CPython's own start-up, all in one run, with the share durable-rules takes.

Run: ``python tests/benchmarks/judge.py [runs]``. Prints medians; nothing here is a test, since machines differ.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
TWELVE = [
    "Dionaea muscipula",
    "Drosera capensis",
    "Nepenthes ampullaria",
    "Drosera adelae",
    "Drosera burmannii",
    "Pinguicula moranensis",
    "Utricularia sandersonii",
    "Utricularia livida",
    "Cephalotus follicularis",
    "Heliamphora nutans",
    "Genlisea hispidula",
    "Drosera aliciae",
]
# the adapter's own CPU, its import of durable-rules included, inside one cold judgement
INSIDE = """
import sys, time
from bogwright.rules import chain
spent = [0.0]
def timed(call):
    def run(*args):
        start = time.process_time()
        try:
            return call(*args)
        finally:
            spent[0] += time.process_time() - start
    return run
chain.available, chain.judge = timed(chain.available), timed(chain.judge)
from bogwright.cli import main
main(sys.argv[1:])
print(f"{spent[0]:.4f}", file=sys.stderr)
"""


def cost(argv: list[str], env: dict[str, str]) -> tuple[float, float]:
    """(CPU seconds, peak MB) of one process, by the operating system's own account."""
    child = subprocess.Popen(argv, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=env)
    _, _, usage = os.wait4(child.pid, 0)
    child.returncode = 0
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def row(title: str, argv: list[str], env: dict[str, str], runs: int) -> float:
    """Print the median of several runs; returns CPU seconds."""
    cost(argv, env)
    found = [cost(argv, env) for _ in range(runs)]
    cpu, memory = (statistics.median(v) for v in zip(*found, strict=True))
    print(f"{title:<44} {cpu:7.3f} s CPU {memory:7.1f} MB")
    return cpu


def main() -> None:
    """Print the table."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    with tempfile.TemporaryDirectory() as cache:
        env = {**os.environ, "BOGWRIGHT_CACHE": cache}
        judge = [sys.executable, "-m", "bogwright", "judge"]
        first = cost([*judge, *TWELVE], env)[0]
        print(f"{'snapshot from nothing, with one judgement':<44} {first:7.3f} s CPU")
        bare = row("python -c pass", [sys.executable, "-c", "pass"], env, runs)
        for title, argv in (("12 plant names", TWELVE), ("demo plan", [str(ROOT / "kb/plans/landing-case.yaml")])):
            whole = row(title, [*judge, *argv], env, runs)
            done = [
                subprocess.run(
                    [sys.executable, "-c", INSIDE, "judge", *argv], capture_output=True, text=True, env=env, check=False
                )
                for _ in range(runs)
            ]
            share = statistics.median(float(d.stderr.split()[-1]) for d in done)
            title = "  of it durable-rules and its adapter"
            print(f"{title:<44} {share:7.3f} s CPU ({share / whole:.0%}); {whole / bare:.0f} x bare Python")


if __name__ == "__main__":
    main()
