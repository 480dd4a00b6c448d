"""Words and numbers for readers: units, months, standings, outcomes, effort."""

from __future__ import annotations

import re
from collections.abc import Sequence

from markupsafe import Markup

from bogwright.report.site.markup import el, joined
from bogwright.rules.says import BEYOND, interval

# standing: mark, word, what it means
STANDINGS = {
    "published": ("●", "published", "stated by at least one source that was read"),
    "common-practice": ("◐", "common practice", "what growers commonly do; no source was read for it"),
    "from-memory": ("○", "from memory", "remembered by a contributor; to be checked"),
    "derived": ("△", "derived", "computed from other figures by a named method"),
    "disputed": ("◇", "disputed", "sources of like standing disagree; both readings are kept"),
    "unknown": ("?", "unknown", "looked for, not found"),
}
SEVERITIES = {
    "blocker": ("■", "blocker", "the plants or the enclosure cannot work as they are"),
    "condition": ("◧", "condition", "works if this is kept"),
    "caution": ("△", "caution", "a risk to people, plants or places; it does not change the verdict by itself"),
    "note": ("·", "note", "worth knowing; changes nothing"),
}
OUTCOMES = {"cosmetic": "looks suffer", "slow": "growth slows", "decline": "it declines", "death": "it dies"}
EFFORTS = ("none", "a change of watering", "a change of place or air", "pots lifted out", "sown again every year")
REST_KINDS = {
    "cold": "cold rest",
    "cool": "cool rest",
    "dry": "dry rest",
    "winter-bud": "rest as a winter bud",
    "slow": "slow season",
    "seed": "rest as seed",
}
WHERE = {"in-case": "in the enclosure", "lifted-out": "lifted out of the enclosure"}
CITES = {"none": "not listed", "I": "Appendix I", "II": "Appendix II", "III": "Appendix III"}
RANKS = {"natural-hybrid": "natural hybrid", "companion": "companion plant"}

_UNIT = re.compile(r"(?<=\d) (?=\S+$)")
_LONG = re.compile(r"\d{5,}")


def words(word: str) -> str:
    """A word of a closed list as a reader sees it."""
    return word.replace("-", " ").replace("_", " ")


def capital(text: str) -> str:
    """Words as they begin a sentence or a title."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """A remark of a data file as a sentence, which has one full stop whether it was written with one or not."""
    return capital(text.rstrip(".")) + "."


def figure(low: float | None, high: float | None, unit: str | None) -> str:
    """An interval with its unit, long numbers in groups of three; a difference of temperatures is shown in °C."""
    least, most = -BEYOND if low is None else low, BEYOND if high is None else high
    shown = interval(least, most, {"K": "degC", None: ""}.get(unit, unit or ""))
    shown = _LONG.sub(lambda found: thousands(int(found[0])), shown)
    return _UNIT.sub("\u00a0", shown)


def mark(table: dict[str, tuple[str, str, str]], key: str, group: str) -> Markup:
    """A sign and its word; the sign is for the eye only, the word says it all."""
    sign, word, meaning = table[key]
    return el("span", el("span", sign, aria_hidden="true"), f" {word}", class_=f"{group} {group}-{key}", title=meaning)


def standing(basis: str) -> Markup:
    """How well a figure is founded, as sign and word."""
    return mark(STANDINGS, basis, "standing")


def severity(key: str) -> Markup:
    """How grave a finding is, as sign and word."""
    return mark(SEVERITIES, key, "severity")


def effort(level: int) -> str:
    """The trouble of a way, in words."""
    return EFFORTS[min(level, len(EFFORTS) - 1)]


def counted(number: int, one: str, many: str = "") -> str:
    """``1 plant``, ``3 plants``."""
    return f"{thousands(number)} {one if number == 1 else many or one + 's'}"


def thousands(number: int) -> str:
    """A whole number in groups of three."""
    return f"{number:,}".replace(",", "\u202f")


def or_list(items: Sequence[str | Markup]) -> Markup:
    """a, b or c"""
    return joined(items) if len(items) < 2 else joined([joined(items[:-1]), items[-1]], " or ")
