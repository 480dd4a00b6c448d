"""The ranges that predictions take for granted, for the checks that hold them against published figures."""

from __future__ import annotations

import yaml

from bogwright.data import kb_folder


def assumed(key: str, word: str = "") -> tuple[float, float]:
    """Least and greatest value of an assumption of the knowledge base, by a word of the plan where it asks one."""
    given = yaml.safe_load((kb_folder() / "assumptions.yaml").read_text(encoding="utf-8"))["assumptions"][key]
    low, high = given["by"][word] if word else given["value"]
    return low, high
