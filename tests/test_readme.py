"""The README's printed answers are what the program prints today."""

import re
import shlex
from pathlib import Path

import pytest

from bogwright.cli import main

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
# a command that answers, and the text block that follows it
SHOWN = re.findall(r"```sh\n([^\n]*bogwright (?:judge|fits)[^\n]*)\n```\n.*?```text\n(.*?)\n```", TEXT, re.DOTALL)


def test_job_comes_first():
    """The README opens with the job in one paragraph."""
    assert TEXT.startswith("# Bogwright\n\nBogwright tells a grower")


@pytest.mark.parametrize(("command", "answer"), SHOWN, ids=["demo plan", "names", "what else fits", "labels alone"])
def test_answers_are_real(capsys, monkeypatch, command, answer):
    """Each printed answer equals the program's own."""
    monkeypatch.chdir(ROOT)
    argv = shlex.split(command.split("bogwright ")[-1])
    main(argv)
    assert capsys.readouterr().out.rstrip() == answer
