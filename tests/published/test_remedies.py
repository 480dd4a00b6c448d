"""Remedies against the concentration limits of Regulation (EC) No 1272/2008 (CLP), as read on 2026-11-25."""

from __future__ import annotations

import pytest

from bogwright.physics.remedies import hazard_class, stock_needed


def statements(agent: str, percent: float) -> set[str]:
    return {hazard.statement for hazard in hazard_class(agent, percent)}


@pytest.mark.parametrize(
    ("stock", "product", "volume", "needed"),
    [(35, 3, 500, 42.857), (12, 3, 1000, 250), (3, 0.3, 1000, 100), (6, 1, 300, 50)],
)
def test_dilution(stock, product, volume, needed):
    """Arithmetic, C1·V1 = C2·V2; mL."""
    assert stock_needed(stock, product, volume) == pytest.approx(needed, abs=0.01)


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        # ECHA, registry of CLH intentions, hydrogen peroxide: limits of Annex VI at the time of the proposal
        (70, {"H271", "H314"}),
        (69, {"H272", "H314"}),
        (50, {"H272", "H314"}),
        (49, {"H272", "H315"}),
        (35, {"H315"}),
        # GisChem data sheet, solution 8 % to below 35 %
        (34, {"H272", "H302", "H332", "H318"}),
        (30, {"H272", "H302", "H332", "H318"}),
        (25, {"H272", "H302", "H318"}),
        (8, {"H272", "H318"}),
        # GisChem data sheet, solution 5 % to below 8 %
        (7.9, {"H319"}),
        (5, {"H319"}),
    ],
)
def test_hydrogen_peroxide(percent, expected):
    assert expected <= statements("hydrogen-peroxide", percent)


def test_weak_hydrogen_peroxide_has_no_class():
    """Household peroxide of 3 %, and all below the 5 % of the GisChem sheet."""
    for percent in (0.1, 3, 4.9):
        assert hazard_class("hydrogen-peroxide", percent) == ()
    assert "H315" not in statements("hydrogen-peroxide", 34)
    assert "H318" not in statements("hydrogen-peroxide", 7.9)


def test_weaker_peroxide_is_the_third_class_of_oxidising_liquid():
    """GisChem, solution 8 % to below 35 %: below 20 % category 3, the label unchanged."""
    assert [h.category for h in hazard_class("hydrogen-peroxide", 19) if h.statement == "H272"] == ["Ox. Liq. 3"]
    assert [h.category for h in hazard_class("hydrogen-peroxide", 20) if h.statement == "H272"] == ["Ox. Liq. 2"]


def test_ethanol_in_water():
    """GisChem data sheets: below 10 % H226; 10 % to below 60 % H226 and H319; ECHA inventory, pure: H225."""
    assert statements("ethanol", 5) == {"H226"}
    assert statements("ethanol", 40) == {"H226", "H319"}
    assert "H225" in statements("ethanol", 96)


def test_isopropanol():
    """Carl Roth, 2-propanol 70 %: H225, H319, H336."""
    assert statements("isopropanol", 70) == {"H225", "H319", "H336"}


def test_pure_agents():
    """GisChem data sheets: copper(II) sulphate pentahydrate; sulphur."""
    assert statements("copper-sulphate", 100) == {"H302", "H318", "H400", "H410"}
    assert statements("sulphur", 100) == {"H228", "H315"}


def test_three_percent_of_what_damages_eyes_damages_eyes():
    """gesi.de, 2017, on CLP: a mixture holding 3 % or more of what damages eyes is classed so itself."""
    assert "H318" in statements("copper-sulphate", 3)
