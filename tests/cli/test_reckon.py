"""``bogwright reckon`` as a grower meets it: answers, ranges, cautions, JSON, and what is refused."""

import argparse
import json
import math

import pytest

from bogwright.cli import main
from bogwright.physics.remedies import HAZARDS
from bogwright.reckon.answer import Refused
from bogwright.reckon.light import light
from bogwright.reckon.remedy import MEANS

QUESTIONS = {
    "acclimate": ["--from", "95", "--to", "60", "--at", "22", "--weeks", "4"],
    "light": ["--lux", "12000", "--lamp", "white-led", "--hours", "12"],
    "solids": ["--ppm", "50"],
    "mix": ["--first", "250", "--second", "5", "--to", "50", "--litres", "10"],
    "flush": ["--supply", "20", "--loss", "0.1", "--litres", "3", "--limit", "50"],
    "refill": ["--litres", "2", "--loss", "0.1"],
    "dilute": ["hydrogen-peroxide", "--stock", "12", "--to", "0.3", "--make", "1"],
    "day": ["--latitude", "52"],
    "dew": ["--at", "22", "--humidity", "70"],
}


def run(capsys, *argv):
    status = main(["reckon", *argv])
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return status, out, err


def asked(capsys, question, *more):
    """The figures of an answer."""
    status, out, err = run(capsys, question, *more, "--json")
    assert (status, err) == (0, "")
    return json.loads(out)["answer"]


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_answer_names_its_formula(capsys, question):
    """On the terminal with range and weaknesses, in lines that fit; the same in JSON; the same bytes twice."""
    status, out, err = run(capsys, question, *QUESTIONS[question])
    assert (status, err) == (0, "") and "\x1b" not in out
    assert out.count("  by: ") >= 1 and "holds for" in out
    assert all(len(line) <= 100 for line in out.splitlines())
    made = json.loads(run(capsys, question, *QUESTIONS[question], "--json")[1])
    assert made["question"] == question and made["answer"] and made["formulas"]
    flat = " ".join(out.split())
    for formula in made["formulas"]:
        assert formula["title"] in flat and formula["weaknesses"].split(". ")[0] in flat
    assert run(capsys, question, *QUESTIONS[question])[1] == out


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_has_help(capsys, question):
    """With what it wants and in which unit."""
    status, out, _ = run(capsys, question, "--help")
    assert status == 0 and f"usage: bogwright reckon {question}" in out and "--json" in out


def test_acclimate_steps_the_drying_power(capsys):
    """VPD by FAO-56 eq. 11: saturation at 22 °C 2.645 kPa; equal steps from 95 to 60 % in four weeks; the stop rule."""
    steps = asked(capsys, "acclimate", *QUESTIONS["acclimate"])["steps"]
    assert [s["humidity"] for s in steps] == pytest.approx([86.25, 77.5, 68.75, 60])
    assert steps[-1]["vpd"] == pytest.approx(0.4 * 2.645, abs=0.001)
    assert [s["from_day"] for s in steps] == [0, 7, 14, 21]
    dated = asked(capsys, "acclimate", *QUESTIONS["acclimate"], "--steps", "2", "--start", "2027-03-01")["steps"]
    assert [s["date"] for s in dated] == ["2027-03-01", "2027-03-15"]
    assert "go back one step" in run(capsys, "acclimate", *QUESTIONS["acclimate"])[1]


def test_light_of_a_lamp_and_of_a_quantum_meter(capsys):
    """Sun: 54 lx per µmol m⁻² s⁻¹ (Thimijan & Heins 1983, Table 3); 200 µmol m⁻² s⁻¹ over 16 h are 11.5 mol m⁻² d⁻¹."""
    sun = asked(capsys, "light", "--lux", "10800", "--lamp", "sun", "--hours", "12")
    assert sun["ppfd"] == pytest.approx([200, 200]) and sun["dli"] == pytest.approx([8.64, 8.64])
    assert asked(capsys, "light", "--ppfd", "200", "--hours", "16")["dli"] == pytest.approx([11.52, 11.52])
    low, high = asked(capsys, "light", "--lux", "10000-12000", "--lamp", "unknown")["ppfd"]
    assert low == pytest.approx(10000 / 82) and high == pytest.approx(12000 / 54)


