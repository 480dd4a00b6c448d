"""The published statements make sound plans, whatever the engine will say of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from referencing import Registry, Resource

from bogwright.data import kb_folder, schemas_folder
from bogwright.enclosure.fitting import check_fit
from bogwright.enclosure.plan import check_plan
from bogwright.knowledge.schema_errors import choice

from .cases import BREADTH, CLIMATES, HELD_OUT, load, members, outdoors, plan_of

CASES = [*load(), *load(HELD_OUT), *load(BREADTH)]
PLANS = [pytest.param(case, n, id=f"{case['id']}-{n}") for case in CASES for n in range(members(case))]
PROSE = {"id", "statement", "source", "locator", "as_stated", "certainty", "implied", "judged_why"}
FACTS = {"outcome", "because", "looks_wrong", "plants", "horizon", "conditions", "judged"}
ADDED = {"case", "climate", "latitude", "indoors", "waters", "spots", "shared_water", "treatments"}


def known_ids(name: str, key: str) -> list[str]:
    return list(yaml.safe_load((kb_folder() / name).read_text(encoding="utf-8"))[key])


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schemas = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(schemas_folder().glob("*.schema.json"))]
    registry = Registry().with_resources((schema["$id"], Resource.from_contents(schema)) for schema in schemas)
    plan = next(schema for schema in schemas if schema["$id"].endswith("/plan.schema.json"))
    return jsonschema.Draft202012Validator(plan, registry=registry)


@pytest.mark.parametrize(("case", "member"), PLANS)
def test_every_statement_is_a_sound_plan(
    case: dict[str, Any], member: int, validator: jsonschema.Draft202012Validator
) -> None:
    data = plan_of(case, member)
    errors = [f"{list(error.absolute_path)}: {error.message}" for error in validator.iter_errors(data)]
    assert errors == []

    def say(path: Any, message: str, hint: str) -> None:
        pytest.fail(f"{path}: {message} ({hint})")

    check_plan(data, say, known_ids("materials.yaml", "materials"), known_ids("lamps.yaml", "lamps"), choice)
    check_fit(data, say)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_what_is_added_names_its_ground(case: dict[str, Any]) -> None:
    """No unknown key, no addition without its ground, places as the plants name them."""
    assert set(case) <= PROSE | FACTS | ADDED
    for plant in case["plants"]:
        assert set(plant) <= {"taxon", "mapped_from", "potted", "removable", "place", "stage", "plan"}
    assert case.get("implied") or not (ADDED & set(case) or any("plan" in plant for plant in case["plants"]))
    assert ("judged_why" in case) == (case.get("judged") is False)
    places = {plant.get("place") or "place" for plant in case["plants"]}
    assert {*case.get("waters", {}), *case.get("spots", {}), *case.get("shared_water", [])} <= places
    assert {*(case.get("conditions") or {}).get("moisture", {})} <= places


def test_most_statements_are_judged_and_many_look_wrong() -> None:
    judged = [case for case in CASES if case.get("judged", True)]
    assert len(CASES) - len(judged) <= len(CASES) / 5
    surprises = [case for case in judged if case["outcome"] == "works" and case["looks_wrong"]]
    assert len(surprises) >= 0.45 * len(judged)


def test_climates_name_their_sources() -> None:
    """Each station is used, sourced and twelve months long, and its extremes enclose its means."""
    used = {case["climate"]["station"] for case in CASES if "climate" in case}
    assert used == set(CLIMATES["stations"])
    for name, station in CLIMATES["stations"].items():
        assert station["source"] and station["url"], name
        assert len(station["mean_max_c"]) == len(station["mean_min_c"]) == 12, name
        assert not station.keys() & {"year_lowest", "year_peak"} or station["extremes_source"], name
        made = outdoors({"station": name})
        assert len(made["temperature_day"]["peak"]) == len(made["temperature_night"]["lowest"]) == 12


def test_statements_name_sources_with_an_address() -> None:
    """Every statement's source stands in kb/sources or in sources.yaml here, with an address."""
    files = [*sorted((kb_folder() / "sources").glob("*.yaml")), Path(__file__).with_name("sources.yaml")]
    known = {s["id"]: s for file in files for s in yaml.safe_load(file.read_text(encoding="utf-8"))}
    for case in CASES:
        assert known[case["source"]].get("URL"), case["id"]
