"""The sharing matrix of a genus or group as a table: plants against plants; groups against groups where many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations, product

from markupsafe import Markup

from bogwright.knowledge import Entry
from bogwright.report.site.charts.pairs import VERDICTS, Pairs
from bogwright.report.site.markup import Text, bullets, cat, el, scientific
from bogwright.report.site.sheet import Sheet, shown_name
from bogwright.report.site.wording import counted

MOST = 24
# a word for each verdict, and what it means; the theme puts a sign before it
WORDS = {
    "shares": ("share", "one case suits both all year, with an ordinary thermostat and timer"),
    "lifts": (
        "one lifted out",
        "one case suits both only if one of them, or each, spends its rest elsewhere; at times with care too",
    ),
    "care": (
        "with care",
        "both stay all year, but only if the thermostat strays half as far as usual (0.75 K), or if growth may slow",
    ),
    "open": ("nobody can say", "figures are missing or disputed, and it hangs on them"),
    "apart": ("apart", "no air, light and year suits both, not even with one of them lifted out for its rest"),
}
TOLD = (
    "Only air, light and the year are compared here, two plants at a time. Water, lime, feeding, neighbours and the "
    "company of more than two are weighed when the plants are judged by name."
)


def section(sheet: Sheet, entry: Entry) -> Markup:
    """The part of a genus's or group's page; empty for anything else and for fewer than two plants."""
    atlas = sheet.atlas
    plants = atlas.base.members(entry.id) if entry.kind != "taxon" else []
    if len(plants) < 2:
        return Markup("")
    pairs = atlas.pairs(entry.genus)
    if entry.kind == "genus" and len(plants) > MOST:
        shown = groups(sheet, pairs, plants)
    else:
        shown = cat(
            _counted(pairs, plants), legend(), table(sheet, pairs, plants, f"Who can share with whom: {entry.name}")
        )
    return sheet.section("Who can share", "sharing", el("p", TOLD), shown)


def _counted(pairs: Pairs, plants: Sequence[Entry]) -> Markup:
    """How many of all pairs have each verdict."""
    found = Counter(pairs.verdict(one.id, other.id) for one, other in combinations(plants, 2))
    parts = [f"{WORDS[key][0]} {found[key]}" for key in VERDICTS if found[key]]
    return el("p", f"{counted(found.total(), 'pair')}: {', '.join(parts)}.")


def table(sheet: Sheet, pairs: Pairs, plants: Sequence[Entry], caption: str) -> Markup:
    """Every plant against every other; columns carry the number of their row."""
    heads = [el("th", el("abbr", str(n), title=plant.name), scope="col") for n, plant in enumerate(plants, 1)]
    rows = []
    for n, plant in enumerate(plants, 1):
        name = el("th", f"{n}. ", sheet.link(_short(plant), sheet.atlas.url(plant)), scope="row")
        cells = [
            el("td", class_="self") if plant is other else cell(pairs.verdict(plant.id, other.id)) for other in plants
        ]
        rows.append(el("tr", name, *cells))
    head = el("thead", el("tr", el("td"), *heads))
    return _scrolled(caption, head, el("tbody", *rows), "matrix")


def _short(plant: Entry) -> Markup:
    """A plant's name with its genus, which is that of the page, cut to a letter."""
    genus, _, rest = plant.name.partition(" ")
    return scientific(f"{genus[0]}. {rest}") if genus == plant.genus.capitalize() and rest else shown_name(plant)


def cell(verdict: str) -> Markup:
    """One verdict: the word for those who listen, the sign by the theme."""
    return el("td", el("span", WORDS[verdict][0], class_="aside"), class_=verdict)


def groups(sheet: Sheet, pairs: Pairs, plants: Sequence[Entry]) -> Markup:
    """Groups against groups: how many of the pairs between them can share; plants one by one stand on their pages."""
    base = sheet.atlas.base
    ids = [group.id for group in base.groups() if any(plant.group == group.id for plant in plants)]
    members = {group: [plant.id for plant in plants if plant.group == group] for group in ids}
    loose = [plant.id for plant in plants if plant.group not in members]
    if loose:
        members[""] = loose
    heads = [
        el("th", el("abbr", str(n), title=_group_name(sheet, group)), scope="col") for n, group in enumerate(members, 1)
    ]
    rows = []
    for n, (group, own) in enumerate(members.items(), 1):
        entry = base.entries.get(group)
        link = sheet.entry_link(entry, "sharing" if len(own) > 1 else "") if entry else "of no group"
        cells = [_share(pairs, own, members[other], group == other) for other in members]
        rows.append(el("tr", el("th", f"{n}. ", link, scope="row"), *cells))
    told = (
        "Each cell says how many pairs of the two groups can share one case all year; how many only with one lifted "
        "out for its rest (↑), or only with care (±); and of how many nobody can say (?). "
        "The page of a group compares its plants one by one."
    )
    head = el("thead", el("tr", el("td"), *heads))
    caption = f"Who can share with whom: groups of {sheet.atlas.genus_name(plants[0].genus)}"
    return cat(el("p", told), _scrolled(caption, head, el("tbody", *rows), "matrix of-groups"))


def _group_name(sheet: Sheet, group: str) -> str:
    entry = sheet.atlas.base.entries.get(group)
    return entry.name if entry else "of no group"


def _share(pairs: Pairs, own: Sequence[str], others: Sequence[str], within: bool) -> Markup:
    tried = list(combinations(own, 2)) if within else list(product(own, others))
    if not tried:
        return el("td", el("span", "one plant alone", class_="aside"), class_="self")
    found = Counter(pairs.verdict(*pair) for pair in tried)
    shares, total = found["shares"], len(tried)
    said: list[Text] = ["all" if shares == total else "none" if not shares else f"{shares} of {total}"]
    if shares in (0, total):
        said.append(el("span", f" of {counted(total, 'pair')}", class_="aside"))
    for verdict, sign in (("lifts", "↑"), ("care", "±"), ("open", "?")):
        if found[verdict]:
            word = el("span", WORDS[verdict][0], class_="aside")
            said += [" ", el("small", f"{found[verdict]} ", el("span", sign, aria_hidden="true"), word)]
    level = "shares" if shares == total else "some" if found["apart"] < total else "apart"
    return el("td", *said, class_=level)


def _scrolled(caption: str, head: Markup, body: Markup, class_: str) -> Markup:
    """A table that scrolls sideways on its own, also from the keyboard."""
    inner = el("table", el("caption", caption), head, body, class_=class_)
    return el("div", inner, class_="scrolled", role="region", tabindex=0, aria_label=caption)


def legend() -> Markup:
    """What the signs mean."""
    items = [
        cat(el("span", class_=f"sign {key}", aria_hidden="true"), " ", el("b", WORDS[key][0]), ": ", WORDS[key][1])
        for key in VERDICTS
    ]
    return bullets(items, class_="legend")
