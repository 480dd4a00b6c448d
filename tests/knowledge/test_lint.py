"""What lint finds beyond the schemas: each message with its place and words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.knowledge.lint import lint

from .conftest import Write

BOOK = 'sources: [{id: a-book, locator: "p. 4", as_stated: "%s"}]'
Said = Callable[..., list[str]]


@pytest.fixture
def said(kb: Path, monkeypatch: pytest.MonkeyPatch) -> Said:
    """Messages with paths inside the kb folder; those that are not about the matter in hand are left out."""
    monkeypatch.chdir(kb)

    def run(*paths: str, without: tuple[str, ...] = ("unused-source", "casual-source", "key-order")) -> list[str]:
        """A made-up profile says next to nothing: that it is incomplete has a test of its own."""
        problems = [problem for problem in lint([Path(path) for path in paths], kb) if problem.code != "incomplete"]
        return [f"{'warning: ' * (p.severity == 'warning')}{p}" for p in problems if p.code not in without]

    return run


def _level(level: str, figures: str, band: str) -> str:
    return f"air: {{temperature_day: {{{level}: {{{band}, basis: published, {BOOK % figures}}}}}}}\n"


def test_a_clean_knowledge_base(species: Write, said: Said) -> None:
    species(_level("prefers", "65-80 °F", "band: [18, 26.7]"))
    assert said() == []


def test_schema_problems_come_along_and_stop_nothing(species: Write, said: Said) -> None:
    species("ligth: {}\n" + _level("prefers", "65-80 °F", "band: [18, 30]"))
    assert said() == [
        "profiles/exempla/una.yaml:6:1: unknown key 'ligth' — did you mean 'light'? (unknown-key)",
        "profiles/exempla/una.yaml:7:46: 'temperature_day.prefers' high is 30 degC, which is in none of: '65-80 °F' — "
        "correct the number or as_stated, or give this end a basis of its own (figure-differs)",
    ]


FIGURES = [
    (_level("prefers", "65-80 °F", "low: 17"),
     '17', "'temperature_day.prefers' low is 17 degC, which is in none of: '65-80 °F' — "
     "correct the number or as_stated, or give this end a basis of its own (figure-differs)"),
    (_level("prefers", "pleasantly warm", "low: 17"),
     '"pleasantly', "'temperature_day.prefers' is published, and its source states no figure: 'pleasantly warm' — "
     "quote the figure with its unit in as_stated, or choose another basis (no-figure)"),
    (_level("prefers", "at least 65", "low: 18.3"),
     '18.3', "warning: 'temperature_day.prefers' low is 18.3 degC, and the source's figure has no unit: 'at least "
             "65' — "
     "add the unit in square brackets, as in '60 [F]' (no-unit)"),
    (f"water: {{solids_supply: {{prefers: {{high: 50, basis: published, {BOOK % 'below 100 µS/cm'}}}}}}}\n",
     '50', "'solids_supply.prefers' high is 50 mg/L, and the source states a conductivity: 'below 100 µS/cm' — "
     "conductivity has no fixed factor to mg/L; quote a figure in ppm or mg/L, or choose another basis "
     "(ambiguous-figure)"),
    (f"light: {{cues: {{short: {{event: gemmae, below: 11, basis: published, {BOOK % 'days of 12 hours'}}}}}}}\n",
     '11', "'cues.short' below is 11 h, which is in none of: 'days of 12 hours' — "
     "correct the number or as_stated, or give this end a basis of its own (figure-differs)"),
    (f"air: {{day_limit_by_night: {{value: [[10, 35], [15, 30]], basis: published, "
     f"{BOOK % '35 °C after 10, 30 °C after 16 °C'}}}}}\n",
     '15, 30', "'air.day_limit_by_night' night is 15 degC, which is in none of: '35 °C after 10, 30 °C after 16 °C' — "
     "correct the number or as_stated, or give this end a basis of its own (figure-differs)"),
    ("air: {humidity: {prefers: {high: 120, basis: from-memory}}}\n",
     '120', "'humidity.prefers' high is 120 % — it must lie from 0 to 100; check the figure and its unit "
            "(out-of-range)"),
    ("air: {humidity: {prefers: {band: [90, 60], basis: from-memory}}}\n",
     '90', "'humidity.prefers' runs from 90 down to 60 — write the lower number first (band-order)"),
    (f"habit: {{height: {{low: 3, basis: published, {(BOOK % '3 cm').replace('a-book', 'a-bok')}}}}}\n",
     'a-bok', "no source has the id 'a-bok' — did you mean 'a-book'? (unknown-source)"),
    (f"habit: {{height: {{low: 3, basis: published, {(BOOK % '3 cm').replace('a-book', 'zzz')}}}}}\n",
     'zzz', "no source has the id 'zzz' — add it to a file in sources/, or correct the id (unknown-source)"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "at", "message"), FIGURES)
def test_figures_and_sources(species: Write, said: Said, text: str, at: str, message: str) -> None:
    """`at` is what stands at the place of the problem, in line 6."""
    species(text)
    rest = message.removeprefix("warning: ")
    severity = message.removesuffix(rest)
    assert said() == [f"{severity}profiles/exempla/una.yaml:6:{text.index(at) + 1}: {rest}"]


@pytest.mark.parametrize(
    "text",
    [
        f"propagation: {{methods: {{seed: {{stratification: {{low: 0, basis: published, "
        f"{BOOK % 'needs no cold'}}}}}}}}}\n",
        f"water: {{table_below_crown: {{prefers: {{low: -2, basis: published, {BOOK % '2 cm above the media'}}}}}}}\n",
        f"water: {{co2: {{prefers: {{low: 8.8, basis: published, {BOOK % '0.2-0.5 mM'}}}}}}}\n",
        f"medium: {{ph: {{prefers: {{band: [4, 5.5], basis: published, {BOOK % 'pH 4 to 5.5'}}}}}}}\n",
    ],
    ids=["none needed is zero", "above the crown is negative", "moles of carbon dioxide", "pH has no unit"],
)
def test_figures_that_agree_in_their_own_way(species: Write, said: Said, text: str) -> None:
    species(text)
    assert said() == []


def test_each_end_may_come_from_another_source(species: Write, said: Said) -> None:
    refs = '[{id: a-book, locator: "p. 4", as_stated: 18 °C}, {id: a-post, locator: first, as_stated: 80 F}]'
    species(f"air: {{temperature_day: {{prefers: {{band: [18, 26.7], basis: published, sources: {refs}}}}}}}\n")
    assert said() == []


def test_one_casual_source_is_a_warning(species: Write, said: Said) -> None:
    ref = "{id: a-post, locator: first, as_stated: 3 cm}"
    book = '{id: a-book, locator: "p. 4", as_stated: 3 cm}'
    species(
        f"habit:\n  height: {{low: 3, basis: published, sources: [{ref}]}}\n"
        f"  width: {{low: 3, basis: published, sources: [{ref}, {book}]}}\n"
    )
    assert said(without=()) == [
        "warning: profiles/exempla/una.yaml:7:3: 'habit.height' rests on one casual source — "
        "look for a second source (casual-source)"
    ]


def test_unused_and_repeated_sources(kb: Path, said: Said) -> None:
    (kb / "sources" / "more.yaml").write_text(
        "- {id: a-book, type: book, title: Another, ISBN: '2', custom: {standing: expert, read: '2026-11-25', "
        "extent: whole}}\n"
        "- {id: b-post, type: post, title: A post, URL: 'http://www.post.example/1/',"
        " custom: {standing: casual, read: '2026-11-25', extent: whole}}\n",
        encoding="utf-8",
    )
    assert said(without=()) == [
        "warning: sources/more.yaml:1:8: the source 'a-book' is not cited anywhere — cite it or remove it "
        "(unused-source)",
        "warning: sources/more.yaml:2:8: the source 'b-post' is not cited anywhere — cite it or remove it "
        "(unused-source)",
        "warning: sources/some.yaml:1:8: the source 'a-book' is not cited anywhere — cite it or remove it "
        "(unused-source)",
        "sources/some.yaml:1:8: the source id 'a-book' is used before, at sources/more.yaml:1 — "
        "give each source one entry (duplicate-source)",
        "warning: sources/some.yaml:2:8: the source 'a-post' is not cited anywhere — cite it or remove it "
        "(unused-source)",
        "sources/some.yaml:2:48: the address of 'a-post' is entered before, at sources/more.yaml:2 — "
        "use the id that is there (duplicate-source)",
    ]


def test_bands_hold_one_another_after_inheritance(write: Write, species: Write, said: Said) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        "profile: genus\nname: Exempla\nair:\n  humidity:\n    tolerates: {band: [50, 95], basis: from-memory}\n",
    )
    species(
        "air:\n  humidity:\n    prefers: {band: [40, 95], basis: from-memory}\n    survives: {high: 90, basis: "
        "from-memory}\n"
    )
    assert said() == [
        "profiles/exempla/una.yaml:8:5: Exempla una: what it prefers goes above what it survives: 95 above 90 — "
        "make each band hold the one before it (band-nesting)",
        "profiles/exempla/una.yaml:8:5: Exempla una: what it prefers goes below what it tolerates: 40 below 50 — "
        "make each band hold the one before it (other end: profiles/exempla/_genus.yaml:5) (band-nesting)",
        "profiles/exempla/una.yaml:9:5: Exempla una: what it tolerates goes above what it survives: 95 above 90 — "
        "make each band hold the one before it (other end: profiles/exempla/_genus.yaml:5) (band-nesting)",
    ]


def test_what_is_wrong_in_a_genus_is_said_once_and_there(write: Write, species: Write, said: Said) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        "profile: genus\nname: Exempla\nair:\n  humidity:\n    prefers: {low: 10, basis: from-memory}\n"
        "    tolerates: {low: 20, basis: from-memory}\n",
    )
    species("notes: [nothing of its own]\n")
    assert [line.partition(": ")[0] for line in said()] == ["profiles/exempla/_genus.yaml:5:5"]


def test_ends_of_two_profiles_in_the_wrong_order(write: Write, species: Write, said: Said) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        "profile: genus\nname: Exempla\nhabit:\n  height: {high: 20, basis: from-memory}\n",
    )
    species("habit:\n  height: {low: 30, basis: from-memory}\n")
    assert said() == [
        "profiles/exempla/una.yaml:7:3: Exempla una: height starts at 30 and ends at 20 — the two ends come from "
        "different profiles; state both here (other end: profiles/exempla/_genus.yaml:4) (band-order)"
    ]


def test_bands_of_a_stage_are_looked_at(species: Write, said: Said) -> None:
    species(
        "air: {humidity: {tolerates: {high: 90, basis: from-memory}}}\n"
        "stages: {seedling: {air: {humidity: {prefers: {high: 95, basis: from-memory}}}}}\n"
    )
    assert [line.partition(" — ")[0] for line in said()] == [
        "profiles/exempla/una.yaml:7:38: Exempla una: what it prefers goes above what it tolerates: 95 above 90"
    ]


def _rest(text: str) -> str:
    return f"year:\n  ways:\n    rests:\n      rests:\n        winter:\n          kind: cold\n{text}"


def test_a_rest_longer_than_its_months(species: Write, said: Said) -> None:
    species(
        _rest(
            "          weeks: {band: [8, 16], basis: from-memory}\n"
            "          may: {value: [11, 0, 1, 6], basis: from-memory}\n"
        )
    )
    assert said() == [
        "profiles/exempla/una.yaml:12:11: a rest of 16 weeks does not fit into 3 months in a row (13 weeks) — "
        "shorten it, or add months to may (rest-length)"
    ]


def test_an_obligatory_rest_beside_a_way_without(species: Write, said: Said) -> None:
    species(_rest("          need: {value: obligatory, basis: from-memory}\n") + "    evergreen: {title: warm}\n")
    assert said() == [
        "profiles/exempla/una.yaml:13:5: Exempla una: the rest 'winter' is obligatory, yet the way 'evergreen' has "
        "none — "
        "remove that way (removed: true), or say how far the rest is needed (needless-rest)"
    ]


@pytest.mark.parametrize(("kind", "wrong"), [("cold", True), ("dry", False)])
def test_a_cold_rest_warmer_than_growth(species: Write, said: Said, kind: str, wrong: bool) -> None:
    rest = _rest("          air: {temperature_day: {tolerates: {high: 35, basis: from-memory}}}\n")
    species(
        rest.replace("kind: cold", f"kind: {kind}")
        + "air: {temperature_day: {tolerates: {high: 30, basis: from-memory}}}\n"
    )
    assert (
        said()
        == [
            "profiles/exempla/una.yaml:12:35: Exempla una: the cold rest 'winter' is warmer than growth by day: "
            "its high is 35, that of growth 30 — correct one of them (warm-rest)"
        ][: int(wrong)]
    )


def test_a_floating_plant_has_no_water_table(species: Write, said: Said) -> None:
    species(
        "water: {table_below_crown: {prefers: {low: 3, basis: from-memory}}}\n"
        "habit: {growth_form: {value: floating, basis: from-memory}}\n"
    )
    assert said() == [
        "profiles/exempla/una.yaml:6:9: Exempla una floats and has a water table below its crown — "
        "remove table_below_crown; say water_depth instead (floating)"
    ]


def test_a_group_that_is_not_there(species: Write, said: Said) -> None:
    species("", head="group: highland\n")
    assert said() == [
        "profiles/exempla/una.yaml:4:8: the group 'highland' has no profile — "
        "write profiles/exempla/_highland.yaml, or correct the name (unknown-group)"
    ]


def test_names_that_clash(species: Write, said: Said) -> None:
    species("  synonyms: {value: [Exempla prisca], basis: from-memory}\n")
    species("  synonyms: {value: [Exempla una, Exempla prisca], basis: from-memory}\n", "Exempla altera")
    species("", "Exempla una", "profiles/exempla/una-x.yaml")
    assert said(without=("unused-source", "file-name", "key-order")) == [
        "profiles/exempla/altera.yaml:6:13: the synonym name 'Exempla una' already means Exempla una — "
        "see profiles/exempla/una.yaml; keep the name in one place (name-clash)",
        "profiles/exempla/una-x.yaml:2:7: the accepted name 'Exempla una' already means Exempla una — "
        "see profiles/exempla/una.yaml; keep the name in one place (name-clash)",
        "profiles/exempla/una.yaml:6:13: the synonym name 'Exempla prisca' already means Exempla altera — "
        "see profiles/exempla/altera.yaml; keep the name in one place (name-clash)",
    ]


def test_paths_that_do_not_agree_with_names(write: Write, species: Write, said: Said) -> None:
    species("", "Exempla una", "profiles/exempla/due.yaml")
    species("", "Exempla × hybrida", "profiles/exempla/x-hybrida.yaml")
    write("profiles/exempla/lowland.yaml", "profile: group\nname: lowland Exempla\n")
    write("profiles/alia/_genus.yaml", "profile: genus\nname: Exempla\n")
    assert said() == [
        "profiles/alia/_genus.yaml:2:7: the genus 'Exempla' does not agree with its path 'profiles/alia/_genus.yaml' — "
        "rename the file to profiles/exempla/_genus.yaml, or correct the name (file-name)",
        "profiles/exempla/due.yaml:2:7: the taxon 'Exempla una' does not agree with its path "
        "'profiles/exempla/due.yaml' — "
        "rename the file to profiles/exempla/una.yaml, or correct the name (file-name)",
        "profiles/exempla/lowland.yaml:2:7: the group 'lowland Exempla' does not agree with its path "
        "'profiles/exempla/lowland.yaml' — rename the file to profiles/exempla/_lowland.yaml, or correct the name "
        "(file-name)",
    ]


def test_keys_out_of_order(species: Write, said: Said) -> None:
    species(
        "water: {moisture: {basis: from-memory, value: [wet]}}\nair: {air_movement: {value: [still], basis: "
        "from-memory}}\n"
    )
    assert said(without=("unused-source",)) == [
        "warning: profiles/exempla/una.yaml:6:40: the key 'value' stands after 'basis' — the order is: value, basis "
        "(key-order)",
        "warning: profiles/exempla/una.yaml:7:1: the key 'air' stands after 'water' — "
        "the order is: profile, name, rank, identity, air, water (key-order)",
    ]


@pytest.fixture
def two(species: Write) -> None:
    species("air: {humidity: {prefers: {high: 120, basis: from-memory}}}\n")
    species("air: {humidity: {prefers: {high: 130, basis: from-memory}}}\n", "Exempla altera")


def test_only_what_was_asked_for(two: None, said: Said) -> None:
    assert [line.partition(":")[0] for line in said("profiles/exempla/altera.yaml")] == ["profiles/exempla/altera.yaml"]
    assert len(said("profiles")) == len(said()) == len(said(".")) == 2
    assert said("sources") == []


def test_a_contributors_own_copy_takes_the_place_of_the_file(two: None, kb: Path, tmp_path: Path, said: Said) -> None:
    own = tmp_path / "desk" / "una.yaml"
    own.parent.mkdir()
    text = (kb / "profiles" / "exempla" / "una.yaml").read_text(encoding="utf-8")
    own.write_text(text.replace("120", "140"), encoding="utf-8")
    (message,) = said(str(own))
    assert message.startswith(f"{own}:6:34: 'humidity.prefers' high is 140 %")


def test_files_that_are_nothing(tmp_path: Path, said: Said) -> None:
    (tmp_path / "what.yaml").write_text("a: 1\n", encoding="utf-8")
    assert [line.partition(": ")[2] for line in said(str(tmp_path / "what.yaml"), str(tmp_path / "none.yaml"))] == [
        "there is no such file — check the spelling and the folder (no-file)",
        "it cannot be told what kind of file this is — "
        "start a profile with profile:, a plan with plan:, a rule file with for: and rules: (unknown-kind)",
    ]
