"""Remedies: dilution keeps the agent, and a stronger product is never called safer."""

from __future__ import annotations

import math

import pytest

from bogwright.physics.ranges import OutOfRange
from bogwright.physics.remedies import HAZARDS, Unclassified, hazard_class, stock_needed

numpy = pytest.importorskip("numpy")


def test_dilution_keeps_the_agent():
    for stock, product, volume in ((35.0, 3.0, 500.0), (12.0, 12.0, 80.0), (6.0, 0.0, 1.0)):
        assert stock * stock_needed(stock, product, volume) == pytest.approx(product * volume)


def test_a_stock_is_never_strengthened_by_water():
    with pytest.raises(OutOfRange):
        stock_needed(3.0, 6.0, 100.0)


def test_an_array_gives_what_its_numbers_give():
    stocks, products, volumes = [35.0, 12.0], [3.0, 3.0], [500.0, 1000.0]
    together = stock_needed(*(numpy.array(column) for column in (stocks, products, volumes)))
    assert together == pytest.approx([stock_needed(*row) for row in zip(stocks, products, volumes, strict=True)])
    assert math.isnan(stock_needed(math.nan, 3.0, 100.0))


@pytest.mark.parametrize("agent", HAZARDS)
def test_no_band_is_empty_and_none_is_left_without_a_source(agent):
    for hazard in HAZARDS[agent]:
        assert 0 <= hazard.least < hazard.below
        assert hazard.source
        assert hazard.statement.startswith("H")


@pytest.mark.parametrize("agent", HAZARDS)
def test_harm_to_eyes_does_not_lessen_with_strength(agent):
    severity = {"H319": 1, "H318": 2, "H314": 3}
    worst = [
        max((severity.get(hazard.statement, 0) for hazard in hazard_class(agent, percent)), default=0)
        for percent in numpy.linspace(0, 100, 401).tolist()
    ]
    assert worst == sorted(worst)


@pytest.mark.parametrize("agent", HAZARDS)
def test_water_without_agent_has_no_class(agent):
    assert hazard_class(agent, 0.0) == ()
    assert hazard_class(agent, 100.0)


def test_an_agent_without_limits_is_not_called_harmless():
    with pytest.raises(Unclassified, match="needs the concentration limits of neem-oil"):
        hazard_class("neem-oil", 1.0)
    with pytest.raises(OutOfRange):
        hazard_class("ethanol", 120.0)
