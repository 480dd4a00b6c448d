"""Parts of a plan that cannot lie as it says; all sizes are made up."""

import pytest

from bogwright.enclosure.fitting import check_fit


def heard(data):
    said = []
    check_fit(data, lambda path, message, hint: said.append((path, message, hint)))
    return said


@pytest.fixture
def fitted(data):
    data["case"]["vessel"]["kind"] = "glass-case"  # 80 × 40 × 45 cm, vented
    return data


def put(data, path, value):
    *way, last = path
    for step in way:
        data = data[step]
    data[last] = value


def test_a_case_whose_parts_fit_says_nothing(data, fitted):
    assert heard(fitted) == []
    del data["case"]["vessel"]["inside_cm"], data["places"][0]["crown_height"], data["lamps"][0]["height"]
    assert heard(data) == []


BED, LAMP, TRAY = ("places", 0), ("lamps", 0), ("water_units", 0)


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("case", "vessel", "inside_cm"), [0.8, 0.4, 0.45], "measures 0.8 × 0.4 × 0.45 cm"),
        (("case", "vessel", "inside_cm"), [800, 400, 450], "measures 800 × 400 × 450 cm"),
        ((*BED, "medium", "layers"), [{"cm": 30, "material": "peat"}], "reach 14 cm below the floor"),
        ((*BED, "crown_height"), 45.5, "above the lid at 45 cm"),
        ((*BED, "at_cm"), [90, 20], "outside a floor of 80 × 40 cm"),
        ((*BED, "at_cm"), [40, -1], "outside a floor of 80 × 40 cm"),
        ((*BED, "size_cm"), [35, 120], "a place of 35 × 120 cm does not go on"),
        ((*BED, "size_cm"), [60, 60], "a place of 60 × 60 cm does not go on"),
        ((*LAMP, "height"), 16, "not above the crowns at 16 cm"),
        ((*LAMP, "height"), 30, "mounted outside hangs at 30 cm, below the lid"),
        ((*LAMP, "height"), 4.6, "not above the crowns"),
        ((*TRAY, "level"), 46, "above the walls of 45 cm"),
        ((*TRAY, "reservoir"), [9, 12], "9 L may go before you refill, but there are 8 L"),
        ((*TRAY, "flush"), {"every_weeks": 2, "litres": 4500}, "a flush of 4500 L is more than 50 times the 8 L"),
    ],
)
def test_what_does_not_fit_is_told_with_its_mend(fitted, path, value, says):
    put(fitted, path, value)
    told = heard(fitted)
    assert any(says in message and hint for _, message, hint in told), told


def test_a_lamp_inside_hangs_below_the_lid(fitted):
    put(fitted, (*LAMP, "mounted"), "inside")
    assert "mounted inside hangs at 60 cm, above the lid at 45 cm" in heard_of(fitted, 60)
    put(fitted, ("case", "vessel", "openings"), "open")
    assert heard_of(fitted, 60) == ""


def heard_of(data, height):
    put(data, (*LAMP, "height"), height)
    return " ".join(message for _, message, _ in heard(data))


def test_ranges_are_contradicted_only_where_no_part_of_them_fits(fitted):
    put(fitted, (*TRAY, "reservoir"), [6, 12])
    put(fitted, (*TRAY, "level"), [[2, 50]] * 12)
    assert heard(fitted) == []


def test_turned_places_and_places_in_open_ground_fit(fitted):
    put(fitted, (*BED, "size_cm"), [40, 80])
    assert heard(fitted) == []
    put(fitted, (*BED, "medium", "layers"), [{"cm": 30, "material": "peat"}])
    put(fitted, ("case", "vessel", "kind"), "bog-bed")
    assert heard(fitted) == []


def test_a_lamp_beside_a_tall_plant_may_hang_below_its_crown(fitted):
    """A second place further up: the lamp still serves the lower one."""
    tall = {"id": "shelf", "water": "tray", "crown_height": 40}
    fitted["places"].append(tall)
    put(fitted, (*LAMP, "mounted"), "inside")
    assert heard_of(fitted, 38) == ""
