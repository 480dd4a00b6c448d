"""Finding a plant by the names growers write."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bogwright.knowledge import KnowledgeBase, Match, NameProblem

from .conftest import Write

FORMS = """\
year: {ways: {cold: {title: cold winters}}}
forms:
  purpurea: {name: Sarracenia purpurea subsp. purpurea, rank: subspecies, year: {ways: {mild: {title: mild winters}}}}
  venosa:
    name: Sarracenia purpurea subsp. venosa
    rank: subspecies
    air: {temperature_night: {tolerates: {low: 8, basis: from-memory}}}
  red-one: {name: "Sarracenia purpurea 'Red One'", rank: cultivar}
"""


@pytest.fixture
def names(write: Write, species: Write, opened: Callable[[], KnowledgeBase]) -> KnowledgeBase:
    def identity(synonyms: str = "", common: str = "") -> str:
        lines = ""
        if synonyms:
            lines += f"  synonyms: {{value: [{synonyms}], basis: common-practice}}\n"
        if common:
            lines += f"  common_names: {{value: [{common}], basis: common-practice}}\n"
        return lines

    write("profiles/drosera/_pygmy.yaml", "profile: group\nname: pygmy sundews\n")
    write(
        "profiles/dionaea/_genus.yaml",
        "profile: genus\nname: Dionaea\nidentity:\n  common_names: {value: [Venus flytrap], basis: common-practice}\n",
    )
    species("", "Dionaea muscipula")
    species(identity(common="Cape sundew"), "Drosera capensis")
    species(identity("Drosera lata"), "Drosera scorpioides", head="group: pygmy\n")
    species(identity("Drosera capensis, Drosera dubia"), "Drosera alba")
    species(identity(common="pitcher plant"), "Darlingtonia californica")
    species(identity(common="pitcher plant, purple pitcher") + FORMS, "Sarracenia purpurea")
    species("", "Sarracenia × catesbaei", "profiles/sarracenia/catesbaei.yaml")
    species("", "Sarracenia minor")
    species("", "Nepenthes minor")
    species("", "Genlisea águila")
    return opened()


@pytest.mark.parametrize(
    ("name", "taxon"),
    [
        ("Drosera capensis", "drosera/capensis"),
        ("  drosera   CAPENSIS ", "drosera/capensis"),
        ("drosera_capensis", "drosera/capensis"),
        ("drosera/capensis", "drosera/capensis"),
        ("D. scorpioides", "drosera/scorpioides"),
        ("d scorpioides", "drosera/scorpioides"),
        ("Dro. scorpioides", "drosera/scorpioides"),
        ("Drosera lata", "drosera/scorpioides"),
        ("D. lata", "drosera/scorpioides"),
        ("cape SUNDEW", "drosera/capensis"),
        ("Venus flytrap", "dionaea/muscipula"),
        ("S. purpurea venosa", "sarracenia/purpurea/venosa"),
        ("Sarracenia purpurea ssp. venosa", "sarracenia/purpurea/venosa"),
        ("Sarracenia purpurea var venosa", "sarracenia/purpurea/venosa"),
        ("Sarracenia purpurea 'Red One'", "sarracenia/purpurea/red-one"),
        ("Sarracenia ‘Red One’", "sarracenia/purpurea/red-one"),
        ("red one", "sarracenia/purpurea/red-one"),
        ("Sarracenia x catesbaei", "sarracenia/catesbaei"),
        ("S. ×catesbaei", "sarracenia/catesbaei"),
        ("sarracenia catesbaei", "sarracenia/catesbaei"),
        ("Genlisea aguila", "genlisea/águila"),
    ],
)
def test_one_plant(names: KnowledgeBase, name: str, taxon: str) -> None:
    assert names.find(name) == Match(taxon, (taxon,))


def test_forms_that_live_differently_are_judged_one_by_one(names: KnowledgeBase) -> None:
    assert names.find("S. purpurea") == Match(
        "sarracenia/purpurea", ("sarracenia/purpurea/purpurea", "sarracenia/purpurea/venosa")
    )
    assert names.differing_forms("sarracenia/purpurea/venosa") == ()
    assert names.differing_forms("drosera/capensis") == ()


def test_the_species_itself_stays_where_not_all_of_it_is_covered(
    species: Write, opened: Callable[[], KnowledgeBase]
) -> None:
    species("forms: {cool: {name: Exempla una f. frigida, rank: form, year: {ways: {cold: {title: cold}}}}}\n")
    assert opened().differing_forms("exempla/una") == ("exempla/una", "exempla/una/cool")


@pytest.mark.parametrize(
    ("name", "kind", "said", "candidates"),
    [
        ("pitcher plant", "ambiguous",
         "'pitcher plant' may be any of Darlingtonia californica, Sarracenia purpurea — write one of them in full",
         ("darlingtonia/californica", "sarracenia/purpurea")),
        ("Drosera", "genus",
         "'Drosera' is a genus, not one plant — name a species; known: Drosera alba, Drosera capensis, Drosera "
         "scorpioides",
         ("drosera/alba", "drosera/capensis", "drosera/scorpioides")),
        ("pygmy", "group", "'pygmy' is a group, not one plant — name a species; known: Drosera "
                           "scorpioides", ("drosera/scorpioides",)),
        ("Pygmy Drosera", "group", "'Pygmy Drosera' is a group, not one plant — name a species; known: Drosera "
                                   "scorpioides",
         ("drosera/scorpioides",)),
        ("Drosra capensis", "unknown", "no plant 'Drosra capensis' is known — did you mean Drosera "
                                       "capensis?", ("drosera/capensis",)),
        ("scorpioides", "unknown", "no plant 'scorpioides' is known — did you mean Drosera "
                                   "scorpioides?", ("drosera/scorpioides",)),
        ("D. capensys", "unknown", "no plant 'D. capensys' is known — did you mean Drosera "
                                   "capensis?", ("drosera/capensis",)),
        ("zzz", "unknown", "no plant 'zzz' is known — check the spelling, or list the known plants with 'bogwright "
                           "plant'", ()),
        (" . ", "unknown", "no name is given — write the name of a plant", ()),
    ],
)  # fmt: skip
def test_no_single_plant(names: KnowledgeBase, name: str, kind: str, said: str, candidates: tuple[str, ...]) -> None:
    found = names.find(name)
    assert isinstance(found, NameProblem)
    assert (found.kind, str(found), found.candidates) == (kind, said, candidates)


def test_a_genus_with_one_known_species_means_it(names: KnowledgeBase) -> None:
    found = names.find("Dionaea")
    assert isinstance(found, Match) and found.id == "dionaea/muscipula"


def test_an_abbreviation_that_fits_two_genera(species: Write, opened: Callable[[], KnowledgeBase]) -> None:
    for genus in ("Sarracenia", "Sphagnum"):
        species("", f"{genus} minor")
    found = opened().find("S. minor")
    assert isinstance(found, NameProblem)
    assert (found.kind, found.candidates) == ("ambiguous", ("sarracenia/minor", "sphagnum/minor"))
