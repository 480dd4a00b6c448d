"""Claims after inheritance: nearest wins, end by end; removal, gaps, disputes, stages, rests."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bogwright.knowledge import BandClaim, KnowledgeBase, RangeClaim, ValueClaim
from bogwright.knowledge.profiles import Profile

from .conftest import Write

Open = Callable[[], KnowledgeBase]
GENUS = "profile: genus\nname: Exempla\n"
GROUP = "profile: group\nname: lowland Exempla\n"
IN_GROUP = "group: lowland\n"


def _band(profile: Profile, field: str) -> BandClaim:
    claim = profile.band(field)
    assert claim is not None
    return claim


@pytest.fixture
def line(write: Write, species: Write) -> None:
    """A genus, a group and a species with a form, each of which states a part of the same bands."""
    write(
        "profiles/exempla/_genus.yaml",
        GENUS
        + """\
air:
  temperature_day:
    prefers: {band: [15, 25], basis: common-practice, note: "of the genus"}
    tolerates: {band: [5, 38], basis: from-memory}
    outside: {low: slow, high: decline, basis: from-memory}
  humidity:
    tolerates: {band: [40, 100], basis: from-memory}
year:
  ways:
    evergreen: {title: warm all year, effort: 0}
    rests: {title: rests, effort: 1, rests: {winter: {kind: cool, weeks: {band: [8, 16], basis: from-memory}}}}
propagation:
  methods:
    seed: {ease: {value: easy, basis: from-memory}}
    division: {ease: {value: fair, basis: from-memory}}
notes: [A note on the genus.]
""",
    )
    write(
        "profiles/exempla/_lowland.yaml",
        GROUP
        + """\
air:
  temperature_day:
    tolerates: {low: 10, basis: common-practice}
    survives: {low: 2, high: 42, for_days: 3, basis: from-memory}
  humidity: {unknown: true, note: nobody says}
year:
  ways:
    evergreen: {removed: true}
    rests: {title: cool winters, rests: {winter: {kind: cold, may: {value: [0, 1, 2], basis: from-memory}}}}
""",
    )
    species("""\
air:
  temperature_day:
    tolerates: {high: 34, basis: published, sources: [{id: a-book, locator: "p. 4", as_stated: "34 °C"}]}
propagation:
  methods:
    seed: {germination: {low: 20, basis: from-memory}}
forms:
  cool:
    name: Exempla una f. frigida
    rank: form
    air:
      temperature_day:
        outside: {high: death, basis: from-memory}