def test_a_lamp_that_blinds_the_meter_is_refused(capsys):
    """With its reason and the way out."""
    status, out, err = run(capsys, "light", "--lux", "9000", "--lamp", "led-red-blue")
    assert (status, out) == (2, "") and "lux is not valid" in err and "--ppfd" in err
    blind = {"title": "red and blue LED", "lux_meter": "not-valid", "note": "The eye hardly sees it."}
    options = argparse.Namespace(ppfd=None, lux=(9000.0, 9000.0), lamp="red-blue", hours=None)
    with pytest.raises(Refused, match=r"lux is not valid under red and blue LED: The eye .* — .* --ppfd"):
        light(options, {"lamps": {"red-blue": blind}})


def test_a_cheap_meter_hides_its_factor(capsys):
    """50 ppm are 71 to 100 µS/cm by the factors 0.7 and 0.5; with the factor there is one answer. Arithmetic."""
    assert asked(capsys, "solids", "--ppm", "50")["conductivity"] == pytest.approx([71.43, 100], abs=0.01)
    assert asked(capsys, "solids", "--ppm", "50", "--factor", "0.5")["conductivity"] == [100, 100]
    assert "which factor your meter uses" in " ".join(run(capsys, "solids", "--ppm", "50")[1].split())
    assert asked(capsys, "solids", "--ec", "100")["solids"] == pytest.approx([50, 70])


def test_conductivity_at_another_temperature(capsys):
    """CRC Handbook p. 5-73: potassium chloride of 1408.2 µS/cm at 25 °C reads 1141.45 at 15 °C."""
    low, high = asked(capsys, "solids", "--ec", "1141.45", "--at", "15", "--factor", "0.5")["conductivity_25"]
    assert low == pytest.approx(1408.2, rel=0.003) and high == pytest.approx(1426.8, abs=0.1)


def test_mixing_two_waters(capsys):
    """10 L at 50 of tap at 250 and pure water at 5: 45 parts of 245. Mass balance; 17.85 mg/L CaCO₃ to a degree."""
    made = asked(capsys, "mix", *QUESTIONS["mix"], "--alkalinity", "8", "0", "--unit", "dkh")
    assert made["first_litres"] == pytest.approx([450 / 245] * 2)
    assert made["second_litres"] == pytest.approx([10 - 450 / 245] * 2)
    assert made["alkalinity_caco3"] == pytest.approx([8 * 17.848 * 45 / 245] * 2, rel=1e-3)
    varies = asked(capsys, "mix", "--first", "200-300", "--second", "5", "--to", "50", "--litres", "10")
    assert varies["first_litres"] == pytest.approx([450 / 295, 450 / 195])


def test_flushing(capsys):
    """Mass balance: 30 mg/L of room, e⁻¹ kept, 2/3 mg/L a day; unflushed 20 + 2 t / 3 after 91, 183 and 365 days."""
    made = asked(capsys, "flush", *QUESTIONS["flush"], "--pour", "3")
    assert made["intervals"][0]["days"] == pytest.approx([30 * 0.632121 * 1.5] * 2, rel=1e-4)
    skipped = [held[0] for held in made["skipped"].values()]
    assert skipped == pytest.approx([20 + 2 / 3 * d for d in (91.3125, 182.625, 365.25)])
    volume = asked(capsys, "flush", *QUESTIONS["flush"], "--every", "4")["pour_litres"]
    assert volume == pytest.approx([3 * math.log(30 / (30 - 28 * 2 / 3))] * 2)
    assert asked(capsys, "flush", *QUESTIONS["flush"], "--every", "12")["pour_litres"] == ["infinite", "infinite"]
    assert "no amount suffices" in run(capsys, "flush", *QUESTIONS["flush"], "--every", "12")[1]
    assert "over the limit" in run(capsys, "flush", *QUESTIONS["flush"])[1]
    fed = asked(capsys, "flush", *QUESTIONS["flush"], "--adds", "14", "--pour", "3")["intervals"][0]["days"]
    assert fed == pytest.approx([30 * 0.632121 * 3 / 4] * 2, rel=1e-4)


