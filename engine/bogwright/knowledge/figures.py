"""Find the figures in a source's own words and hold them against the value of a claim."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from .units import convert

# Conductivity depends on which salts are dissolved: no factor turns it into mg/L.
AMBIGUOUS = frozenset({"uS/cm"})


class Figure(NamedTuple):
    """A number in a text. unit : as in `units`, or None where the text gives none."""

    value: float
    unit: str | None


_WORDS = {
    word: float(number)
    for number, word in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve".split()  # noqa: SIM905
    )
} | {"couple": 2.0, "dozen": 12.0, "twenty": 20.0, "thirty": 30.0}
_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125}
_TIMES = frozenset({"hours", "days", "weeks", "months", "years"})
_LISTING = ("or", "and", "und", "oder", "e")
_ONE_OF = re.compile(r"\s+(?:day|week|month|year|inch|foot|met(?:re|er)|centimet(?:re|er)|fortnight)\b", re.IGNORECASE)
_PER = r"(?:\s*[·./*]?\s*(?:m|s|d|day|sec)(?:\^?[-⁻]?[12¹²])?(?![A-Za-z]))*"

# Tried in this order at each place of the text.
_UNITS: tuple[tuple[str, str], ...] = (
    ("footcandle", r"foot[- ]?candles?|ft\.?[- ]?(?:candles?|c\b\.?)|f\.?c\.?(?![a-z])"),
    ("degF", r"(?:°|deg(?:rees?|\.)?|grad)?\s*(?:f(?:ah|ha)renheit\b|(?-i:F)\b)|°\s*f\b|(?<=\d)f\b"),
    ("degC", r"(?:°|deg(?:rees?|\.)?|grad)?\s*(?:cel[sc]ius\b|centigrade\b|(?-i:C)\b)|°\s*c\b|(?<=\d)c\b"),
    ("dH", r"°?\s*d[gk]?h\b"),
    ("deg", r"°|deg(?:rees?)?\b|gradi?\b"),
    ("K", r"(?-i:K)\b|kelvin\b"),
    ("%", r"%|per ?cent\b|pct\b|prozent\b"),
    ("klx", r"klux\b|klx\b|kilolux\b"),
    ("lux", r"lux\b|lx\b"),
    ("umol/L", r"(?:[uµμ]|micro)(?:(?-i:M)\b|mol[\s./·]*l(?:-1|⁻¹)?(?![a-z]))"),
    ("mmol/L", r"(?-i:mM)\b|mmol[\s./·]*l(?:-1|⁻¹)?(?![a-z])"),
    ("umol", rf"(?:[uµμ]|micro)(?:mol(?:es|s)?|E)(?![a-z]){_PER}|ppfd\b"),
    ("mol", rf"mol(?:es|s)?(?![a-z]){_PER}"),
    ("uS/cm", r"[uµμ]S(?:\s*/\s*cm)?\b|mS\s*/\s*cm\b|microsiemens\b"),
    ("meq/L", r"meq(?:\s*/\s*l|\s+l-1)?\b"),
    ("mg/L", r"mg\s*(?:/|·|per\s+|\s)\s*l(?:itre|iter)?(?:-1|⁻¹)?\b"),
    ("g/L", r"g\s*/\s*l(?:itre|iter)?\b"),
    ("ppm", r"ppm\b|parts per million\b"),
    ("mm", r"mms?\b|millim[eè]t(?:re|er|ern)s?\b"),
    ("cm", r"cms?\b|centim[eè]t(?:re|er|ern)s?\b|centimetri\b|zentimetern?\b"),
    ("dm", r"dm\b"),
    (
        "inch",
        r"inch(?:es)?\b|in\.(?!\w)|in(?=\s*(?:$|[),;/x×]|tall|high|wide|deep|long|across|pots?))|(?<=[\d½¼¾+])\s?(?:\"|''|”|″)",
    ),
    ("foot", r"feet\b|foot\b|ft\b\.?|(?<=\d)['’′](?!s)"),
    ("m", r"m\b|m[eè]t(?:re|er|ern)s?\b|metri\b"),
    ("hours", r"hours?\b|hrs?\b\.?|h\b|stunden?\b|heures?\b|ore\b"),
    ("days", r"(?<!by )(?<!the )(?<!per )days?\b|d\b|tagen?\b|giorni?\b|jours?\b"),
    ("weeks", r"weeks?\b|wks?\b|wochen?\b|settiman[ae]\b|semaines?\b"),
    ("months", r"months?\b|mos?\b\.|monat(?:en?)?\b|mes[ei]\b|mois\b"),
    ("years", r"years?\b|yrs?\b|jahren?\b|ann[io]\b|ans?\b(?=\s*$)"),
    ("pH", r"pH\b"),
)
_TOKEN = re.compile(
    "|".join(
        [
            r"(?P<zero>\bfreezing\b|\bsea[- ]level\b|\b(?:even|level|flush) with\b)",
            r"(?P<decade>\b\d+0\s?['’]?s\b)",
            r"(?P<mixed>\d+\s+[1-7]/[2348](?!\d)|\d*[½¼¾⅓⅔⅛]|(?<![\d/.])[1-7]/[2348](?![\d/]))",
            r"(?P<thousands>\d{1,3}(?:[, ]\d{3})+(?![\d,]))",
            r"(?P<number>\d+[.,]\d+|\d+|(?<![\d.])\.\d+)(?P<kilo>k(?![a-z]))?",
            *(f"(?P<u{index}>{pattern})" for index, (_, pattern) in enumerate(_UNITS)),
            r"(?P<sign>[-–—−]+)",
            r"(?P<join>\.{2,}|…|[~/,&+×()]|\b(?:or (?:so|more|less)|to|and|or|bis|und|oder|e|x|plus|by)\b)",
            r"(?P<minus>\bminus\b)",
            r"(?P<word>[^\W\d_]+)",
        ]
    ),
    re.IGNORECASE,
)


class _Token(NamedTuple):
    """text : of a unit its name, of a join what stands there, of a number the unit that stood before it."""

    kind: str  # number, unit, join, word
    value: float = 0.0
    text: str = ""


def figures(text: str) -> list[Figure]:
    """Every figure of a text with its unit, in order. Decades (``the 30's``) are no figures.

    A range or list shares the unit behind it (``65-80 °F``). A number with no unit of its own takes the only unit of
    the text if that is no time (``below 60, even 50 [F]``). Freezing, sea level and ``even with`` are figures of zero.
    """
    tokens = _tokens(text)
    found = _with_own_units(tokens)
    units = {token.text for token in tokens if token.kind == "unit"}
    scales = units & {"degF", "degC"}
    if len(scales) == 1:  # "40°-98°F": the bare degree sign means the scale that is named
        (scale,) = scales
        units.discard("deg")
        found = [figure._replace(unit=scale) if figure.unit == "deg" else figure for figure in found]
    if len(units) == 1 and not units & _TIMES:
        (only,) = units
        found = [figure._replace(unit=figure.unit or only) for figure in found]
    return found


def _with_own_units(tokens: list[_Token]) -> list[Figure]:
    """Numbers with the unit that follows them, read from the end so that a range or list passes it on."""
    found: list[Figure] = []
    outside: list[str | None] = []  # units that wait on the far side of a bracket
    unit: str | None = None
    words = 0  # between a number and its unit: "two solid months" may have one
    listed = False  # "2, 3 or 4 weeks": a comma passes the unit on where "or" or "and" does
    for token in reversed(tokens):
        if token.kind == "unit":
            unit, words, listed = token.text, 0, False
        elif token.kind == "number":
            found.append(Figure(token.value, token.text or unit))
            words = 1
        elif token.kind == "word":
            words += 1
            unit = unit if words < 2 else None
        elif token.text == ")":
            outside.append(unit)
        elif token.text == "(":
            unit = outside.pop() if outside else None
        elif token.text == ",":
            unit = unit if listed else None
        else:
            listed = listed or token.text in _LISTING
    return found[::-1]


def numbers(text: str) -> list[float]:
    """The numbers of a text, without units, in order."""
    return [figure.value for figure in figures(text)]


def agrees(value: float, stated: Sequence[Figure], unit: str | None) -> bool:
    """Whether a claim's value is one of the figures, to half of the value's last digit.

    unit : of the field, as in the schema; None for a plain number. Ambiguous units never agree.
    """
    for figure in stated:
        converted = convert(figure.value, figure.unit, unit) if unit else [figure.value]
        allowed = tolerance(value, unit, figure.unit)
        if any(abs(value - other) <= allowed + 1e-9 * abs(value) for other in converted):
            return True
    return False


def tolerance(value: float, unit: str | None, stated_in: str | None = None) -> float:
    """How far a value may lie from its source's figure, in the unit of the value.

    Half of its last digit as written (18: 0.5; 18.3: 0.05). Zeros at the end of a lux figure are not digits, but
    two digits always are (15000: 500). Durations a source gives in months or years may be half a week off.
    """
    exponent = Decimal(repr(value)).as_tuple().exponent
    digit = 10.0**exponent if isinstance(exponent, int) else 1.0
    if unit == "lux" and isinstance(value, int):
        digits = str(abs(value))
        zeros = len(digits) - len(digits.rstrip("0"))
        digit = 10.0 ** max(0, min(zeros, len(digits) - 2))
    if stated_in in ("months", "years") and unit in ("days", "weeks"):
        return max(digit / 2, *convert(0.5, "weeks", unit))
    return digit / 2


def _tokens(text: str) -> list[_Token]:
    """The text cut into numbers, units, words and what joins them; anything else is passed over."""
    text = " ".join(text.split()).replace("º", "°")  # runs of spaces would make the search slow
    text = re.sub(r"[⁰˚](?=\s*[CF]\b)", "°", text)
    text = text.replace("℃", "°C").replace("℉", "°F")
    tokens: list[_Token] = []
    negative = False
    acidity = 0  # "pH" stands before its numbers; counts the words that may still come between
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or ""
        if kind in ("number", "kilo", "mixed", "thousands"):
            for value in _values(match):
                tokens.append(_Token("number", -value if negative else value, "pH" if acidity else ""))
            negative, acidity = False, min(acidity, 1)  # after its first number any word ends it
        elif kind == "zero":
            word = match["zero"].lower()
            tokens += [_Token("number"), _Token("unit", text="degC" if word == "freezing" else "m"), _Token("join")]
        elif kind == "sign":
            negative = _is_minus(text, match, tokens)
            if not negative:
                tokens.append(_Token("join"))
        elif kind == "minus":
            negative = True
        elif kind == "join":
            tokens.append(_Token("join", text=match["join"].lower()))
        elif kind == "word":
            tokens += _word(match["word"].lower(), bool(_ONE_OF.match(text, match.end())))
            negative = False
            acidity = max(0, acidity - 1)
        elif kind.startswith("u"):
            unit = _UNITS[int(kind[1:])][0]
            acidity = 3 if unit == "pH" else 0
            tokens += [_Token("unit", text=unit)] if unit != "pH" else []
            negative = False
    return tokens


def _values(match: re.Match[str]) -> list[float]:
    """The number; all readings of one like 15.000 (fifteen or fifteen thousand) or 30 200 (one number or two)."""
    if match["mixed"]:
        return [_mixed(match["mixed"])]
    if match["thousands"]:
        joined = float(re.sub(r"[, ]", "", match["thousands"]))
        return [joined, *map(float, match["thousands"].split())] if " " in match["thousands"] else [joined]
    value = float(match["number"].replace(",", "."))
    if match["kilo"]:
        return [value * 1000]
    return [value, value * 1000] if re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", match["number"]) else [value]


def _mixed(text: str) -> float:
    if text[-1] in _FRACTIONS:
        return float(text[:-1] or 0) + _FRACTIONS[text[-1]]
    *whole, part = text.split()
    above, below = part.split("/")
    return (float(whole[0]) if whole else 0.0) + float(above) / float(below)


def _is_minus(text: str, match: re.Match[str], tokens: list[_Token]) -> bool:
    """A dash right before a digit is a minus sign, unless something it could join stands before it."""
    start = match.start()
    before, after = text[max(0, start - 2) : start], text[match.end() : match.end() + 1]
    if len(match["sign"]) > 1 or not after.isdigit() or before[-1:].isalpha():
        return False
    if before[:1].isdigit() and before.endswith("("):  # a rare extreme as botanists write it: 4-6(-10) cm
        return False
    return not tokens or tokens[-1].kind in ("join", "word")


def _word(word: str, before_unit: bool) -> list[_Token]:
    """before_unit : a unit follows that words like "a" and "every" make one of."""
    if word in _WORDS:
        return [_Token("number", _WORDS[word])]
    if word in ("a", "an", "every", "per", "each") and before_unit:
        return [_Token("number", 1.0)]
    if word in ("fortnight", "fortnightly", "fortnights"):
        return [_Token("number", 2.0), _Token("unit", text="weeks")]
    if word in ("daily", "weekly", "monthly"):
        return [_Token("number", 1.0), _Token("unit", text="days" if word == "daily" else f"{word[:-2]}s")]
    return [_Token("word")]
