"""What an unquoted word in a YAML file means here, and which ones are refused because readers disagree."""

from __future__ import annotations

import re
from dataclasses import dataclass

from .problems import quoted

Plain = str | int | float | bool | None

_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
_DECIMAL = re.compile(r"[-+]?(?:(?:0|[1-9][0-9]*)\.[0-9]*|\.[0-9]+)")
_NOTHING = frozenset({"", "~", "null", "Null", "NULL"})
_SWITCHES = {"yes": True, "on": True, "no": False, "off": False}
_MOST_DIGITS = 20


@dataclass(frozen=True)
class Refusal:
    """Why an unquoted word is refused. meant : the likeliest value, so that checking can go on."""

    message: str
    hint: str
    meant: Plain


def plain_value(text: str) -> Plain | Refusal:
    """The value of an unquoted word: true, false, a number or a text, or why it is refused."""
    if not text or not (text[0].isdigit() or text[0] in "+-.−~<=nNyYoOtTfF"):
        return text or _nothing(text)
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.fullmatch(text):
        return int(text) if len(text) <= _MOST_DIGITS else _too_long(text)
    if _DECIMAL.fullmatch(text) and len(text) > 1:
        return float(text) if len(text) <= _MOST_DIGITS else _too_long(text)
    if text in _NOTHING:
        return _nothing(text)
    return _surprise(text) or text


def _nothing(text: str) -> Refusal:
    message = f"{quoted(text)} is no value" if text else "no value is given"
    return Refusal(
        message, "write a value, or leave the key out; what was looked for and not found is {unknown: true}", None
    )


def _too_long(text: str) -> Refusal:
    return Refusal(
        f"the number {quoted(text, 30)} has too many digits",
        f"at most {_MOST_DIGITS} characters; quote it if it is a text",
        text,
    )


def _surprise(text: str) -> Refusal | None:
    lower = text.lower()
    if lower in ("true", "false"):
        return Refusal(f"{quoted(text)} is written in capitals", f"write {lower}", lower == "true")
    if lower in _SWITCHES:
        meaning = "true" if _SWITCHES[lower] else "false"
        return Refusal(
            f"the bare word {quoted(text)} is read as {meaning} by some YAML readers",
            f'write {meaning} for a yes-or-no value, or quote the word: "{text}"',
            text,
        )
    for pattern, refuse in _LOOKALIKES:
        if pattern.fullmatch(text):
            return refuse(text)
    return None


def _clock(text: str) -> Refusal:
    return Refusal(f"{quoted(text)} is read as a number to base 60 by some YAML readers", f'quote it: "{text}"', text)


def _underscores(text: str) -> Refusal:
    digits = text.replace("_", "")
    meant = plain_value(digits)
    return Refusal(
        f"{quoted(text)} has underscores between its digits",
        f"write {digits}",
        None if isinstance(meant, Refusal) else meant,
    )


def _leading_zero(text: str) -> Refusal:
    sign, digits = ("-", text[1:]) if text[0] == "-" else ("", text.lstrip("+"))
    plain = sign + (digits.lstrip("0") or "0")
    return Refusal(
        f"{quoted(text)} starts with 0 and is read as an octal number by some YAML readers",
        f'write {plain}, or quote it: "{text}"',
        text,
    )


def _date(text: str) -> Refusal:
    return Refusal(f"the date {quoted(text)} is not quoted", f'quote it: "{text}"', text)


def _exponent(text: str) -> Refusal:
    number = float(text)
    message = f"{quoted(text)} is a number to some YAML readers and a text to others"
    if not 1e-6 <= abs(number) < 1e15:
        return Refusal(message, f'write the number out, or quote it: "{text}"', text)
    return Refusal(message, f"write {number:.6f}".rstrip("0").rstrip("."), number)


def _other_base(text: str) -> Refusal:
    return Refusal(
        f"{quoted(text)} is not a decimal number", f'write it in decimal digits, or quote it: "{text}"', text
    )


def _comma(text: str) -> Refusal:
    plain = text.replace(",", "") if re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+", text) else text.replace(",", ".")
    return Refusal(f"the number {quoted(text)} is written with a comma", f'write {plain}, or quote it: "{text}"', text)


def _minus_sign(text: str) -> Refusal:
    return Refusal(f"{quoted(text)} starts with a minus sign that is not the hyphen", f"write -{text[1:]}", text)


def _not_finite(text: str) -> Refusal:
    return Refusal(
        f"{quoted(text)} is not a number that can be compared", f'give a number, or quote it: "{text}"', text
    )


def _merge(text: str) -> Refusal:
    return Refusal(f"the bare word {quoted(text)} has a special meaning in YAML", f'quote it: "{text}"', text)


_LOOKALIKES = (
    (re.compile(r"[-+]?[0-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?"), _clock),
    (re.compile(r"[-+]?[0-9][0-9.]*(?:_[0-9.]*)+"), _underscores),
    (re.compile(r"[-+]?0[0-9]+(?:\.[0-9]*)?"), _leading_zero),
    (re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[Tt ].*)?"), _date),
    (re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)[eE][-+]?[0-9]{1,4}"), _exponent),
    (re.compile(r"[-+]?0(?:[xX][0-9a-fA-F_]+|[oO][0-7_]+|[bB][01_]+)"), _other_base),
    (re.compile(r"[-+]?[0-9]+(?:,[0-9]+)+"), _comma),
    (re.compile(r"−[0-9][0-9.]*"), _minus_sign),
    (re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"), _not_finite),
    (re.compile(r"<<|="), _merge),
)