""", head=IN_GROUP)  # fmt: skip


def test_each_end_comes_from_the_nearest_profile_that_states_it(line: None, opened: Open) -> None:
    claim = _band(opened().profile("exempla/una"), "air.temperature_day")
    ends = {
        (level, end): (claim.value(level, end), found.basis, found.origin.profile, found.inherited)
        for level in claim.levels
        for end in ("low", "high")
        if (found := claim.end(level, end))
    }
    assert ends == {
        ("prefers", "low"): (15, "common-practice", "exempla/_genus", True),
        ("prefers", "high"): (25, "common-practice", "exempla/_genus", True),
        ("tolerates", "low"): (10, "common-practice", "exempla/_lowland", True),
        ("tolerates", "high"): (34, "published", "exempla/una", False),
        ("survives", "low"): (2, "from-memory", "exempla/_lowland", True),
        ("survives", "high"): (42, "from-memory", "exempla/_lowland", True),
    }
    survives = claim.end("survives", "high")
    assert survives is not None
    assert survives.for_days == 3


def test_an_end_knows_its_file_line_source_and_note(line: None, opened: Open) -> None:
    claim = _band(opened().profile("exempla/una"), "air.temperature_day")
    high, prefers = claim.end("tolerates", "high"), claim.end("prefers", "low")
    assert high is not None
    assert prefers is not None
    assert high.origin.file.endswith("kb/profiles/exempla/una.yaml")
    assert (high.origin.line, high.origin.column) == (9, 5)
    assert [tuple(source) for source in high.sources] == [("a-book", "p. 4", "34 °C")]
    assert (prefers.note, prefers.origin.line) == ("of the genus", 5)
    assert "positions" not in repr(claim), "a claim can be printed without its whole file"


def test_outcomes_inherit_end_by_end(line: None, opened: Open) -> None:
    claim = _band(opened().profile("exempla/una/cool"), "air.temperature_day")
    assert claim.outside_low is not None
    assert claim.outside_high is not None
    assert (claim.outside_low.value, claim.outside_high.value) == ("slow", "death")
    assert (claim.outside_low.origin.profile, claim.outside_high.origin.profile) == (
        "exempla/_genus",
        "exempla/una/cool",
    )


def test_a_form_inherits_from_its_species(line: None, opened: Open) -> None:
    end = _band(opened().profile("exempla/una/cool"), "air.temperature_day").end("tolerates", "high")
    assert end is not None
    assert (end.value, end.origin.profile, end.inherited) == (34, "exempla/una", True)


def test_what_was_looked_for_in_vain_is_not_inherited(line: None, opened: Open) -> None:
    claim = _band(opened().profile("exempla/una"), "air.humidity")
    assert (claim.unknown, claim.levels, claim.note) == (True, {}, "nobody says")


def test_a_field_nobody_states_is_none_and_one_that_does_not_exist_an_error(line: None, opened: Open) -> None:
    profile = opened().profile("exempla/una")
    assert profile.claim("water.moisture") is None
    with pytest.raises(KeyError, match=r"no field 'air\.wetness'"):
        profile.claim("air.wetness")
    with pytest.raises(KeyError, match="BandClaim"):
        profile.range("air.temperature_day")


def test_maps_merge_by_key_and_removal_deletes(line: None, opened: Open) -> None:
    kb = opened()
    profile = kb.profile("exempla/una")
    assert profile.keys("propagation.methods") == ["seed", "division"]
    assert profile.value("propagation.methods.seed.ease") == "easy"
    assert profile.range("propagation.methods.seed.germination") is not None
    assert list(profile.ways) == ["rests"]
    assert list(kb.profile("exempla/_genus").ways) == ["evergreen", "rests"]
    assert profile.notes == ("A note on the genus.",)


def test_a_removed_rest_is_gone_and_may_be_stated_anew(write: Write, species: Write, opened: Open) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        GENUS
        + """\
year:
  ways:
    rests: {rests: {winter: {kind: cool, weeks: {low: 8, basis: from-memory}}, summer: {kind: dry}}}
""",
    )
    write("profiles/exempla/_lowland.yaml", GROUP + "year: {ways: {rests: {rests: {winter: {removed: true}}}}}\n")
    species("year: {ways: {rests: {rests: {winter: {kind: cold}}}}}\n", head=IN_GROUP)
    species("notes: [nothing to say]\n", "Exempla altera", head=IN_GROUP)
    kb = opened()
    assert list(kb.profile("exempla/altera").ways["rests"].rests) == ["summer"]
    winter = kb.profile("exempla/una").ways["rests"].rests["winter"]
    assert (winter.kind, winter.weeks) == ("cold", (None, None)), "nothing from beyond the removal"


def test_ways_and_rests_are_put_together_from_all_profiles(line: None, opened: Open) -> None:
    way = opened().profile("exempla/una").ways["rests"]
    winter = way.rests["winter"]
    assert (way.title, way.effort, way.renewed, way.origin.profile) == ("cool winters", 1, False, "exempla/_lowland")
    assert (winter.kind, winter.where, winter.need) == ("cold", "in-case", None)
    assert (winter.weeks, winter.may, winter.winters_skipped) == ((8, 16), (0, 1, 2), {})


def test_a_rest_falls_back_to_growth_field_by_field(species: Write, opened: Open) -> None:
    species("""\
year:
  ways:
    rests:
      rests:
        winter:
          kind: cold
          where: lifted-out
          need: {value: helpful, basis: from-memory}
          winters_skipped: {seedling: {value: 2, basis: from-memory}}
          air: {temperature_day: {tolerates: {high: 12, basis: from-memory}}}
air:
  temperature_day: {tolerates: {band: [10, 30], basis: from-memory}}
  humidity: {tolerates: {low: 40, basis: from-memory}}
