"""CPU a page costs as the knowledge grows, and the largest pages as a server would send them.

Run: ``python tests/benchmarks/site.py [times …]`` (default: 1 2 4; at most 8). The plants of the shipped knowledge are
copied under made-up names into a folder of their own, so that 2 means twice as many profiled plants; sources and rules
stay as they are. A page of a plant costs more than one of a source, so the mean grows with the share of plants: growth
is linear if the cost of a page added stays the same from the second size on. Prints figures; nothing here is a test,
since machines differ.
"""

from __future__ import annotations

import gzip
import os
import re
import shutil
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
BUILD = "import sys; from pathlib import Path; from bogwright.report.site.build import build; sys.exit(build(Path({})))"
LARGEST = 8
LIMIT = 100_000  # bytes, compressed
_NAME = re.compile(r"^(\s*name: \"?\S+ )", re.MULTILINE)


def grown(kb: Path, times: int) -> None:
    """Copy the shipped knowledge and add every species `times - 1` times more, in its own genus and group.

    The epithet of a copy tells which it is. Synonyms are copied as they are: lint would refuse that, a build does not.
    """
    shutil.copytree(ROOT / "kb", kb)
    for file in sorted((ROOT / "kb" / "profiles").glob("*/[!_]*.yaml")):
        text = file.read_text(encoding="utf-8")
        for copy in "abcdefg"[: times - 1]:
            renamed = _NAME.sub(rf"\g<1>copy{copy}-", text)
            (kb / "profiles" / file.parent.name / f"copy{copy}-{file.name}").write_text(renamed, encoding="utf-8")


def cost(kb: Path, out: Path, cache: Path) -> float:
    """CPU seconds of one build, by the operating system's own account; the knowledge has been read before."""
    env = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "engine"),
        "BOGWRIGHT_KB": str(kb),
        "BOGWRIGHT_CACHE": str(cache),
    }
    env.pop("BOGWRIGHT_ADDRESS", None)
    warm = "from bogwright.knowledge import KnowledgeBase; KnowledgeBase.open()"
    for code in (warm, BUILD.format(repr(str(out)))):
        child = os.posix_spawn(sys.executable, [sys.executable, "-c", code], env)
        _, status, usage = os.wait4(child, 0)
        if status:
            sys.exit(f"the site of {kb} was not built")
    return usage.ru_utime + usage.ru_stime


def main() -> None:
    """Print the table."""
    sizes = [int(word) for word in sys.argv[1:]] or [1, 2, 4]
    first, before = 0.0, (0, 0.0)
    with tempfile.TemporaryDirectory() as folder:
        for times in sizes:
            kb, out = Path(folder) / f"kb{times}", Path(folder) / f"site{times}"
            grown(kb, times)
            cpu = cost(kb, out, Path(folder) / "cache")
            pages = list(out.rglob("*.html"))
            plants = sum(page.parent.parent.parent.name == "plants" for page in pages)
            each = cpu / len(pages) * 1000
            first = first or each
            added = (cpu - before[1]) / max(1, len(pages) - before[0]) * 1000
            before = len(pages), cpu
            told = f"{times}×: {plants:5} species pages, {len(pages):5} pages, {cpu:6.1f} s CPU, {each:5.2f} ms a page"
            print(f"{told} ({each / first:4.2f} of the first), {added:5.2f} ms a page added", flush=True)
            sent = sorted(((len(gzip.compress(page.read_bytes(), 6)), page) for page in pages), reverse=True)
            for size, page in sent[:LARGEST]:
                over = "  OVER 100 kB" if size > LIMIT else ""
                print(f"      {size / 1000:6.1f} kB compressed  {page.parent.relative_to(out)}{over}", flush=True)
            shutil.rmtree(out)


if __name__ == "__main__":
    main()
