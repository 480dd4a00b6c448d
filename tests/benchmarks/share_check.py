"""Time a judgement of 20 plants takes in the share check, and what its page loads, as a server would send it.

Plants that share are judged by the modules alone; plants drawn at random, most of which do not share, are chosen on
the page: in one that stays open, and each in one just loaded. Printed is the time from the choice to the verdict shown
and to the whole answer, and the longest stretch for which the page could not react.
Run: ``python tests/benchmarks/share_check.py [folder of a built site]`` (default: builds one). Needs Playwright and
Chromium, by $BOGWRIGHT_CHROMIUM or where Debian puts it. Prints figures; nothing here is a test, since machines differ.
"""

from __future__ import annotations

import gzip
import os
import random
import sys
import tempfile
import threading
from collections import Counter
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from statistics import median
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import sync_playwright

from bogwright.report.site.build import build

CHROMIUM = os.environ.get("BOGWRIGHT_CHROMIUM", "/usr/bin/chromium")
PLANTS = 20
RUNS = 5
SETS = 40
# Plants from all over the list that share, taken one by one; then judged anew with knowledge just read.
MEASURE = """async ([count, runs]) => {
  const { load } = await import(new URL("../js/share/knowledge.js", location));
  const { judge } = await import(new URL("../js/share/judge.js", location));
  const finder = await load("../data/share.json");
  const known = finder.plants.filter((plant) => plant.known === "profile");
  const step = Math.floor(known.length / 7) * 2 + 1;
  let ids = [];
  for (let n = 0; n < known.length && ids.length < count; n += 1) {
    const tried = [...new Set([...ids, known[(n * step) % known.length].id])];
    if (["sound", "conditional"].includes(judge(finder, tried).verdict)) ids = tried;
  }
  const knowledge = await load("../data/share.json");
  const times = [];
  for (let run = 0; run <= runs; run += 1) {
    const start = performance.now();
    judge(knowledge, ids);
    times.push(performance.now() - start);
  }
  const [first, ...warm] = times;
  return { ids, verdict: judge(knowledge, ids).verdict, first, median: warm.sort((a, b) => a - b)[runs >> 1] };
}"""

NAMES = """async () => (await (await fetch("../data/share.json")).json()).plants.map((plant) => plant.id)"""
# A choice as the browser's own "back" makes it; blocked: tasks of 50 ms and more, in ms.
CHOOSE = """async (ids) => {
  const blocked = [];
  const watch = new PerformanceObserver((list) => list.getEntries().forEach((one) => blocked.push(one.duration)));
  watch.observe({ entryTypes: ["longtask"] });
  const shown = (place) => new Promise((resolve) => {
    const seen = new MutationObserver(() => { seen.disconnect(); resolve(performance.now() - start); });
    seen.observe(document.getElementById(place), { childList: true });
  });
  history.replaceState(null, "", `?plants=${ids.join()}`);
  const start = performance.now();
  const parts = [shown("verdict"), shown("more")];
  dispatchEvent(new PopStateEvent("popstate"));
  const asked = performance.now() - start;
  const [verdict, answer] = await Promise.all(parts);
  await new Promise((resolve) => setTimeout(resolve, 300)); // pairs are told meanwhile
  watch.disconnect();
  return { asked, verdict, answer, blocked: Math.max(0, ...blocked) };
}"""


class Quiet(SimpleHTTPRequestHandler):
    """Files of the site; no log."""

    def log_message(self, *_: object) -> None:
        """Figures only."""


def measure(site: Path) -> None:
    """Print the figures of a built site."""
    with (
        ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(site))) as server,
        sync_playwright() as playwright,
    ):
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        loaded: list[str] = []
        page.on("response", lambda got: loaded.append(urlsplit(got.url).path.lstrip("/")))
        page.goto(f"http://127.0.0.1:{server.server_address[1]}/share/", wait_until="networkidle")
        page.locator("#share").wait_for()
        sizes: Counter[str] = Counter()
        files: Counter[str] = Counter()
        for path in dict.fromkeys(loaded):
            file = site / path / "index.html" if path.endswith("/") else site / path
            sizes[file.suffix] += len(gzip.compress(file.read_bytes(), 6))
            files[file.suffix] += 1
        made = page.evaluate(MEASURE, [PLANTS, RUNS])
        names = page.evaluate(NAMES)
        rng = random.Random(20)
        sets = [rng.sample(names, PLANTS) for _ in range(SETS)]
        address = page.url
        opened = [_chosen(page, address, ids, anew=n == 0) for n, ids in enumerate(sets)]
        loaded_anew = [_chosen(page, address, ids, anew=True) for ids in sets]
        browser.close()
        server.shutdown()
    print(f"judge() of {len(made['ids'])} plants ({made['verdict']}): {made['median']:.1f} ms, median of {RUNS};")
    print(f"the first with knowledge just read: {made['first']:.1f} ms")
    for where, found in (("a page that stays open", opened), ("a page just loaded", loaded_anew)):
        print(f"{SETS} random choices of {PLANTS} in {where}, in ms, median and worst:")
        for key in found[0]:
            times = [one[key] for one in found]
            print(f"  {key:8} {median(times):6.1f} {max(times):6.1f}")
    for suffix, size in sizes.most_common():
        print(f"{size / 1000:7.1f} kB compressed  {files[suffix]:3} {suffix[1:]}")
    print(f"{sizes.total() / 1000:7.1f} kB compressed  {files.total():3} in all")


def _chosen(page: Any, address: str, ids: list[str], anew: bool) -> dict[str, float]:
    """Times of one choice, after loading the page anew if asked."""
    if anew:
        page.goto(address, wait_until="networkidle")
        page.locator("#share").wait_for()
        page.wait_for_timeout(500)
    made: dict[str, float] = page.evaluate(CHOOSE, ids)
    return made


def main() -> None:
    """Measure the given site, or one built for it."""
    if sys.argv[1:]:
        return measure(Path(sys.argv[1]))
    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder) / "site"
        if build(site):
            sys.exit("the site was not built")
        return measure(site)


if __name__ == "__main__":
    main()