def test_water_that_is_too_salty_and_water_that_never_is(capsys):
    """No flush mends the supply; without salts nothing builds up."""
    salty = ["flush", "--supply", "60", "--loss", "0.1", "--litres", "3", "--limit", "50"]
    assert "use purer water" in run(capsys, *salty)[1]
    pure = ["flush", "--supply", "0", "--loss", "0.1", "--litres", "3", "--limit", "50"]
    assert "Nothing builds up" in run(capsys, *pure)[1]
    assert json.loads(run(capsys, *pure, "--json")[1])["answer"]["intervals"][0]["days"] == ["infinite", "infinite"]


def test_refill(capsys):
    """Volume by loss; nothing lost, never dry."""
    assert asked(capsys, "refill", *QUESTIONS["refill"])["days"] == [20, 20]
    assert asked(capsys, "refill", "--litres", "2", "--loss", "0.1-0.2")["days"] == [10, 20]
    assert "never runs dry" in run(capsys, "refill", "--litres", "2", "--loss", "0")[1]


def test_dilution_with_its_dangers(capsys):
    """C1·V1 = C2·V2; peroxide of 12 % damages eyes (GisChem, 8 % to below 35 %: H272, H318); below 5 % no class."""
    made = asked(capsys, "dilute", *QUESTIONS["dilute"])
    assert made["stock_litres"] == pytest.approx(0.025) and made["water_litres"] == pytest.approx(0.975)
    assert {c["statement"] for c in made["classes"]["stock"]} == {"H272", "H318"}
    assert made["classes"]["product"] == []
    told = " ".join(run(capsys, "dilute", *QUESTIONS["dilute"])[1].split())
    for word in ("label", "law", "gloves", "goggles", "Never mix", "not harmless", "25 mL"):
        assert word in told
    copper = run(capsys, "dilute", "Copper sulphate", "--stock", "5", "--to", "1", "--make", "1")[1]
    assert "down the drain" in copper and "H400" in copper


def test_an_unknown_agent_is_not_called_harmless(capsys):
    """Nor is it left without the cautions."""
    status, out, _ = run(capsys, "dilute", "hydrogen-peroxid", "--stock", "3", "--to", "1", "--make", "1")
    told = " ".join(out.split())
    assert status == 0 and "unknown, not harmless. Did you mean 'hydrogen-peroxide'?" in told
    assert "goggles" in out


def test_every_statement_has_words():
    """Of all classes in the table of hazards."""
    assert {h.statement for classes in HAZARDS.values() for h in classes} <= set(MEANS)


