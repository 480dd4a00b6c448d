"""The part of a page that shows in pictures what its tables say in figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from bogwright.knowledge import Profile
from bogwright.report.site.charts import band_chart, svg, wild
from bogwright.report.site.markup import el
from bogwright.report.site.sheet import Sheet
from bogwright.sharing.demands import Demand


def section(sheet: Sheet, profile: Profile, demands: Mapping[str, Demand], core: Sequence[str]) -> Markup:
    """Bands of what it asks in growth and where it grows wild.

    demands : of growth, by path of the claim. core : paths of needs that are shown even if nothing is known.
    """
    scales = sheet.atlas.scales
    drawn, wildly = band_chart.charts(scales, profile, demands, core), wild.summary(scales.heights, profile)
    if not drawn and not wildly:
        return svg.patterns()
    legend = el("details", el("summary", "How to read these pictures"), band_chart.legend()) if drawn else ""
    return sheet.section("At a glance", "glance", svg.patterns(), drawn, legend, wildly)
