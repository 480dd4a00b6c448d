"""kb/formulas.yaml tells of every formula of the physics, once, and of none that is not there."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from bogwright import enclosure, physics
from bogwright.knowledge import KnowledgeBase

TESTS = Path(__file__).parents[1]
WITHOUT_FORMULAS = {"elementwise", "ranges"}
MODULES = sorted(m.name for m in pkgutil.iter_modules(physics.__path__) if m.name not in WITHOUT_FORMULAS)


def public(module: str) -> set[str]:
    """Functions that a module of the physics offers."""
    made = importlib.import_module(f"bogwright.physics.{module}")
    functions = inspect.getmembers(made, inspect.isfunction)
    return {f"{module}.{n}" for n, f in functions if f.__module__ == made.__name__ and not n.startswith("_")}


@pytest.fixture(scope="module")
def base() -> KnowledgeBase:
    return KnowledgeBase.open()


@pytest.fixture(scope="module")
def formulas(base: KnowledgeBase) -> dict[str, Any]:
    table = base.table("formulas")
    assert table is not None
    return dict(table.data["formulas"])


@pytest.mark.parametrize("module", MODULES)
def test_every_public_function_has_one_entry(formulas: dict[str, Any], module: str) -> None:
    """Nothing is computed that the page does not explain, and nothing is explained twice."""
    told = Counter(one["function"] for one in formulas.values())
    assert {name: told[name] for name in public(module)} == dict.fromkeys(public(module), 1)


def test_every_entry_names_what_is_there(formulas: dict[str, Any]) -> None:
    """Beside functions, the curves of a medium."""
    for one in formulas.values():
        module, name = one["function"].split(".")
        assert callable(getattr(importlib.import_module(f"bogwright.physics.{module}"), name, None)), one["function"]


def test_sources_are_entered(base: KnowledgeBase, formulas: dict[str, Any]) -> None:
    """And a published formula names one."""
    for key, one in formulas.items():
        for ref in one.get("sources", ()):
            assert ref["id"] in base.sources(), key


def test_the_checks_exist(formulas: dict[str, Any]) -> None:
    """Every entry names tests that are there."""
    held: dict[str, set[str]] = {}
    for key, one in formulas.items():
        for check in one["checked_by"]:
            file, _, name = check.partition("::")
            if file not in held:
                tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
                held[file] = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
            assert name in held[file], (key, check)


def test_what_a_prediction_uses_says_what_it_serves(formulas: dict[str, Any]) -> None:
    """Functions that the enclosure calls name the conditions that rest on them."""
    used = set()
    for file in Path(enclosure.__path__[0]).glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("bogwright.physics."):
                module = (node.module or "").rpartition(".")[2]
                used |= {f"{module}.{a.name}" for a in node.names} & (public(module) if module in MODULES else set())
    silent = [one["function"] for one in formulas.values() if one["function"] in used and "serves" not in one]
    assert used and not silent


def test_sources_of_formulas_are_in_use(base: KnowledgeBase, formulas: dict[str, Any]) -> None:
    """What the physics was held against is cited where the formula is told."""
    cited = {ref["id"] for one in formulas.values() for ref in one.get("sources", ())}
    assert {"fao-56", "iso-6946-resistances", "plummer-busenberg-1982", "crc-kcl-conductivity"} <= cited
