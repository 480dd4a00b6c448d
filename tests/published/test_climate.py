"""The temperatures plants are said to live with, against the climate of the places where they live.

Sources: official climate normals and monthly reports of weather stations, and pages on where the plants grow; both
stand beside the figures in kb/climates.yaml, and `bogwright lint` runs the same check.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.judge.bench import Bench
from bogwright.judge.native import check_native, misfits
from bogwright.knowledge.base import KnowledgeBase
from bogwright.physics.altitude import at_height
from bogwright.sharing.inference import FIGURES, climates_of


@pytest.fixture(scope="session")
def table(bench: Bench) -> Any:
    return bench.table("climates")


def test_native_climate_is_tolerated(bench: Bench) -> None:
    """Some year of every profile bears every month; an exception that is no longer needed fails as well."""
    assert [str(problem) for problem in check_native(bench)] == []


def test_compared_ends_are_known(bench: Bench, table: Any) -> None:
    """A plant of unknown limits would pass any climate."""
    for check in table["checks"]:
        demands = bench.needs(bench.base.profile(check["profile"]), id="x", name="x").demands["growth"]
        unknown = [axis for axis in FIGURES if axis not in demands or demands[axis].unknown]
        assert unknown == [], check["profile"]


def test_a_foreign_climate_is_not_tolerated(bench: Bench, table: Any) -> None:
    """The comparison can fail: no lowland Nepenthes lives in Bergen, no bog sundew in Singapore."""
    for profile, station, months in [
        ("nepenthes/bicalcarata", "bergen-no", [5, 6, 7, 8, 9]),
        ("drosera/rotundifolia", "singapore", list(range(1, 13))),
        ("heliamphora/heterodoxa", "singapore", list(range(1, 13))),
    ]:
        check = {"profile": profile, "station": station, "months": months}
        assert misfits(table, check, bench)[1], f"{profile} at {station}"


def test_exceptions_are_argued(base: KnowledgeBase, table: Any) -> None:
    """Each exception belongs to a check, and the profile's notes argue it."""
    pairs = {(check["profile"], check["station"]) for check in table["checks"]}
    for row in table.get("exceptions", ()):
        assert (row["profile"], row["station"]) in pairs
        assert any("native" in note for note in base.profile(row["profile"]).notes), row["profile"]


@pytest.mark.parametrize(
    ("rate", "there", "expected"), [(6.5, 1000, 8.5), (6.5, 0, 15), (6.5, 2000, 2), (6.5, 11000, -56.5)]
)
def test_lapse_against_the_standard_atmosphere(rate: float, there: float, expected: float) -> None:
    """ICAO Standard Atmosphere (ISO 2533:1975): 15 degC at sea level, 8.5 at 1 km, 2 at 2 km, -56.5 at 11 km."""
    assert at_height(15, 0, there, (rate, rate)) == pytest.approx((expected, expected))


def test_each_station_is_foretold_by_the_others(table: Any) -> None:
    """Left out and foretold from the other stations of its method, a station lies within the interval given."""
    misses = []
    for key, method in table["methods"].items():
        names = method["stations"]
        for name in names if len(names) > 2 else ():
            rest = {**table, "methods": {key: {**method, "stations": [n for n in names if n != name]}}}
            climate, station = climates_of(rest)[key], table["stations"][name]
            for figure in FIGURES.values():
                for side, pick in (("low", min), ("high", max)):
                    low, high = climate.end(figure, side, station["elevation"])
                    if not low <= pick(station[figure]) <= high:
                        misses.append(
                            f"{key} {name} {figure} {side}: {pick(station[figure])} not in {low:.1f}-{high:.1f}"
                        )
    assert misses == []


def test_what_growers_publish_lies_within_what_heights_foretell(bench: Bench) -> None:
    """Tolerated ends that sources state for plants of known heights, against the ends their heights would give them."""
    inside, outside = [], []
    for entry in bench.base.taxa():
        profile = bench.base.profile(entry.id)
        for axis in FIGURES if profile.climate else ():
            claim = profile.band(f"air.{axis}")
            for side in ("low", "high"):
                end = claim.end("tolerates", side) if claim is not None else None
                native = bench.known.of_height(profile, axis, side)
                if end is None or native is None or end.inherited or end.basis != "published":
                    continue
                low, high = native.span
                said = f"{entry.id} {axis} {side}: {end.value:g}, foretold {low:g} to {high:g}"
                (inside if low <= end.value <= high else outside).append(said)
    print(f"\npublished ends within what heights foretell: {len(inside)} of {len(inside) + len(outside)}")
    print("\n".join(outside))
    assert len(inside) + len(outside) >= 12
    assert len(inside) >= 0.9 * (len(inside) + len(outside))
