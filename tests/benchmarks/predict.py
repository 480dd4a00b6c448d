"""Time the prediction of a year of 12 months, 10 places and 40 plants, and of the demo plans, against a plain loop.

Run: ``python tests/benchmarks/predict.py``. Prints figures; nothing here is a test, since machines differ.
"""

from __future__ import annotations

import copy
import time
from collections.abc import Callable
from typing import Any

import yaml

from bogwright import data
from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import predict
from bogwright.judge.bench import Bench

RUNS = 9
PLACES, PLANTS = 10, 40


def ticks(run: Callable[[], Any]) -> float:
    """Median CPU of a run. [ms]"""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        run()
        times.append(1000 * (time.process_time() - start))
    return sorted(times)[RUNS // 2]


def large(plan: dict[str, Any]) -> dict[str, Any]:
    """The plan with ten places at heights and spots of their own, forty plants, and a water level for each month."""
    made = copy.deepcopy(plan)
    bed = made["places"][0]
    width, depth, _ = made["case"]["vessel"]["inside_cm"]
    made["places"] = []
    for n in range(PLACES):
        place = copy.deepcopy(bed)
        place |= {"id": f"place-{n}", "crown_height": bed["crown_height"] + n}
        place |= {"at_cm": [width * (n + 0.5) / PLACES, depth / 2], "size_cm": [width / PLACES, depth]}
        made["places"].append(place)
    for unit in made["water_units"]:
        unit["level"] = [2 + month / 4 for month in range(12)]
    made["room"]["temperature_day"]["usual"] = [[18 + m / 3, 20 + m / 3] for m in range(12)]
    made["plants"] = [dict(plan["plants"][0], id=f"p{n}", place=f"place-{n % PLACES}") for n in range(PLANTS)]
    return made


def main() -> None:
    tables = Bench.open().tables
    plain = ticks(lambda: sum(n * n for n in range(1_000_000)))
    print(f"a million squares in plain Python: {plain:.1f} ms")
    for path in sorted((data.kb_folder() / "plans").glob("*.yaml")):
        given = yaml.safe_load(path.read_text(encoding="utf-8"))
        whole = read_plan(given)
        taken = ticks(lambda whole=whole: predict(whole, tables))
        print(f"{path.name}: {taken:.1f} ms ({taken / plain:.2f} of the loop)")
        if whole.room and any("layers" in p.given.get("medium", {}) for p in whole.places.values()):
            big = read_plan(large(given))
            taken = ticks(lambda big=big: predict(big, tables))
            print(f"  with {PLACES} places, {PLANTS} plants, every month its own: {taken:.1f} ms ({taken / plain:.2f})")


if __name__ == "__main__":
    main()
