"""Where a shared window is so narrow that the thermostat must be set with care: how narrow, and what that asks."""

from __future__ import annotations

from collections.abc import Iterator

from bogwright.judge.share import Shared
from bogwright.sharing.axes import Axes
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.months import month_words

NARROW = 1.0  # K between the lowest and the highest setting; common practice, no source
TITLES = {"temperature_day": "days", "temperature_night": "nights"}


def narrow_words(shown: Shared, axes: Axes) -> Iterator[str]:
    """A sentence for days and for nights if any month leaves less than `NARROW` between its settings.

    The share check of the site says the same (`site/theme/js/share/page_window.js`).
    """
    for axis, title in TITLES.items():
        widths = {window.month: window.high[axis] - window.low[axis] for window in shown.windows}
        months = [month for month, width in widths.items() if width < NARROW]
        if not months:
            continue
        when = month_words(months, shown.midwinter)
        width = min(widths[month] for month in months)
        usual, share = axes[axis].control_error, LADDER[shown.level].error
        stray = (
            f"{usual:g} K either way, as an ordinary one does"
            if share == 1
            else (f"no more than {usual * share:g} K either way, and an ordinary one strays {usual:g} K")
        )
        yield (
            f"The {title} {'' if when == 'all year' else 'in '}{when} leave {_width(width)} to set: choose a "
            f"thermostat that can be set that finely. From there it may stray {stray}."
        )


def _width(width: float) -> str:
    return "less than 0.1 K" if width < 0.1 else f"{round(width, 1):g} K"
