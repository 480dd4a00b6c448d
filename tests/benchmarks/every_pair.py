"""Share check and engine compared on every pair of plants the page offers: verdict, level, regime, water, set points,
findings and readings.

Plants of which the page is told the same (boxes, years, findings, traits, disputes: all but names) are one class, and
pairs of classes stand for pairs of plants; a class of several plants is also paired with itself. Pairs come in one
shuffled order, so that what is done so far is a fair sample of all.

Run: ``python tests/benchmarks/every_pair.py [--slice k/n] [--state FOLDER]``. Needs Node. A slice stopped goes on where
it was, as long as knowledge and code are the same. Prints a line every 200 pairs, and every pair that differs with both
answers; exits with 1 if one differs.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import bogwright
from bogwright import data
from bogwright.judge import ask
from bogwright.judge.bench import Bench
from bogwright.judge.findings import worst
from bogwright.judge.share import share
from bogwright.report.site.share_data import HORIZON, ShareData
from bogwright.rules import meaning
from bogwright.sharing.needs import Needs

BATCH = 200
NAMES = {"id", "name", "url", "known", "common", "synonyms"}
MODULES = data.site_folder() / "theme" / "js" / "share"


def classes(plants: Sequence[Mapping[str, Any]]) -> list[list[str]]:
    """Ids of the plants of share.json that are alike but for their names."""
    found: dict[str, list[str]] = {}
    for plant in plants:
        told = {key: value for key, value in plant.items() if key not in NAMES}
        found.setdefault(json.dumps(told, sort_keys=True), []).append(plant["id"])
    return list(found.values())


def pairs(alike: Sequence[Sequence[str]]) -> list[tuple[str, str]]:
    """One pair of plants for every two classes, and for every class of two and more, shuffled."""
    found = [(one[0], other[0]) for n, one in enumerate(alike) for other in alike[:n]]
    found += [(one[0], one[1]) for one in alike if len(one) > 1]
    random.Random(1).shuffle(found)
    return found


class Engine:
    """The engine's answers as the page tells them, without what is not compared: repairs, clashes, leave-outs."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._known: dict[tuple[str, str], Needs] = {}

    def answer(self, ids: Sequence[str]) -> dict[str, Any]:
        """As share_node.mjs answers."""
        bench = self._bench
        profiles = {i: bench.base.profile(i) for i in ids}
        names = {i: bench.base.entries[i].name for i in ids}

        def run(readings: Mapping[str, Mapping[str, int]], _: object) -> Any:
            return share(bench, [self._needs(i, readings.get(i), names[i]) for i in ids], HORIZON, meaning.judge, False)

        answers = ask._with_readings(bench, "", profiles, names, run)
        shown = ask._hardest(answers)
        return {
            "verdict": worst([one.verdict for _, one in answers]),
            "level": shown.level,
            "regime": shown.fit.regime.id if shown.fit else None,
            "beds": [list(bed.plants) for bed in shown.beds],
            "points": [window.set_point for window in shown.windows],
            "findings": [[f.rule, f.certain, sorted(f.plants)] for f in shown.findings],
            "readings": [one.verdict for _, one in answers] if len(answers) > 1 else [],
        }

    def _needs(self, id: str, picked: Mapping[str, int] | None, name: str) -> Needs:
        key = (id, json.dumps(picked))
        if key not in self._known:
            profile = ask._read(self._bench.base.profile(id), picked)
            self._known[key] = self._bench.needs(profile, id=id, name=name)
        return self._known[key]


def comparable(made: Mapping[str, Any]) -> dict[str, Any]:
    """An answer of either, with findings in one order and set points as they are shown."""
    return {
        **made,
        "findings": sorted(made["findings"], key=str),
        "points": [{axis: round(value, 2) + 0.0 for axis, value in (point or {}).items()} for point in made["points"]],
    }


def package(folder: Path) -> Path:
    """A copy of the page's modules that Node takes for such."""
    shutil.copytree(MODULES, folder / "share")
    (folder / "share" / "package.json").write_text('{"type": "module"}')
    return folder / "share"


class Page:
    """The page's modules, run by Node on its data."""

    def __init__(self, file: Path) -> None:
        node = shutil.which("node")
        if node is None:
            sys.exit("node is not installed")
        command = [node, str(Path(__file__).with_name("share_node.mjs")), str(package(file.parent)), str(file)]
        self._node = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def answers(self, groups: Sequence[Sequence[str]]) -> list[dict[str, Any]]:
        """One answer a group."""
        assert self._node.stdin and self._node.stdout
        self._node.stdin.write(json.dumps(groups) + "\n")
        self._node.stdin.flush()
        found: list[dict[str, Any]] = json.loads(self._node.stdout.readline())
        return found

    def close(self) -> None:
        """End Node."""
        self._node.communicate()


def compared(engine: Engine, page: Page, some: Sequence[tuple[str, str]]) -> Iterator[tuple[str, Any, Any]]:
    """Pairs that differ, with both answers."""
    for ids, made in zip(some, page.answers(some), strict=True):
        told = engine.answer(ids)
        if comparable(made) != comparable(told):
            yield " + ".join(ids), made, told


def _code() -> str:
    """What both sides judge with."""
    engine = Path(bogwright.__file__).parent
    python = [file for part in ("facts", "judge", "rules", "sharing") for file in (engine / part).rglob("*.py")]
    script = [file for file in MODULES.glob("*.js") if not file.name.startswith("page")]
    return "".join(file.read_text(encoding="utf-8") for file in sorted([*python, *script]))


def main() -> None:
    """Compare one slice."""
    parser = argparse.ArgumentParser(description="Compare share check and engine on every pair.")
    parser.add_argument("--slice", default="1/1", help="k/n: the k-th of n parts")
    parser.add_argument("--state", type=Path, default=Path(tempfile.gettempdir()), help="folder of what is done")
    given = parser.parse_args()
    part, parts = map(int, given.slice.split("/"))
    bench = Bench.open()
    whole = ShareData(bench, lambda entry: "").whole()
    alike = classes(whole["plants"])
    todo = pairs(alike)[part - 1 :: parts]
    text = json.dumps(whole)
    key = hashlib.sha256((text + _code()).encode()).hexdigest()[:12]
    given.state.mkdir(parents=True, exist_ok=True)
    state = given.state / f"everypair-{key}-{part}-of-{parts}.json"
    done, differ = json.loads(state.read_text()) if state.exists() else (0, 0)
    print(f"{len(whole['plants'])} plants, {len(alike)} classes, {len(todo)} pairs in slice {given.slice}, {done} done")
    begun, before = time.monotonic(), done
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "share.json"
        file.write_text(text)
        engine, page = Engine(bench), Page(file)
        while done < len(todo):
            some = todo[done : done + BATCH]
            for who, made, told in compared(engine, page, some):
                differ += 1
                print(f"DIFFERS {who}\n  page   {json.dumps(made)}\n  engine {json.dumps(told)}")
            done += len(some)
            state.write_text(json.dumps([done, differ]))
            pace = (time.monotonic() - begun) / (done - before)
            left = pace * (len(todo) - done) / 3600
            print(
                f"{done} of {len(todo)} pairs, {differ} differ, {pace * 1000:.1f} ms a pair, {left:.1f} h left",
                flush=True,
            )
        page.close()
    sys.exit(bool(differ))


if __name__ == "__main__":
    main()
