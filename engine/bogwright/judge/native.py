"""Profiles against the climate where the plants grow wild: ``checks`` of ``kb/climates.yaml``.

Air temperature only: the monthly mean of daily highs against what the plant tolerates by day, that of daily lows
against the night, in some year the profile allows without lifting the plant out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bogwright.judge.bench import Bench
from bogwright.knowledge.problems import Problem
from bogwright.physics.altitude import at_height
from bogwright.sharing.demands import Demand
from bogwright.sharing.inference import FIGURES
from bogwright.sharing.months import NAMES, YearOption, midwinter_of
from bogwright.sharing.needs import Needs

LAPSE = (6.5, 6.5)  # K/km: the ICAO Standard Atmosphere, for stations whose own lapse nobody measured
NONE = "none"  # a plant to which the method of its genus does not apply
ROUNDING = 0.5  # K, of stations and their distance from the plants

Check = Mapping[str, Any]


def at_the_plants(table: Check, check: Check, figure: str, month: int) -> tuple[float, float]:
    """A station's figure for a calendar month, least and greatest over the heights where the plants grow. [degC]"""
    station = table["stations"][check["station"]]
    here, value = station["elevation"], station[figure][month - 1]
    spans = [at_height(value, here, height, LAPSE) for height in check.get("habitat", [here])]
    return min(a for a, _ in spans), max(b for _, b in spans)


def misfits(table: Check, check: Check, bench: Bench) -> tuple[str, set[int]]:
    """The way that suits the native climate best, and the calendar months that it does not bear."""
    needs = bench.needs(bench.base.profile(check["profile"]), id=check["profile"], name=check["profile"])
    years = [year for year in needs.years if not year.absent and not year.skipped]
    tried = [(year.way, _months(table, check, needs, year)) for year in years]
    return min(tried, key=lambda one: len(one[1])) if tried else ("none in place", set(range(1, 13)))


def check_native(bench: Bench) -> Iterator[Problem]:
    """Checks that fail beyond their exceptions, exceptions no longer needed, and rows that name nothing."""
    record = bench.base.table("climates")
    if record is None:
        return
    table: Mapping[str, Any] = record.data

    def problem(path: tuple[str | int, ...], message: str, hint: str) -> Problem:
        line, column = record.positions.value(path)
        return Problem(record.file, line, column, message, hint, "native-climate")

    methods = table.get("methods", {})
    for entry in bench.base.entries.values():
        own = bench.base.profile(entry.id).layers[0] if not entry.listed else None
        if own is not None and own.data.get("climate", NONE) not in (NONE, *methods):
            line, column = own.record.positions.value((*own.root, "climate"))
            message = f"no method of kb/climates.yaml is called '{own.data['climate']}'"
            hint = f"write one of {', '.join([*methods, NONE])}"
            yield Problem(own.record.file, line, column, message, hint, "unknown-climate")
    for key, method in methods.items():
        for n, station in enumerate(method["stations"]):
            if station not in table["stations"]:
                yield problem(("methods", key, "stations", n), f"no station is called '{station}'", "correct the name")
    excepted = {(row["profile"], row["station"], row["month"]) for row in table.get("exceptions", ())}
    for n, check in enumerate(table.get("checks", ())):
        where = ("checks", n)
        if check["profile"] not in bench.base.entries or check["station"] not in table["stations"]:
            yield problem(where, "the profile or the station of this check is not known", "correct the name")
            continue
        way, months = misfits(table, check, bench)
        allowed = {month for *who, month in excepted if who == [check["profile"], check["station"]]}
        if months - allowed:
            shown = ", ".join(NAMES[month - 1] for month in sorted(months - allowed))
            place = f"its native climate at {check['station']} in {shown}"
            message = f"{check['profile']} would not bear {place}; nearest way '{way}'"
            yield problem(where, message, "widen what it tolerates, or argue the exception under exceptions:")
        if allowed - months:
            shown = ", ".join(NAMES[month - 1] for month in sorted(allowed - months))
            yield problem(where, f"{check['profile']} bears {shown} after all", "remove the exception")


def _within(demand: Demand | None, span: tuple[float, float]) -> bool:
    """Whether some height of the span is tolerated, ends included; an end nobody knows forbids nothing."""
    if demand is None:
        return True
    low = demand.low[0] if demand.low else span[1]
    high = demand.high[1] if demand.high else span[0]
    return span[1] >= low - ROUNDING and span[0] <= high + ROUNDING


def _months(table: Check, check: Check, needs: Needs, year: YearOption) -> set[int]:
    """Calendar months in which this year of the plant does not bear its native climate."""
    midwinter = midwinter_of(table["stations"][check["station"]]["latitude"])
    return {
        month
        for month in check.get("months", range(1, 13))
        for axis, figure in FIGURES.items()
        if not _within(
            needs.demands[year.phases[(month - midwinter) % 12]].get(axis), at_the_plants(table, check, figure, month)
        )
    }
