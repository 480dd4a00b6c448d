"""Rules that a grower can read: their language, their meaning, and two engines that agree.

`parse` reads rule files, `check` and `run_examples` lint them, `judge` fires them on rows.
"""

from __future__ import annotations

from collections.abc import Sequence

from bogwright.rules import chain, meaning
from bogwright.rules.chain import ChainError
from bogwright.rules.derivations import Derivations, Firing, Judgement
from bogwright.rules.examples import run_examples
from bogwright.rules.fields import Fields, FieldsError, Problem, load_fields
from bogwright.rules.language import parse
from bogwright.rules.lint import check
from bogwright.rules.meaning import UNBOUNDED, Row, RowError, outward, severity
from bogwright.rules.model import Rule
from bogwright.rules.says import fill

__all__ = [
    "UNBOUNDED", "ChainError", "Derivations", "Fields", "FieldsError", "Firing", "Judgement", "Problem", "Row",
    "RowError", "Rule", "check", "fill", "judge", "load_fields", "outward", "parse", "run_examples", "severity",
]  # fmt: skip


def judge(rows: Sequence[Row], rules: Sequence[Rule]) -> Judgement:
    """What fires on rows, certainly and possibly: on durable-rules where it can be imported, else by plain fixpoint.

    Both give the same answer. Raises RowError for a row that breaks its contract, ChainError if durable-rules fails.
    """
    return chain.judge(rows, rules) if chain.available() else meaning.judge(rows, rules)
