"""What a file is told that does not fit its schema: one message a mistake, at its place, with a mend."""

from __future__ import annotations

from pathlib import Path

import pytest

from bogwright.knowledge.reading import read_text
from bogwright.knowledge.validating import Schemas

HEAD = """\
profile: taxon
name: Exempla una
rank: species
identity:
  family: {value: Exemplaceae, basis: from-memory}
"""
REF = "{id: a-book, locator: p. 4, as_stated: 60 %}"

CASES = {
    "misspelt key": (
        "air:\n  humidity:\n    prefers: {band: [1, 2], bassis: from-memory}\n",
        ["8:29: unknown key 'bassis' in 'humidity.prefers' — did you mean 'basis'? (unknown-key)"],
    ),
    "misspelt key on which other rules depend": (
        f"air:\n  humidity:\n    prefers: {{band: [1, 2], bassis: published, sources: [{REF}]}}\n",
        ["8:29: unknown key 'bassis' in 'humidity.prefers' — did you mean 'basis'? (unknown-key)"],
    ),
    "misspelt level": (
        "air:\n  humidity:\n    tolerate: {band: [1, 2], basis: from-memory}\n",
        ["8:5: unknown key 'tolerate' in 'air.humidity' — did you mean 'tolerates'? (unknown-key)"],
    ),
    "misspelt key of a word": (
        "roots:\n  sensitivity: {vlaue: high, basis: from-memory}\n",
        ["7:17: unknown key 'vlaue' in 'roots.sensitivity' — did you mean 'value'? (unknown-key)"],
    ),
    "unknown section": (
        "flowers: {}\n",
        ["6:1: unknown key 'flowers' — allowed here: profile, name, rank, group, climate, identity, year, air, light, "
         "water, "
         "medium, "
         "feeding, roots, habit, propagation, health, law, people, stages, notes, forms (unknown-key)"],
    ),
    "no basis": (
        "air:\n  humidity:\n    prefers: {band: [1, 2]}\n",
        ["8:5: missing key 'basis' in 'humidity.prefers' — add basis: (missing-key)"],
    ),
    "published without sources": (
        "air:\n  humidity:\n    prefers: {band: [1, 2], basis: published}\n",
        ["8:5: missing key 'sources' in 'humidity.prefers' — a published claim names at least one source that was "
         "read (missing-key)"],
    ),
    "sources without published": (
        f"air:\n  humidity:\n    prefers: {{band: [1, 2], basis: from-memory, sources: [{REF}]}}\n",
        ["8:58: 'prefers.sources' does not belong here — only a published claim carries sources; set basis: "
         "published, or remove them (not-together)"],
    ),
    "derived typed in": (
        "air:\n  humidity:\n    prefers: {band: [1, 2], basis: derived}\n",
        ["8:36: the text 'derived' is not a word for 'prefers.basis' — published (with sources), common-practice or "
         "from-memory; "
         "derived values are computed by the engine and never typed in (unknown-word)"],
    ),
    "no number": (
        "air:\n  humidity:\n    prefers: {basis: from-memory}\n",
        ["8:5: 'humidity.prefers' needs one of low, high — give band: [low, high], or low:, or high: (missing-key)"],
    ),
    "band and end": (
        "air:\n  humidity:\n    prefers: {band: [1, 2], low: 3, basis: from-memory}\n",
        ["8:29: low cannot stand here as well in 'humidity.prefers' — write band: [low, high], or low:/high:, not "
         "both (not-together)"],
    ),
    "three numbers": (
        "air:\n  humidity:\n    prefers: {band: [1, 2, 3], basis: from-memory}\n",
        ["8:21: 'prefers.band' needs at most 2 entries, and has 3 — remove what is too much (wrong-count)"],
    ),
    "text for a number": (
        "air:\n  humidity:\n    prefers: {band: [1, two], basis: from-memory}\n",
        ["8:25: 'prefers.band' must be a number, not the text 'two' — write a number (wrong-type)"],
    ),
    "word of another list": (
        "roots:\n  sensitivity: {value: hgih, basis: from-memory}\n",
        ["7:24: the text 'hgih' is not a word for 'sensitivity.value' — did you mean 'high'? one of: low, moderate, "
         "high, severe (unknown-word)"],
    ),
    "list for a word": (
        "roots:\n  sensitivity: {value: [high], basis: from-memory}\n",
        ["7:24: 'sensitivity.value' must be a text, not a list — write a text (wrong-type)"],
    ),
    "word without standing": (
        "roots:\n  sensitivity: high\n",
        ["7:16: 'roots.sensitivity' must be a mapping, not the text 'high' — write a mapping (wrong-type)"],
    ),
    "unknown beside a value": (
        "roots:\n  sensitivity: {unknown: true, value: high}\n",
        ["7:32: 'value' cannot stand beside unknown in 'roots.sensitivity' — keep one of the two (not-together)"],
    ),
    "dispute beside a level": (
        "air:\n  humidity:\n    prefers: {low: 3, basis: from-memory}\n    note: they differ\n    disputed:\n"
        "      - {reading: one, prefers: {low: 1, basis: from-memory}}\n      - {reading: two, prefers: {low: 2, "
        "basis: from-memory}}\n",
        ["8:5: 'prefers' cannot stand beside disputed in 'air.humidity' — keep one of the two (not-together)"],
    ),
    "dispute without a note": (
        "air:\n  humidity:\n    disputed:\n"
        "      - {reading: one, prefers: {low: 1, basis: from-memory}}\n      - {reading: two, prefers: {low: 2, "
        "basis: from-memory}}\n",
        ["7:3: missing key 'note' in 'air.humidity' — add note: (missing-key)"],
    ),
    "repeated word": (
        "air:\n  air_movement: {value: [still, still], basis: from-memory}\n",
        ["7:25: 'air_movement.value' lists an entry twice — remove the repetition (repeated-entry)"],
    ),
    "month beyond the year": (
        "roots:\n  best_months: {value: [12, 3.5], basis: from-memory}\n",
        ["7:25: 'best_months.value' is 12, above the most allowed, 11 — check the number and its unit (out-of-range)",
         "7:29: 'best_months.value' must be a whole number, not the number 3.5 — write a whole number (wrong-type)"],
    ),
    "empty section": ("air: {}\n", ["6:6: 'air' is empty — fill it, or leave the key out (wrong-count)"]),
    "rests of many kinds": (
        "year:\n  ways:\n    Warm: {title: x}\n    a:\n      rests:\n        one: {knd: cold}\n        two: {kind: "
        "freezing}\n"
        "        three: {removed: false}\n        four: {kind: cold, weeks: {low: 3}}\n        five: cold\n",
        ["8:5: the key 'Warm' in 'year.ways' is not written as it should be — lower-case words joined by hyphens "
         "(wrong-form)",
         "11:15: unknown key 'knd' in 'rests.one' — did you mean 'kind'? (unknown-key)",
         "12:21: the text 'freezing' is not a word for 'two.kind' — one of: cold, cool, dry, winter-bud, slow, seed "
         "(unknown-word)",
         "13:26: 'three.removed' can only be true — write true, or leave the key out (unknown-word)",
         "14:28: missing key 'basis' in 'four.weeks' — add basis: (missing-key)",
         "15:15: 'rests.five' must be a mapping, not the text 'cold' — write a mapping (wrong-type)"],
    ),
    "hours of light": (
        "light:\n  illuminance:\n    prefers: {low: 3, hours: x, basis: from-memory}\n",
        ["8:30: 'prefers.hours' must be a number or a list, not the text 'x' — write a number or a list (wrong-type)"],
    ),
    "reference half filled": (
        "air:\n  humidity:\n    prefers: {low: 1, basis: published, sources: [{id: A Book, loc: p. 4, as_stated: "
        "x}]}\n",
        ["8:56: 'sources.id' is not written as it should be: 'A Book' — lower-case words joined by hyphens "
         "(wrong-form)",
         "8:64: unknown key 'loc' in 'prefers.sources' — did you mean 'locator'? (unknown-key)",
         "8:86: 'sources.as_stated' needs at least 2 characters, and has 1 — write more (wrong-count)"],
    ),
    "cue without a threshold": (
        "light:\n  cues:\n    short-days: {event: gemmae, basis: from-memory}\n",
        ["8:5: 'cues.short-days' needs one of below, above, rising, falling — add one of them (missing-key)"],
    ),
    "refused as YAML and not said twice": (
        "year:\n  ways:\n    a: {renewed: yes, effort: 1_000}\n",
        ["8:18: the bare word 'yes' is read as true by some YAML readers — write true for a yes-or-no value, or "
         "quote the word: \"yes\" (ambiguous-word)",
         "8:31: '1_000' has underscores between its digits — write 1000 (ambiguous-word)"],
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def checks() -> Schemas:
    from bogwright.data import schemas_folder

    return Schemas(schemas_folder())


@pytest.mark.parametrize("case", CASES)
def test_profiles(case: str, checks: Schemas) -> None:
    text, said = CASES[case]
    found = [
        str(problem).removeprefix("f.yaml:") for problem in checks.check(read_text(HEAD + text, "f.yaml"), "profile")
    ]
    assert found == said


def test_a_whole_profile_missing(checks: Schemas) -> None:
    found = [str(p) for p in checks.check(read_text("profile: taxon\nname: Ab\n", "f.yaml"), "profile")]
    assert found == [
        "f.yaml:1:1: missing key 'identity' — add identity: (missing-key)",
        "f.yaml:1:1: missing key 'rank' — add rank: (missing-key)",
    ]


def test_sources(checks: Schemas) -> None:
    text = (
        "- {id: a, type: webpag, title: 3, URL: 'ftp://x', custom: {standing: casual, read: \"2026-11-25\", extent: "
        "whole}}\n"
        "- {id: b, type: book, title: x, custom: {standing: casual, read: yesterday, extent: whole}}\n"
    )
    found = [str(problem).removeprefix("f.yaml:") for problem in checks.check(read_text(text, "f.yaml"), "source")]
    assert found[0].startswith(
        "1:17: the text 'webpag' is not a word for 'type' — did you mean 'webpage'? one of: webpage, "
    )
    assert found[1:] == [
        "1:32: 'title' must be a text, not the number 3 — write a text (wrong-type)",
        "1:40: 'URL' is not written as it should be: 'ftp://x' — the form is ^https?:// (wrong-form)",
        "2:3: entry 2 needs one of URL, DOI, ISBN — add one of them (missing-key)",
        "2:66: 'custom.read' is not written as it should be: 'yesterday' — "
        'a quoted date, "2026-11-25": when the page was read (wrong-form)',
    ]


def test_nothing_is_fetched_and_kinds_are_the_files(checks: Schemas, schemas: Path) -> None:
    assert checks.kinds == {path.name.removesuffix(".schema.json") for path in schemas.glob("*.schema.json")}


def test_the_instance_is_never_dumped(checks: Schemas) -> None:
    text = HEAD + "air: [" + ", ".join(["x" * 50] * 200) + "]\n"
    (problem,) = checks.check(read_text(text, "f.yaml"), "profile")
    assert str(problem) == "f.yaml:6:6: 'air' must be a mapping, not a list — write a mapping (wrong-type)"
