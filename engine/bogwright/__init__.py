"""Bogwright: which carnivorous plants can share an enclosure, and what it must be.

``share`` and ``judge_plan`` give the same answers as the command line, as plain data.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

__version__ = "0.1.0"


def share(names: Sequence[str], horizon: str = "indefinitely", stage: str = "adult") -> dict[str, Any]:
    """Can these plants share any enclosure? Returns the content that ``bogwright judge --json`` prints.

    Raises bogwright.judge.ask.AskError for names that cannot be resolved, KnowledgeError for a broken knowledge base.
    """
    from bogwright.judge.ask import ask_names
    from bogwright.judge.bench import Bench
    from bogwright.report.content import content

    return content(ask_names(Bench.open(), names, horizon, stage))


def judge_plan(path: str) -> dict[str, Any]:
    """Will the enclosure of a plan file serve its plants? Returns the content that ``bogwright judge --json`` prints.

    Raises bogwright.judge.read.PlanError with every problem of the file.
    """
    from bogwright.judge.ask import ask_plan
    from bogwright.judge.bench import Bench
    from bogwright.judge.read import load_plan
    from bogwright.report.content import content

    bench = Bench.open()
    plan = load_plan(bench, path)
    return content(ask_plan(bench, plan.plan, plan.data, lambda n, message: None))
