"""What a prediction rests on: figures of the plan, and ranges taken for granted where the plan is silent.

Every figure is a named interval for each month, so that a prediction can say what it rests on and be tried with one of
them narrowed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from operator import mul
from typing import Any

from bogwright.enclosure.intervals import always, yearly
from bogwright.enclosure.plan import UNKNOWN, Plan, Year, monthly, span
from bogwright.physics.heat import CONDUCTIVITY, SURFACE_RESISTANCE, pane_conductance
from bogwright.physics.light import lamp_flux, photon_flux


@dataclass(frozen=True, slots=True)
class Input:
    """One figure a prediction may rest on.

    title: for the grower. value: January to December. stated: given by the plan, else taken for granted.
    ask: what to measure or state so that it narrows. unit: as printed, may be empty.
    """

    name: str
    title: str
    value: Year
    stated: bool
    unit: str = ""
    ask: str = ""

    @property
    def wide(self) -> bool:
        """Whether a closer figure could change anything."""
        return any(v[0] < v[1] for v in self.value)


class Missing(Exception):
    """A prediction lacks what only the grower can tell; ``needs`` says what, with the key of the plan."""

    def __init__(self, *needs: str) -> None:
        self.needs = needs
        super().__init__("; ".join(needs))


@dataclass
class Inputs:
    """The figures of one plan, by name; ``used`` gathers the names that were asked for since the last ``fresh``."""

    known: Mapping[str, Input]
    used: dict[str, None] = field(default_factory=dict)

    def fresh(self) -> None:
        self.used.clear()

    def __getitem__(self, name: str) -> Year:
        self.used[name] = None
        return self.known[name].value

    def has(self, name: str) -> bool:
        return name in self.known

    def need(self, name: str, needs: str) -> Year:
        """The figure, or Missing with the words of what to state."""
        if name not in self.known:
            raise Missing(needs)
        return self[name]

    def narrowed(self, name: str, end: int) -> Inputs:
        """The same with one figure held at its low (0) or high (1) end."""
        one = self.known[name]
        held = tuple((v[end], v[end]) for v in one.value)
        return Inputs({**self.known, name: replace(one, value=held)})


def gather(plan: Plan, assumptions: Mapping[str, Any], lamps: Mapping[str, Any]) -> Inputs:
    """Every figure of the plan that a prediction may use, and the ranges that stand in for what it leaves out."""
    found: dict[str, Input] = {}

    def state(name: str, title: str, value: Year, unit: str = "", ask: str = "") -> None:
        if any(v != UNKNOWN for v in value):
            found[name] = Input(name, title, value, True, unit, ask)

    def assume(key: str, word: str = "", name: str = "") -> None:
        given = assumptions[key]
        value = given["value"] if "value" in given else given["by"].get(word)
        if value is not None:
            of = f" ({name.partition('/')[0]})" if name else ""
            title, unit, ask = given["title"] + of, given.get("unit", ""), given["ask"]
            found[name or key] = Input(name or key, title, monthly(value), False, unit, ask)

    room, vessel, case = plan.room, plan.case["vessel"], plan.case
    for key, title in (("day", "room by day"), ("night", "room by night")):
        usual, extreme = ("usual", "peak") if key == "day" else ("usual", "lowest")
        given = room.get(f"temperature_{key}", {})
        state(f"room_{key}", title, monthly(given.get(usual)), "°C", f"the temperature of the {title}")
        state(f"room_{extreme}", f"{title}, {extreme}", monthly(given.get(extreme)), "°C", f"the {extreme} of the room")
    state("room_humidity", "humidity of the room", monthly(room.get("humidity")), "%", "the humidity of the room")
    assume("air_changes", "closed" if "vents" in vessel else vessel["openings"])
    state("air_changes", "air changes an hour", monthly(vessel.get("air_changes")), "1/h")
    assume("wet_share", case.get("surfaces", ""))
    assume("transfer", case.get("air_movement", "unknown"))
    found["wall_conductance"] = _panes(vessel, case["year"]["kind"] == "outdoor")
    assume("lid_transmission", vessel.get("wall", "unknown"))
    assume("scattered")
    assume("sun_through_glass", case.get("sun_on_glass", "unknown"))
    assume("sunshine")
    assume("after_dark")
    assume("shelf_warmth")
    assume("night_warmth")
    assume("air_co2")
    assume("root_layer")
    assume("medium_diffusivity")
    if plan.window:
        state(
            "window_share",
            "share of the outdoor light at the plants",
            monthly(plan.window["share"]),
            "",
            "the light at the leaf",
        )
        state("sunshine", "sunshine as a share of the day", monthly(plan.window.get("sunshine")), "")
    for lamp in plan.lamps:
        _lamp(lamp, lamps, state, assume)
    for unit in plan.water_units.values():
        _water(unit.id, unit.given, state, assume)
    return Inputs(found)


def _panes(vessel: Mapping[str, Any], outdoors: bool) -> Input:
    """Conductance of the panes: from all faces as of a floor to all as under a lid, in still air or wind outside."""
    walls = [vessel["wall"]] if "wall" in vessel else ["glass", "acrylic"]
    thick = (vessel.get("wall_mm", 3.0), vessel.get("wall_mm", 6.0))
    found = [
        float(pane_conductance(mm / 1000, CONDUCTIVITY[wall], SURFACE_RESISTANCE[face] + SURFACE_RESISTANCE[outer]))
        for mm in thick
        for wall in walls
        for face in ("floor", "lid")
        for outer in (("outdoors",) if outdoors else (face,))
    ]
    value = ((min(found), max(found)),) * 12
    return Input("wall_conductance", "heat through the panes", value, False, "W/m²K", "the temperature inside, lamp on")


Stating = Callable[..., None]
# what a lamp's label tells, the best first, and how the photon flux then came about
LABELS = {"photon_flux": "", "lumens": ", from its lumens", "watts": ", from its watts"}


def _lamp(lamp: Mapping[str, Any], lamps: Mapping[str, Any], state: Stating, assume: Stating) -> None:
    """``ID/watts``, ``ID/hours``, ``ID/flux`` (photons of the bare lamp) or ``ID/reading``, and what is assumed."""
    id, kind = lamp["id"], lamps[lamp["kind"]]
    state(f"{id}/watts", f"watts of {id}", monthly(lamp.get("watts")), "W")
    state(f"{id}/hours", f"hours of {id}", monthly(lamp.get("hours")), "h")
    if "mounted" in lamp:
        assume(f"heat_{lamp['mounted']}", name=f"{id}/heat")
    reading = lamp.get("reading")
    if reading is not None:
        constant = _figure(kind, "lux_per_ppfd")
        lux = monthly(reading.get("illuminance"))
        by_lux = yearly(photon_flux, lux, constant) if constant is not None else always(*UNKNOWN)
        value = monthly(reading["ppfd"]) if "ppfd" in reading else by_lux
        state(f"{id}/reading", f"light below {id}", value, "µmol/m²/s", "the light at the leaf")
        return
    assume("label_truth", name=f"{id}/label")
    flux = _label_flux(lamp, kind)
    if flux is not None:
        label = next(key for key in LABELS if key in lamp)
        state(f"{id}/flux", f"photon flux of {id}{LABELS[label]}", flux, "µmol/s", "the light at the leaf")


def _label_flux(lamp: Mapping[str, Any], kind: Mapping[str, Any]) -> Year | None:
    """Photons of a bare lamp: as stated, else from its lumens, else from its watts and its kind. [umol/s]"""
    if "photon_flux" in lamp:
        return monthly(lamp["photon_flux"])
    constant = _figure(kind, "lux_per_ppfd")
    if "lumens" in lamp:
        return None if constant is None else yearly(lamp_flux, monthly(lamp["lumens"]), constant)
    if "watts" not in lamp:
        return None
    watts = monthly(lamp["watts"])
    per_watt = _figure(kind, "ppf_per_watt")
    if per_watt is not None:
        return yearly(mul, watts, per_watt)
    efficacy = _figure(kind, "efficacy")
    if efficacy is None or constant is None:
        return None
    return yearly(lamp_flux, yearly(mul, watts, efficacy), constant)


def _figure(kind: Mapping[str, Any], key: str) -> Year | None:
    """A figure of a kind of lamp, the same in each month; None where the table has none."""
    given = kind.get(key)
    return None if given is None else always(*span(given["value"] if isinstance(given, Mapping) else given))


def _water(id: str, given: Mapping[str, Any], state: Stating, assume: Stating) -> None:
    """``ID/`` with conductivity or factor, alkalinity, carbon, litres, reservoir, top_up and adds."""
    supply = given.get("supply", {})
    if monthly(supply.get("solids"))[0] == UNKNOWN and "conductivity" in supply:
        assume("meter_factor", name=f"{id}/factor")
        state(f"{id}/factor", "mg/L for each µS/cm", monthly(supply.get("meter_factor")))
        state(f"{id}/conductivity", f"conductivity of the water of {id}", monthly(supply["conductivity"]), "µS/cm")
    state(f"{id}/alkalinity", f"alkalinity of the water of {id}", monthly(supply.get("alkalinity")), "mg/L CaCO₃")
    if "carbon" in given.get("open_water", {}):
        assume("co2_of_water", given["open_water"]["carbon"], f"{id}/carbon")
    state(f"{id}/litres", f"water held in {id}", monthly(given.get("litres")), "L", "how much water it holds")
    state(f"{id}/reservoir", f"water of {id} that may go", monthly(given.get("reservoir")), "L")
    state(f"{id}/top_up", f"water added to {id}", monthly(given.get("top_up")), "L a week")
    state(f"{id}/adds", f"what feeding gives to {id}", monthly(given.get("adds")), "mg a week")
