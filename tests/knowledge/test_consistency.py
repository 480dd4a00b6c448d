"""What lint finds between profiles: against the group, against the lists, incomplete, in the wrong order of heights."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.knowledge import KnowledgeBase
from bogwright.knowledge.lint import lint
from bogwright.knowledge.outliers import modified_z, outliers
from bogwright.knowledge.outline import COLUMNS
from bogwright.knowledge.problems import Problem, in_brief
from bogwright.knowledge.statistics import statistics

from .conftest import Write

GENUS = "profile: genus\nname: Exempla\nrank: genus\n"
MEMBER = "group: lowland\n"
Open = Callable[[], KnowledgeBase]
Found = Callable[[str], list[str]]


@pytest.fixture
def found(kb: Path, monkeypatch: pytest.MonkeyPatch) -> Found:
    """Messages of one kind, with paths inside the kb folder."""
    monkeypatch.chdir(kb)
    return lambda code: [str(problem) for problem in lint([], kb) if problem.code == code]


def group(name: str, text: str) -> str:
    return f"profile: group\nname: Exempla, {name} group\n{text}"


def nights(low: float, high: float, more: str = "") -> str:
    return f"air: {{temperature_night: {{tolerates: {{band: [{low}, {high}], basis: from-memory{more}}}}}}}\n"


def test_a_plant_wholly_unlike_its_group_says_why(write: Write, species: Write, found: Found) -> None:
    write("profiles/exempla/_lowland.yaml", group("lowland", nights(18, 26)))
    species(nights(4, 12), head=MEMBER)
    species(nights(4, 12, ', note: "from the summit"'), "Exempla alta", head=MEMBER)
    species(nights(4, 20), "Exempla media", head=MEMBER)
    assert found("against-group") == [
        "profiles/exempla/una.yaml:7:7: Exempla una: air.temperature_night has nothing in common with "
        "exempla/_lowland: tolerates high 12, there tolerates low 18 — say why in a note, or correct one of them "
        "(against-group)"
    ]


def test_words_without_one_in_common_are_against_the_group(write: Write, species: Write, found: Found) -> None:
    write("profiles/exempla/_lowland.yaml", group("lowland", "water: {moisture: {value: [wet], basis: from-memory}}\n"))
    species("water: {moisture: {value: [dry, barely-damp], basis: from-memory}}\n", head=MEMBER)
    species("water: {moisture: {value: [damp, wet], basis: from-memory}}\n", "Exempla uda", head=MEMBER)
    assert [one.partition(": ")[2] for one in found("against-group")] == [
        "Exempla una: water.moisture has nothing in common with exempla/_lowland: dry, barely-damp against wet — "
        "say why in a note, or correct one of them (against-group)"
    ]


def test_the_higher_group_is_the_cooler(write: Write, found: Found) -> None:
    write("profiles/exempla/_genus.yaml", GENUS)
    write("profiles/exempla/_lowland.yaml", group("lowland", nights(16, 24)))
    write("profiles/exempla/_highland.yaml", group("highland", nights(8, 26)))
    assert [one.partition(": ")[2] for one in found("group-order")] == [
        "Exempla, highland group is warmer than Exempla, lowland group: air.temperature_night high 26 over 24 — "
        "correct one of them (other end: profiles/exempla/_lowland.yaml:3) (group-order)"
    ]


def test_what_a_profile_leaves_out_is_named(write: Write, species: Write, found: Found) -> None:
    species("habit: {growth_form: {value: floating, basis: from-memory}}\n")
    said = found("incomplete")[0]
    assert "Exempla una says nothing of" in said and "light.dli or light.ppfd or light.illuminance" in said
    assert "water.moisture" not in said and "medium.components" not in said  # it floats
    species(
        "air: {temperature_day: {tolerates: {low: 9, basis: from-memory}}, humidity: {unknown: true}}\n", "Exempla alia"
    )
    said = found("incomplete")[0]
    assert "Exempla alia" in said and "air.temperature_day, its high end" in said and "air.humidity" not in said


def test_authorities_and_names_are_those_of_the_tables(write: Write, species: Write, found: Found) -> None:
    species('  authority: {value: "L.", basis: from-memory}\n')
    species("", "Exempla ignota")
    row = {"name": "Exempla una", "authority": "Hook.", "rank": "species", "source": "a-book"}
    write("outline/exempla.csv", f"{','.join(COLUMNS)}\n{','.join(row.get(column, '') for column in COLUMNS)}\n")
    assert [one.partition(" — ")[0] for one in found("authority")] == [
        "profiles/exempla/una.yaml:6:3: the authority of Exempla una is 'L.', the outline table says 'Hook.'"
    ]
    assert [one.partition(" — ")[0] for one in found("not-listed")] == [
        "profiles/exempla/ignota.yaml:2:1: no outline table lists 'Exempla ignota'"
    ]


def test_the_most_exact_cites_listing_is_wanted(write: Write, species: Write, found: Found) -> None:
    write(
        "cites.yaml",
        'listings:\n  - {taxon: Exempla, appendix: "II", sources: [a-book]}\n'
        '  - {taxon: Exempla rara, appendix: "I", sources: [a-book]}\n',
    )
    species("law: {cites: {value: II, basis: from-memory}}\n")
    species("law: {cites: {value: II, basis: from-memory}}\n", "Exempla rara")
    species("", "Exempla tacita")
    assert [one.partition(" — ")[0] for one in found("cites")] == [
        "profiles/exempla/rara.yaml:6:7: Exempla rara is said to stand in appendix II, a-book says I",
        "profiles/exempla/tacita.yaml:1:1: Exempla tacita gives no CITES appendix, a-book says II",
    ]


def test_modified_z_scores() -> None:
    """By hand: median 3, median distance 1, so 20 scores 0.6745 x 17; where most are alike, by the mean distance."""
    assert modified_z([1, 2, 3, 3, 4, 20]) == pytest.approx([0.6745 * (x - 3) for x in (1, 2, 3, 3, 4, 20)])
    assert modified_z([5, 5, 5, 5, 5, 11])[-1] == pytest.approx(6 / 1.2533)
    assert modified_z([1, 2, 50]) == [0, 0, 0]


def test_outliers_are_own_figures_far_from_the_genus(species: Write, opened: Open) -> None:
    heights = {"una": 9, "duo": 10, "tria": 10, "quattuor": 11, "quinque": 12, "magna": 90}
    for name, height in heights.items():
        species(f"habit: {{height: {{high: {height}, basis: from-memory}}}}\n", f"Exempla {name}")
    (one,) = outliers(opened())
    assert (one.taxon, one.field, one.end, one.value, one.median, one.line) == (
        "exempla/magna",
        "habit.height",
        "high",
        90,
        10.5,
        6,
    )


def test_statistics_count_what_files_state(write: Write, species: Write, opened: Open) -> None:
    write("profiles/exempla/_lowland.yaml", group("lowland", nights(16, 24)))
    book = 'sources: [{id: a-book, locator: "p. 4", as_stated: "20 °C"}]'
    species(f"air: {{temperature_day: {{prefers: {{low: 20, basis: published, {book}}}}}}}\n", head=MEMBER)
    species(
        "air: {humidity: {disputed: [{reading: dry, tolerates: {low: 30, basis: common-practice}}, "
        "{reading: wet, tolerates: {low: 60, basis: from-memory}}], note: growers differ}}\n",
        "Exempla altera",
    )
    made = statistics(opened())
    assert made["claims"]["species_care_bands"] == {
        "total": 3,
        "published": 1,
        "common-practice": 1,
        "from-memory": 1,
        "published_share": 0.3333,
    }
    assert made["claims"]["care_bands"]["total"] == 4
    assert made["sources"]["by_standing"]["expert"] == 1 and made["claims_by_standing"]["expert"] == 1
    assert made["taxa"]["profiled"] == 2 and made["taxa"]["groups"] == 1
    assert made["gaps"][0] == {
        "file": made["gaps"][0]["file"], "line": 3, "field": "air.temperature_night", "level": "tolerates", "plants": 1
    }  # fmt: skip


def test_lint_in_brief_gives_errors_whole_and_warnings_by_kind() -> None:
    problems = [
        Problem("kb/a.yaml", 0, 0, "broken", "mend it", "bad"),
        *(Problem(f"kb/{n}.yaml", 3, 5, "weak", "look again", "weak", "warning") for n in range(3)),
    ]
    assert in_brief(problems).splitlines() == [
        "kb/a.yaml: broken — mend it (bad)",
        "3 warnings in 3 files: look again (weak); first kb/0.yaml:3:5",
        "name a file or folder, or give --all, to see each warning",
        "1 error, 3 warnings",
    ]
    assert in_brief([]) == "no problems"
