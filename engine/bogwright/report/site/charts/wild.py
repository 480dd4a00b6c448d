"""Where a plant grows wild: its regions in words and its heights as a strip on the scale of all plants. No map."""

from __future__ import annotations

from markupsafe import Markup

from bogwright.knowledge import Profile
from bogwright.report.site.charts import svg
from bogwright.report.site.charts.band_chart import backdrop, ruler
from bogwright.report.site.charts.scales import Scale, height_of
from bogwright.report.site.markup import Text, el
from bogwright.report.site.regions import named
from bogwright.report.site.wording import STANDINGS, counted, figure

TOP, BOTTOM = 32.0, 58.0
MOST = 8


def summary(scale: Scale | None, profile: Profile) -> Markup:
    """Regions and heights of a plant, empty where neither is known."""
    codes = _codes(profile)
    parts: list[Text] = []
    if codes:
        names = sorted(map(named, codes))
        told = ", ".join(names[:MOST]) + (f" and {len(names) - MOST} more" if len(names) > MOST else "")
        parts.append(el("figcaption", f"Grows wild in {counted(len(codes), 'region')}: {told}."))
    span = height_of(profile)
    if scale is not None and span is not None:
        parts.append(heights(scale, span, _basis(profile)))
    return el("figure", *parts, class_="wild") if parts else Markup("")


def heights(scale: Scale, span: tuple[float, float], basis: str) -> Markup:
    """The strip: a bar from the lowest to the highest place, on how many plants grow at each height."""
    left, right = map(scale.x, span)
    words = figure(*span, "m")
    middle = (TOP + BOTTOM) / 2
    kind = "native memory" if basis == "from-memory" else "native"
    parts = (
        svg.text(0, 12, "Heights where it grows wild, m", "head"),
        svg.text(0, 27, f"{words} above the sea"),
        backdrop(scale, TOP, BOTTOM),
        ruler(scale, BOTTOM),
        svg.shape("rect", class_=kind, x=left, y=middle - 6, width=max(right - left, 2.0), height=12),
    )
    told = f"{words} above the sea ({STANDINGS[basis][1]}). All plants: {figure(*scale.hull, 'm')}."
    return svg.picture("wild-heights", "Heights where it grows wild", told, BOTTOM + 17, *parts, class_="band")


def _codes(profile: Profile) -> tuple[str, ...]:
    value = profile.value("identity.range") if profile.claim("identity.range") else None
    return (value,) if isinstance(value, str) else tuple(value or ())


def _basis(profile: Profile) -> str:
    """The weaker standing of both heights."""
    claim = profile.range("identity.elevation")
    order = list(STANDINGS)
    return max((end.basis for end in (claim.low, claim.high) if end), key=order.index) if claim else "unknown"
