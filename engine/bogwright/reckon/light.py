"""Light in photons, from a lux meter or a quantum meter, and the light of a day."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any

from bogwright.enclosure.intervals import hull
from bogwright.enclosure.plan import Interval, span
from bogwright.knowledge.schema_errors import close
from bogwright.physics.light import daily_light_integral, photon_flux
from bogwright.physics.ranges import within
from bogwright.reckon.answer import Answer, Refused, Tables, shown

FLUX, DAY = "µmol m⁻² s⁻¹", "mol m⁻² d⁻¹"


def light(options: argparse.Namespace, tables: Tables) -> Answer:
    """Photon flux density, and with hours the daily light integral."""
    formulas: tuple[str, ...] = ()
    if options.ppfd is None:
        kind = lamp(options.lamp, tables["lamps"])
        flux = _photons(options.lux, kind)
        line = f"{shown(options.lux, 'lx')} under {kind['title']} are {shown(flux, FLUX)}"
        formulas = ("light.photon_flux",)
    else:
        if options.lamp is not None:
            raise Refused("a photon flux needs no lamp — leave --lamp out, or give --lux")
        flux = options.ppfd
        line = shown(flux, FLUX)
    figures: dict[str, Any] = {"ppfd": flux}
    if options.hours is not None:
        for hours in options.hours:
            within(hours, 0, 24, "hours of light", "h")
        figures["dli"] = hull(daily_light_integral, flux, options.hours)
        line += f"; over {shown(options.hours, 'h')} that makes {shown(figures['dli'], DAY)}"
        formulas += ("light.daily_light_integral",)
    elif options.ppfd is not None:
        raise Refused("a photon flux alone leaves nothing to reckon — give --hours for the light of a day")
    return Answer((line + ".",), figures, formulas)


def lamp(name: str | None, lamps: Mapping[str, Any]) -> Mapping[str, Any]:
    """A kind of lamp by its id. Raises Refused where it is missing or not known."""
    if name is None:
        raise Refused("lux says nothing of photons without the kind of lamp — add --lamp, 'unknown' if you do not know")
    if name not in lamps:
        meant = close(name, lamps)
        guess = f"did you mean '{meant}'? " if meant else ""
        raise Refused(f"no lamp is called '{name}' — {guess}one of: {', '.join(lamps)}")
    found: Mapping[str, Any] = lamps[name]
    return found


def _photons(lux: Interval, kind: Mapping[str, Any]) -> Interval:
    if "lux_per_ppfd" not in kind:
        reason = kind.get("note", "a lux meter hardly sees its light").rstrip(".")
        raise Refused(f"lux is not valid under {kind['title']}: {reason} — give the photon flux as --ppfd")
    return hull(photon_flux, lux, span(kind["lux_per_ppfd"]))
