"""Axes as the knowledge base declares them, and helpers to write boxes shortly."""

from pathlib import Path

import pytest
import yaml

from bogwright.sharing.axes import Axes, read_axes
from bogwright.sharing.windows import Box, Frame


@pytest.fixture(scope="session")
def axes() -> Axes:
    """The axes of kb/axes.yaml."""
    return read_axes(yaml.safe_load(Path("kb/axes.yaml").read_text(encoding="utf-8")))


@pytest.fixture(scope="session")
def frame(axes: Axes) -> Frame:
    """The frame made from them."""
    return Frame.of(axes)


@pytest.fixture(scope="session")
def box(frame: Frame):
    """box(temperature_day=(20, 30), steps=((16, 27),)) → a Box, open where nothing is said."""

    def make(steps=None, **bounds) -> Box:
        lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
        for axis, (low, high) in bounds.items():
            lows[frame.order.index(axis)], highs[frame.order.index(axis)] = low, high
        return Box(tuple(lows), tuple(highs), (steps,) if steps else ())

    return make
