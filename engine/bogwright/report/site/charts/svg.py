"""SVG written safely: every picture has a title, its figures in words, and shapes styled by classes of the theme."""

from __future__ import annotations

from markupsafe import Markup, escape

from bogwright.report.site.markup import Text, cat, el

# width of a picture in its own units; on a phone of 390 pixels one unit is about one pixel
WIDTH = 344
HATCH = "hatch"


def patterns() -> Markup:
    """What the pictures of a page fill shapes with; once a page, before the first picture."""
    line = shape("path", d="M-1 7 7-1M3 9 9 3M-3 3 3-3")
    tile = el("pattern", line, id=HATCH, width=6, height=6, patternUnits="userSpaceOnUse")
    return el("svg", el("defs", tile), class_="patterns", width=0, height=0, aria_hidden="true")


def picture(name: str, title: str, told: str, height: float, *parts: Text, class_: str = "") -> Markup:
    """A whole picture. name : its id on the page; told : everything it shows, in words; height : in its own units."""
    heads = (el("title", title, id=f"{name}-t"), el("desc", told, id=f"{name}-d"))
    return el(
        "svg",
        *heads,
        *parts,
        viewBox=f"0 0 {WIDTH} {coordinate(height)}",
        role="img",
        aria_labelledby=f"{name}-t",
        aria_describedby=f"{name}-d",
        class_=f"chart {class_}".rstrip(),
    )


def swatch(*parts: Text, width: int = 34) -> Markup:
    """A sample for a legend, silent for those who listen."""
    return el("svg", *parts, viewBox=f"0 0 {width} 20", width=width, height=20, aria_hidden="true", class_="swatch")


def shape(tag: str, **attributes: str | float | None) -> Markup:
    """A shape without content; numbers are written to a tenth of a unit."""
    named = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value if isinstance(value, str) else coordinate(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return Markup(f"<{tag}{named}/>")


def text(x: float, y: float, words: str, class_: str | None = None) -> Markup:
    """Words from x rightward, or as the class anchors them, on the line y."""
    return el("text", words, x=coordinate(x), y=coordinate(y), class_=class_)


def group(class_: str, *parts: Text) -> Markup:
    return el("g", cat(*parts), class_=class_)


def coordinate(value: float) -> str:
    """A number to a tenth, without a trailing zero."""
    shown = f"{value:.1f}".removesuffix(".0")
    return "0" if shown == "-0" else shown
