"""Figures that stand in for those nobody stated: the range of a group, and temperatures from native heights."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.knowledge import KnowledgeBase
from bogwright.knowledge.outline import COLUMNS
from bogwright.sharing.axes import Axes
from bogwright.sharing.demands import Demand, demand_of
from bogwright.sharing.inference import Climate, Inference

GENUS = """\
profile: genus
name: Exempla
rank: genus
climate: hills
air:
  temperature_night: {tolerates: {band: [8, 24], basis: from-memory}}
  humidity: {tolerates: {low: 50, basis: from-memory}}
"""
HILLS = Climate("hills", (5, 6), 1, (0, 2), ({"elevation": 1000, "mean_max": [20, 26], "mean_min": [12, 15]},))
Ask = Callable[[str, str], Demand | None]


def taxon(name: str, text: str) -> str:
    head = f"profile: taxon\nname: Exempla {name}\nrank: species\nidentity:\n"
    return head + "  family: {value: Exemplaceae, basis: from-memory}\n" + text


@pytest.fixture
def ask(tmp_path: Path, axes: Axes) -> Ask:
    """What a made-up plant asks on an axis."""
    folder = tmp_path / "kb" / "profiles" / "exempla"
    folder.mkdir(parents=True)
    height = "  elevation: {band: [1500, 2000], basis: from-memory}\n"
    files = {
        "_genus": GENUS,
        "dry": taxon("dry", "air: {humidity: {tolerates: {low: 30, basis: from-memory}}}\n"),
        "wet": taxon("wet", "air: {humidity: {tolerates: {low: 70, basis: from-memory}}}\n"),
        "high": taxon("high", height + "habit: {height: {low: 1, basis: from-memory}}\n"),
        "stated": taxon("stated", height + "air: {temperature_night: {tolerates: {high: 20, basis: from-memory}}}\n"),
        "fond": taxon("fond", height + "air: {temperature_night: {prefers: {high: 18, basis: from-memory}}}\n"),
    }
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    table = tmp_path / "kb" / "outline" / "exempla.csv"
    table.parent.mkdir()
    named = ",".join({"name": "Exempla rara", "rank": "species", "from_memory": "name"}.get(c, "") for c in COLUMNS)
    table.write_text(f"{','.join(COLUMNS)}\n{named}\n", encoding="utf-8")
    known = Inference({}, KnowledgeBase.open(tmp_path / "kb", cache=tmp_path / "cache"), {"hills": HILLS})
    assert known.base is not None
    profile = known.base.profile
    return lambda name, axis: demand_of(profile(f"exempla/{name}"), None, axes[axis], known)


def test_a_mere_name_asks_what_its_relatives_ask_between_them(ask: Ask) -> None:
    """Humidity: members from 30, 50 (as the genus has it) and 70 %: surely 70 is enough, perhaps 30."""
    humidity = ask("rara", "humidity")
    assert humidity is not None and humidity.low == (30, 70)
    assert humidity.low_origin is not None and humidity.low_origin.method == "range of the profiled members of Exempla"


def test_where_the_strictest_relatives_exclude_each_other_the_group_decides(ask: Ask) -> None:
    """Nights: all members have 8 from the genus, one of them up to 20: nothing crosses, both ends are spread."""
    night = ask("rara", "temperature_night")
    assert night is not None and night.low == (8, 8) and night.high == (20, 24)


def test_nights_follow_from_heights_that_the_group_does_not_fit(ask: Ask) -> None:
    """From 1000 m: 15 degC less 2.5 to 3 K at 1500 m, 1 K scatter and up to 2 K beyond make 11 to 15.5.

    Its genus says 24, which moves to the nearest that the heights allow.
    """
    night = ask("high", "temperature_night")
    assert night is not None and night.high == pytest.approx((15.5, 15.5))
    assert night.high_origin is not None
    assert (night.high_origin.basis, night.high_origin.method) == ("derived", "height and climate of hills")
    assert night.high_origin.file.endswith("high.yaml")


def test_where_group_and_heights_agree_the_group_stays(ask: Ask) -> None:
    """From 1000 m: 12 degC less 5 to 6 K at 2000 m, 1 K scatter, up to 2 K beyond make 3 to 8; its genus says 8."""
    night = ask("high", "temperature_night")
    assert night is not None and night.low == (8, 8)
    assert night.low_origin is not None and night.low_origin.basis == "from-memory"


def test_an_end_the_plant_states_is_not_derived(ask: Ask) -> None:
    night = ask("stated", "temperature_night")
    assert night is not None and night.high == (20, 20)


def test_a_derived_end_reaches_what_the_plant_is_said_to_prefer(ask: Ask) -> None:
    night = ask("fond", "temperature_night")
    assert night is not None and night.high == pytest.approx((18, 18))


def test_no_heights_no_derivation(ask: Ask) -> None:
    night = ask("dry", "temperature_night")
    assert night is not None and (night.low, night.high) == ((8, 8), (24, 24))
