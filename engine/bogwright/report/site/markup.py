"""HTML written safely: text is escaped, attributes are quoted, nothing carries inline style or script."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import repeat

from markupsafe import Markup, escape

Text = str | Markup

_RANKS = frozenset({"var.", "subsp.", "ssp.", "f.", "cv.", "×", "x", "nothosubsp.", "nothovar.", "complex"})
_QUOTED = re.compile(r"\s(['‘].+['’])$")
_BRACKETS = re.compile(r"(\([^()]*\))")


def el(tag: str, *children: Text, **attributes: str | int | None) -> Markup:
    """An element. A trailing underscore of an attribute is dropped, others become hyphens; None leaves it out."""
    named = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return Markup(f"<{tag}{named}>{cat(*children)}</{tag}>")


def cat(*parts: Text) -> Markup:
    """Parts side by side, plain text escaped."""
    return Markup("").join(parts)


def joined(parts: Iterable[Text], between: str = ", ") -> Markup:
    """Parts with the same text between them."""
    return escape(between).join(parts)


def bullets(items: Iterable[Text], **attributes: str | None) -> Markup:
    """An unordered list."""
    return el("ul", *(el("li", item) for item in items), **attributes)


def grid(
    heads: Sequence[str],
    rows: Iterable[Sequence[Text]],
    caption: Text = "",
    anchors: Iterable[str | None] = repeat(None),
) -> Markup:
    """A table whose first column names the rows, which become cards on a phone. anchors: of the rows, if any."""
    body = (
        el(
            "tr",
            el("th", row[0], scope="row"),
            *(el("td", cell, data_label=label) for cell, label in zip(row[1:], heads[1:], strict=True)),
            id=anchor,
        )
        for row, anchor in zip(rows, anchors, strict=False)
    )
    told = el("caption", caption) if caption else ""
    head = el("thead", el("tr", *(el("th", title, scope="col") for title in heads)))
    return el("table", told, head, el("tbody", *body), class_="claims members")


def scientific(name: str) -> Markup:
    """A plant name with its Latin parts in italics: rank words, cultivar names and remarks in brackets stay upright."""
    cultivar = _QUOTED.search(name)
    plain = name[: cultivar.start()] if cultivar else name
    pieces: list[Text] = [
        _in_brackets(piece) if piece.startswith("(") else _latin(piece)
        for piece in _BRACKETS.split(plain)
        if piece.strip()
    ]
    pieces += [cultivar[1]] if cultivar else []
    return joined(pieces, " ")


def _latin(text: str) -> Markup:
    words = text.split()
    runs: list[tuple[bool, list[str]]] = []
    for word in words:
        upright = word in _RANKS
        if not runs or runs[-1][0] != upright:
            runs.append((upright, []))
        runs[-1][1].append(word)
    return joined((" ".join(run) if upright else el("i", " ".join(run)) for upright, run in runs), " ")


def _in_brackets(text: str) -> Markup:
    """A remark: only a genus with its species, or what follows a rank word, is Latin."""
    out: list[Text] = []
    after = False
    for word in text.strip("()").split():
        out.append(el("i", word) if after else word)
        after = word in _RANKS - {"complex", "x"}
    return cat("(", joined(out, " "), ")")


def slug(path: str) -> str:
    """A dotted path of a field as an anchor."""
    return path.replace(".", "-").replace("_", "-")