""")
    rest = opened().profile("exempla/una").ways["rests"].rests["winter"]
    day, humidity = rest.claim("air.temperature_day"), rest.claim("air.humidity")
    assert isinstance(day, BandClaim)
    assert isinstance(humidity, BandClaim)
    assert (day.value("tolerates", "low"), day.value("tolerates", "high")) == (None, 12)
    assert humidity.value("tolerates", "low") == 40
    assert rest.own("air.humidity") is None
    assert (rest.where, rest.need, rest.winters_skipped["seedling"].value) == ("lifted-out", "helpful", 2)


DISPUTE = """\
air:
  temperature_night:
    note: they differ
    disputed:
      - {reading: the first, prefers: {low: 8, basis: from-memory}, tolerates: {band: [5, 18], basis: from-memory}}
      - {reading: the second, prefers: {low: 8, basis: from-memory}, tolerates: {band: [5, 24], basis: from-memory}}
"""


def test_a_dispute_replaces_what_its_readings_speak_of(write: Write, species: Write, opened: Open) -> None:
    """The genus's tolerated high end is replaced, also under a reading that states none; the rest is inherited."""
    text = "{survives: {low: 0, basis: from-memory}, tolerates: {high: 30, basis: from-memory}}"
    write("profiles/exempla/_genus.yaml", GENUS + f"air: {{temperature_night: {text}}}\n")
    species(DISPUTE)
    profile = opened().profile("exempla/una")
    claim = _band(profile, "air.temperature_night")
    assert profile.readings() == {"air.temperature_night": 2}
    assert [reading.title for reading in claim.readings] == ["the first", "the second"]
    assert claim.value("tolerates", "low") == 5, "what all readings agree on"
    assert claim.value("tolerates", "high") is None
    assert claim.hull("tolerates", "high") == (18, 24)
    assert [reading.claim.value("survives", "low") for reading in claim.readings] == [0, 0]
    assert [reading.claim.value("tolerates", "high") for reading in claim.readings] == [18, 24]
    end = claim.readings[1].claim.end("tolerates", "high")
    assert end is not None
    assert end.origin.line == 11


def test_picking_a_reading(species: Write, opened: Open) -> None:
    species(DISPUTE)
    profile = opened().profile("exempla/una").with_readings({"air.temperature_night": 1})
    claim = _band(profile, "air.temperature_night")
    assert (claim.value("tolerates", "high"), claim.disputed, profile.readings()) == (24, False, {})


def test_a_nearer_claim_settles_a_dispute_further_off(write: Write, species: Write, opened: Open) -> None:
    write("profiles/exempla/_genus.yaml", GENUS + DISPUTE)
    species("air: {temperature_night: {tolerates: {high: 20, basis: from-memory}}}\n")
    species("air: {temperature_night: {prefers: {high: 12, basis: from-memory}}}\n", "Exempla altera")
    kb = opened()
    settled, open_still = (_band(kb.profile(f"exempla/{e}"), "air.temperature_night") for e in ("una", "altera"))
    assert (settled.disputed, settled.value("tolerates", "high"), settled.value("prefers", "low")) == (False, 20, 8)
    assert open_still.disputed
    assert open_still.readings[1].claim.value("prefers", "high") == 12
    assert open_still.readings[1].claim.value("tolerates", "high") == 24


def test_disputed_words_inside_a_rest(species: Write, opened: Open) -> None:
    species("""\
year:
  ways:
    rests:
      rests:
        winter:
          kind: cold
          need:
            note: they differ
            disputed:
              - {reading: one, value: obligatory, basis: from-memory}
              - {reading: two, value: helpful, basis: from-memory}
""")
    profile = opened().profile("exempla/una")
    field = "year.ways.rests.rests.winter.need"
    assert (profile.readings(), profile.ways["rests"].rests["winter"].need) == ({field: 2}, None)
    assert profile.with_readings({field: 0}).ways["rests"].rests["winter"].need == "obligatory"


