"""The temperatures plants are said to live with, against the climate of the places where they live.

Sources: official climate normals and monthly reports of weather stations, and pages on where the plants grow; both
stand beside the figures in climate.yaml. Air temperature only: the monthly mean of daily highs against what the plant
tolerates by day, that of daily lows against the night, in some year the profile allows without lifting the plant out.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.judge.bench import Bench
from bogwright.knowledge.base import KnowledgeBase
from bogwright.sharing.demands import Demand
from bogwright.sharing.months import YearOption, midwinter_of
from bogwright.sharing.needs import Needs

from .conftest import published

CLIMATE = published("climate.yaml")
STATIONS = CLIMATE["stations"]
CHECKS = CLIMATE["checks"]
LAPSE = -0.0065  # K per m of height
ROUNDING = 0.5  # K, of stations and their distance from the plants
READINGS = {"temperature_day": "mean_max_c", "temperature_night": "mean_min_c"}


def label(check: dict[str, Any]) -> str:
    memory = " (native from memory)" if check.get("native_from_memory") else ""
    return f"{check['profile']} at {check['station']}{memory}"


def at_the_plants(check: dict[str, Any], figure: str, month: int) -> tuple[float, float]:
    """A station's figure for a calendar month, least and greatest over the heights where the plants grow."""
    station = STATIONS[check["station"]]
    value = station[figure][month]
    shifts = [LAPSE * (height - station["elevation_m"]) for height in check.get("habitat_m", [station["elevation_m"]])]
    return value + min(shifts), value + max(shifts)


def months_of(check: dict[str, Any]) -> list[int]:
    return list(check.get("months", range(1, 13)))


def within(demand: Demand | None, span: tuple[float, float]) -> bool:
    """Whether some height of the span is tolerated, ends included; an end nobody knows forbids nothing."""
    if demand is None:
        return True
    low = demand.low[0] if demand.low else span[1]
    high = demand.high[1] if demand.high else span[0]
    return span[1] >= low - ROUNDING and span[0] <= high + ROUNDING


def misfits(check: dict[str, Any], needs: Needs, year: YearOption) -> set[int]:
    """Calendar months in which this year of the plant does not bear its native climate."""
    midwinter = midwinter_of(STATIONS[check["station"]]["latitude"])
    return {
        month
        for month in months_of(check)
        for axis, figure in READINGS.items()
        if not within(
            needs.demands[year.phases[(month - midwinter) % 12]].get(axis), at_the_plants(check, figure, month)
        )
    }


def hardest(check: dict[str, Any], bench: Bench) -> tuple[str, set[int]]:
    """The way that suits the native climate best, and the months that it does not bear."""
    needs = bench.needs(bench.base.profile(check["profile"]), id=check["profile"], name=check["profile"])
    years = [year for year in needs.years if not year.absent and not year.skipped]
    assert years, f"{check['profile']} has no year in place"
    tried = ((year.way, misfits(check, needs, year)) for year in years)
    return min(tried, key=lambda one: len(one[1]))


def exceptions_of(check: dict[str, Any]) -> set[int]:
    here = (check["profile"], check["station"])
    return {row["month"] for row in CLIMATE["exceptions"] if (row["profile"], row["station"]) == here}


@pytest.mark.parametrize("check", CHECKS, ids=label)
def test_native_climate_is_tolerated(bench: Bench, check: dict[str, Any]) -> None:
    """Some year of the profile bears every month; an exception that is no longer needed fails as well."""
    way, months = hardest(check, bench)
    figures = {month: {figure: at_the_plants(check, figure, month) for figure in READINGS.values()} for month in months}
    assert months == exceptions_of(check), f"nearest way {way}: {figures}"


@pytest.mark.parametrize("check", CHECKS, ids=label)
def test_compared_ends_are_stated(bench: Bench, check: dict[str, Any]) -> None:
    """A plant of unknown limits would pass any climate."""
    demands = bench.needs(bench.base.profile(check["profile"]), id="x", name="x").demands["growth"]
    unknown = [axis for axis in READINGS if axis not in demands or demands[axis].unknown]
    assert unknown == []


def test_a_foreign_climate_is_not_tolerated(bench: Bench) -> None:
    """The comparison can fail: no lowland Nepenthes lives in Bergen, no bog sundew in Singapore."""
    for profile, station, months in [
        ("nepenthes/bicalcarata", "bergen_no", [5, 6, 7, 8, 9]),
        ("drosera/rotundifolia", "singapore", list(range(1, 13))),
        ("heliamphora/heterodoxa", "singapore", list(range(1, 13))),
    ]:
        assert hardest({"profile": profile, "station": station, "months": months}, bench)[1], f"{profile} at {station}"


def test_exceptions_are_argued(base: KnowledgeBase) -> None:
    """Each exception belongs to a check, gives its reason here and argues it in the profile's notes."""
    pairs = {(check["profile"], check["station"]) for check in CHECKS}
    for row in CLIMATE["exceptions"]:
        assert (row["profile"], row["station"]) in pairs and row["why"]
        assert any("native" in note for note in base.profile(row["profile"]).notes), row["profile"]


def test_every_check_names_its_sources() -> None:
    """Stations and the plants' occurrence are sourced; where months are left out a reason is given."""
    for check in CHECKS:
        assert STATIONS[check["station"]]["source"] and STATIONS[check["station"]]["url"]
        assert check.get("native") or check.get("native_from_memory"), label(check)
        assert ("months" in check or "habitat_m" in check) == ("why" in check), label(check)
