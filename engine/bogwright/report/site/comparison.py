"""Plants side by side in one table: what each tolerates, how it rests, how large it grows."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from markupsafe import Markup

from bogwright.knowledge import Entry
from bogwright.report.site import cells
from bogwright.report.site.markup import cat, el
from bogwright.report.site.sheet import Sheet
from bogwright.sharing.axes import Axes
from bogwright.sharing.needs import Needs

_AXES = (
    ("day", "temperature_day"),
    ("night", "temperature_night"),
    ("humidity", "humidity"),
    ("light a day", "dli"),
)
_OTHERS: tuple[tuple[str, Callable[[Needs], cells.Cell]], ...] = (("moisture", cells.moisture), ("rest", cells.rests))
_LAST: tuple[tuple[str, Callable[[Needs], cells.Cell]], ...] = (("size", cells.size),)
HEADS = (*(title for title, _ in _AXES), *(title for title, _ in _OTHERS), "water", *(title for title, _ in _LAST))


def side_by_side(sheet: Sheet, plants: Sequence[Entry], caption: str) -> Markup:
    """The table, in a frame of its own that scrolls. caption : in words, also the frame's label."""
    found = sheet.atlas.sorted.plants
    axes = sheet.atlas.bench.axes
    head = el("tr", *(el("th", title, scope="col") for title in ("plant", *HEADS)))
    rows = [
        el(
            "tr",
            el("th", sheet.entry_link(plant), scope="row", class_="form" if plant.form else None),
            *(el("td", cell.markup(), class_="span" if cell.ranged else None) for cell in _row(found[plant.id], axes)),
        )
        for plant in plants
    ]
    table = el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="side")
    told = "What each tolerates for good in growth, and its rest. Water: solids in what is supplied. " + cells.LEGEND
    return cat(el("p", told, class_="dim"), cells.wide(caption, table))


def _row(needs: Needs, axes: Axes) -> list[cells.Cell]:
    made = [cells.tolerated(needs, axes[axis]) for _, axis in _AXES]
    made += [cell(needs) for _, cell in _OTHERS]
    made.append(cells.tolerated(needs, axes["solids_supply"]))
    return made + [cell(needs) for _, cell in _LAST]