def test_a_stage_lies_over_the_adult(write: Write, species: Write, opened: Open) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        GENUS
        + """\
stages: {seedling: {air: {humidity: {tolerates: {low: 70, basis: from-memory}}}}}
""",
    )
    species("air: {humidity: {tolerates: {band: [40, 95], basis: from-memory}}}\n")
    adult = opened().profile("exempla/una")
    seedling = _band(adult.stage("seedling"), "air.humidity")
    assert (seedling.value("tolerates", "low"), seedling.value("tolerates", "high")) == (70, 95)
    assert _band(adult.stage("juvenile"), "air.humidity").value("tolerates", "low") == 40
    assert adult.stage("adult") is adult
    with pytest.raises(KeyError, match="no stage 'baby'"):
        adult.stage("baby")


def test_ranges_inherit_end_by_end_and_words_whole(write: Write, species: Write, opened: Open) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        GENUS
        + """\
habit:
  height: {band: [5, 30], basis: from-memory}
water:
  moisture: {value: [damp, wet], basis: from-memory}
""",
    )
    species("water: {moisture: {value: [wet], basis: from-memory}}\nhabit: {height: {low: 8, basis: from-memory}}\n")
    profile = opened().profile("exempla/una")
    height, moisture = profile.claim("habit.height"), profile.claim("water.moisture")
    assert isinstance(height, RangeClaim)
    assert height.low is not None
    assert height.high is not None
    assert (height.low.value, height.high.value, height.field.unit) == (8, 30, "cm")
    assert isinstance(moisture, ValueClaim)
    assert (moisture.value, moisture.origin.line) == (("wet",), 6)


def test_cues_come_whole_from_the_nearest_profile(write: Write, species: Write, opened: Open) -> None:
    write(
        "profiles/exempla/_genus.yaml",
        GENUS
        + """\
light:
  cues:
    short-days: {event: gemmae, below: 12, months: [9, 10], basis: from-memory}
    long-days: {event: growth, above: 13, basis: from-memory}
""",
    )
    species("light: {cues: {short-days: {event: gemmae, below: 11, basis: from-memory}}}\n")
    cues = opened().profile("exempla/una").cues()
    assert {key: (cue.event, cue.below, cue.above, cue.months) for key, cue in cues.items()} == {
        "short-days": ("gemmae", 11, None, ()),
        "long-days": ("growth", None, 13, ()),
    }


def test_an_outline_is_told_apart_and_its_group_gives_a_hull(write: Write, species: Write, opened: Open) -> None:
    write("profiles/exempla/_lowland.yaml", GROUP + "air: {humidity: {tolerates: {low: 50, basis: from-memory}}}\n")
    species("air: {humidity: {tolerates: {high: 90, basis: from-memory}}}\n", head=IN_GROUP)
    species("air: {humidity: {tolerates: {band: [30, 95], basis: from-memory}}}\n", "Exempla altera", head=IN_GROUP)
    species("", "Exempla tertia", head=IN_GROUP)
    kb = opened()
    assert kb.profile("exempla/tertia").outline
    assert not kb.profile("exempla/una").outline
    assert kb.hull("exempla/_lowland", "air.humidity", "tolerates", "low") == (30, 50)
    assert kb.hull("exempla/_lowland", "air.humidity", "tolerates", "high") == (90, 95)
    assert kb.hull("exempla/_genus", "air.humidity", "tolerates", "high") == (90, 95)
    assert kb.hull("exempla/_lowland", "air.humidity", "survives", "high") is None


def test_a_group_that_is_not_there(species: Write, kb: object, opened: Open) -> None:
    from bogwright.knowledge import KnowledgeError

    species("", head="group: highland\n")
    with pytest.raises(KnowledgeError) as caught:
        opened()
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.code) == (4, 8, "unknown-group")
    assert str(problem).partition(": ")[2] == (
        "the group 'highland' has no profile — write profiles/exempla/_highland.yaml, or correct the name "
        "(unknown-group)"
    )


def test_lists_of_what_there_is(line: None, opened: Open) -> None:
    kb = opened()
    assert [entry.id for entry in kb.taxa()] == ["exempla/una", "exempla/una/cool"]
    assert [entry.id for entry in kb.groups()] == ["exempla/_lowland"]
    assert [entry.id for entry in kb.genera()] == ["exempla/_genus"]
    assert list(kb.sources()) == ["a-book", "a-post"]
    assert (kb.table("axes"), kb.rules()) == (None, [])