def test_day_and_dew(capsys):
    """FAO-56 Table 2.7, 52° N: 16.5 h in June, 7.5 h in December; the other half of the world has it the other way.

    Dew point of 22 °C and 70 %: 16.28 °C (psychrolib).
    """
    hours = asked(capsys, "day", "--latitude", "52")["hours"]
    assert hours["Jun"] == pytest.approx(16.5, abs=0.1) and hours["Dec"] == pytest.approx(7.5, abs=0.1)
    south = asked(capsys, "day", "--latitude", "-52")["hours"]
    assert south["Dec"] == pytest.approx(hours["Jun"], abs=0.1)
    assert asked(capsys, "dew", *QUESTIONS["dew"])["dew_point"] == pytest.approx([16.28, 16.28], abs=0.02)


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        ([], "required: WHAT"),
        (["tea"], "invalid choice"),
        (["light"], "one of the arguments --lux --ppfd is required"),
        (["light", "--lux", "abc", "--lamp", "sun"], "'abc' is no number"),
        (["light", "--lux", "", "--lamp", "sun"], "'' is no number"),
        (["light", "--lux", "nan", "--lamp", "sun"], "'nan' is no number"),
        (["light", "--lux", "inf", "--lamp", "sun"], "'inf' is no number"),
        (["light", "--lux", "1e5", "--lamp", "sun"], "'1e5' is no number"),
        (["light", "--lux", "12,000", "--lamp", "sun"], "'12,000' is no number"),
        (["light", "--lux", "9" * 400, "--lamp", "sun"], "beyond a million"),
        (["light", "--lux", "-5", "--lamp", "sun"], "'-5' is below 0"),
        (["light", "--lux", "9-5", "--lamp", "sun"], "lower figure first"),
        (["light", "--lux", "900"], "add --lamp"),
        (["light", "--lux", "900", "--lamp", "white-leds"], "did you mean 'white-led'"),
        (["light", "--lux", "900", "--ppfd", "9"], "not allowed with"),
        (["light", "--ppfd", "900", "--hours", "25"], "hours of light 25 h is outside 0 to 24 h"),
        (["light", "--ppfd", "900"], "give --hours"),
        (["light", "--ppfd", "9", "--lamp", "sun"], "leave --lamp out"),
        (["solids", "--ppm", "50", "--factor", "2"], "outside 0.4 to 1"),
        (["solids", "--ppm", "50", "--factor", "0"], "not above 0"),
        (["solids", "--ppm", "50", "--at", "20"], "give the reading as --ec"),
        (["solids", "--ec", "50", "--at", "90"], "outside 0 to 50 °C"),
        (["mix", "--first", "5", "--second", "250", "--to", "300", "--litres", "1"], "does not lie between"),
        (["mix", "--first", "5", "--second", "5", "--to", "6", "--litres", "1"], "does not lie between"),
        (["mix", *QUESTIONS["mix"], "--alkalinity", "3", "0"], "add --unit"),
        (["mix", *QUESTIONS["mix"], "--alkalinity", "3"], "expected 2 arguments"),
        (["flush", "--supply", "20"], "required: --loss, --litres, --limit"),
        (["flush", *QUESTIONS["flush"], "--every", "4", "--pour", "3"], "not allowed with"),
        (["flush", *QUESTIONS["flush"], "--every", "0"], "not above 0"),
        (["refill", "--litres", "-1", "--loss", "0.1"], "below 0"),
        (["dilute", "hydrogen-peroxide", "--stock", "3", "--to", "12", "--make", "1"], "stronger than the stock"),
        (["dilute", "hydrogen-peroxide", "--stock", "0", "--to", "0", "--make", "1"], "not above 0"),
        (["dilute", "hydrogen-peroxide", "--stock", "120", "--to", "3", "--make", "1"], "outside 0 to 100 %"),
        (["dilute", "hydrogen-peroxide", "--stock", "3-12", "--to", "3", "--make", "1"], "is a range"),
        (["dilute", " ", "--stock", "3", "--to", "1", "--make", "1"], "no agent is named"),
        (["day", "--latitude=--"], "argument --latitude: '--' is no value"),
        (["dew", "--at", "22 C", "--humidity", "50"], "without a unit"),
        (["day", "--latitude", "91"], "outside -90 to 90 °"),
        (["day", "--latitude", "north"], "'north' is no number"),
        (["dew", "--at", "22", "--humidity", "140"], "humidity 140 % is outside 0 to 100 %"),
        (["dew", "--at", "22", "--humidity", "0"], "vapour pressure 0 kPa is outside"),
        (["dew", "--at", "99", "--humidity", "50"], "outside -30 to 60 °C"),
        (["acclimate", "--from", "60", "--to", "60", "--at", "22", "--weeks", "4"], "stands at 60 % already"),
        (["acclimate", "--from", "95", "--to", "160", "--at", "22", "--weeks", "4"], "humidity 160 %"),
        (["acclimate", "--from", "95", "--to", "60", "--at", "22", "--weeks", "0"], "not above 0"),
        (["acclimate", "--from", "95", "--to", "60", "--at", "22", "--weeks", "5000"], "fewer --weeks"),
        (["acclimate", *QUESTIONS["acclimate"], "--steps", "1.5"], "no whole number"),
        (["acclimate", *QUESTIONS["acclimate"], "--start", "1.4.27"], "no date"),
        (["acclimate", *QUESTIONS["acclimate"], "--start", "9999-12-30"], "beyond the calendar"),
    ],
)
def test_what_is_refused(capsys, argv, said):
    """Exit status 2, one line: what is wrong — how to mend it."""
    status, out, err = run(capsys, *argv)
    assert (status, out) == (2, "")
    assert said in err and " — " in err and err.startswith("bogwright: ") and err.count("\n") == 1
