"""Diluting a stock, with the danger class of stock and product."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from bogwright.knowledge.schema_errors import close
from bogwright.physics.ranges import within
from bogwright.physics.remedies import HAZARDS, Hazard, Unclassified, hazard_class, stock_needed
from bogwright.reckon.answer import Answer, Refused, Tables, figure

# what the statements of the table mean, in this project's words
MEANS = {
    "H225": "burns very easily",
    "H226": "burns easily",
    "H228": "a solid that burns easily",
    "H271": "may set things on fire or explode",
    "H272": "feeds a fire",
    "H302": "harmful if swallowed",
    "H314": "burns skin and eyes",
    "H315": "irritates skin",
    "H318": "damages eyes for good",
    "H319": "irritates eyes badly",
    "H332": "harmful if breathed in",
    "H335": "irritates the airways",
    "H336": "makes drowsy",
    "H400": "very poisonous to water life",
    "H410": "very poisonous to water life, for long",
    "H411": "poisonous to water life, for long",
    "H412": "harmful to water life, for long",
}
CAUTIONS = (
    "The label and safety data sheet of your product, and the law where you live, go before all of this; what may be "
    "used on plants, and in which strength, differs by country.",
    "Wear gloves and goggles, air the room, keep children and animals away.",
    "Pour the stock into the water, never the water into the stock.",
    "Never mix it with any other agent: no bleach, no acid, no cleaner.",
    "Keep it in a labelled bottle that held no drink; try it on one leaf first.",
)
# how growers and plan files name them
ALSO = {
    "peroxide": "hydrogen-peroxide",
    "copper": "copper-sulphate",
    "alcohol": "ethanol",
    "isopropyl-alcohol": "isopropanol",
    "sulfur": "sulphur",
    "copper-sulfate": "copper-sulphate",
}
WATER_LIFE = "Nothing of it goes down the drain or outdoors: take the rest to where poisons are collected."
FIRE = "No flame, lamp or hot surface near it."


def dilute(options: argparse.Namespace, _: Tables) -> Answer:
    """How much stock and water make a product, and what each is to eyes, skin, fire and water life."""
    said = "-".join(options.agent.split()).lower()
    agent = ALSO.get(said, said)
    if not agent:
        raise Refused("no agent is named — name it, such as hydrogen-peroxide")
    within(options.stock, 0, 100, "strength of the stock", "%")
    if options.to > options.stock:
        stronger = f"{figure(options.to)} % is stronger than the stock of {figure(options.stock)} %"
        raise Refused(f"{stronger} — water only weakens it: take a weaker --to or a stronger stock")
    needed = stock_needed(options.stock, options.to, options.make)
    water = options.make - needed
    lines = [
        f"{_volume(needed)} of {agent} of {figure(options.stock)} % made up with {_volume(water)} of water give "
        f"{_volume(options.make)} of {figure(options.to)} %."
    ]
    figures = {"stock_litres": needed, "water_litres": water, "classes": {}}
    found: list[Hazard] = []
    for what, strength in (("stock", options.stock), ("product", options.to)):
        try:
            classes = hazard_class(agent, strength)
        except Unclassified:
            meant = close(agent, HAZARDS)
            guess = f" Did you mean '{meant}'?" if meant else ""
            lines.append(f"The dangers of {agent} are not known here: unknown, not harmless.{guess}")
            lines.append(f"Known are: {', '.join(sorted(HAZARDS))}.")
            figures["classes"] = None
            return Answer(tuple(lines), figures, ("remedies.stock_needed",), CAUTIONS)
        found += classes
        figures["classes"][what] = [{"category": c.category, "statement": c.statement} for c in classes]
        lines.append(f"The {what}: {_told(classes)}.")
    formulas = ("remedies.stock_needed", "remedies.hazard_class")
    return Answer(tuple(lines), figures, formulas, (*CAUTIONS, *_more(found)))


def _told(classes: Sequence[Hazard]) -> str:
    told = [f"{c.category} ({c.statement}, {MEANS[c.statement]})" for c in classes]
    return "; ".join(told) or "below every limit of the table: not classified, which is not harmless"


def _more(classes: Sequence[Hazard]) -> list[str]:
    statements = {c.statement for c in classes}
    water = [WATER_LIFE] if any(s.startswith("H4") for s in statements) else []
    return water + ([FIRE] if any(s.startswith(("H22", "H27")) for s in statements) else [])


def _volume(litres: float) -> str:
    return f"{figure(litres * 1000)} mL" if litres < 1 else f"{figure(litres)} L"
