"""The arrows between packages run one way, and start-up imports stay light."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "engine" / "bogwright"
# what each package may import of the project
MAY = {
    "physics": set(),
    "knowledge": {"data"},
    "rules": set(),
    "enclosure": {"physics"},
    "sharing": {"physics", "knowledge"},
    "facts": {"physics", "knowledge", "enclosure", "rules", "sharing"},
    "judge": {"data", "physics", "knowledge", "enclosure", "rules", "sharing", "facts"},
    "reckon": {"physics", "knowledge", "enclosure", "rules", "sharing"},
    "report": {"data", "physics", "knowledge", "enclosure", "rules", "sharing", "facts", "judge"},
}


def imports(path: Path) -> set[str]:
    """First package below bogwright of every import in a file, function-level ones included."""
    inside = path.relative_to(PACKAGE).parts
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            if node.level:  # relative: resolve against the file's own package
                base = ("bogwright", *inside[:-1])[: len(inside) + 1 - node.level]
                whole = [*base, *(node.module or "").split(".")] if node.module else list(base)
                names = (
                    [".".join(filter(None, whole))] if node.module else [".".join([*whole, a.name]) for a in node.names]
                )
            else:
                names = [node.module or ""]
                if node.module == "bogwright":
                    names = [f"bogwright.{a.name}" for a in node.names]
        elif isinstance(node, ast.Import):
            names = [a.name for a in node.names]
        else:
            continue
        found |= {n.split(".")[1] for n in names if n.startswith("bogwright.")}
    return found


@pytest.mark.parametrize("package", sorted(MAY))
def test_arrows_run_one_way(package):
    """A package imports only what lies below it."""
    for path in sorted((PACKAGE / package).rglob("*.py")):
        beyond = imports(path) - {package} - MAY[package]
        assert not beyond, f"{path.relative_to(PACKAGE)} imports {beyond}"


def test_nothing_imports_the_command_line():
    """cli.py is the top: only __main__ may import it."""
    for path in PACKAGE.rglob("*.py"):
        if path.name != "__main__.py":
            assert "cli" not in imports(path), path


def test_a_judgement_of_names_foretells_no_enclosure():
    """Nor does it load what predicts the conditions of a plan or turns its settings."""
    code = (
        "import sys; from bogwright.cli import main; main(['judge', 'Drosera capensis']);"
        "print([m for m in ('enclosure.predict', 'enclosure.tables', 'judge.improve', 'physics.substrate')"
        " if 'bogwright.' + m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_a_judgement_of_names_imports_no_heavy_library():
    """With the snapshot fresh, plain names need neither yaml, jsonschema, numpy nor networkx."""
    code = (
        "import sys; from bogwright.cli import main; main(['judge', 'Drosera capensis']);"
        "print(sorted({'yaml', 'jsonschema', 'numpy', 'networkx', 'mkdocs'} & set(sys.modules)), file=sys.stderr)"
    )
    subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)  # makes the snapshot
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"
