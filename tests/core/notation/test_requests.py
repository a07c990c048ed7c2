"""Requests in the spellings that people use."""

import pytest

from core.domain.commands import (
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    Done,
    Doubt,
    ForgetMe,
    Help,
    History,
    Max,
    Privacy,
    Question,
    Same,
    Settings,
    Start,
    Topic,
    Undo,
    UseBar,
    UseUnit,
    UseZone,
    Week,
)
from core.domain.problems import Problem
from core.domain.session_commands import AsPlanned, LastRepMissed, Nod, Short, Swap, Today
from core.domain.units import Load, Unit
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

PLAIN = Context(names=catalogue_names())


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("undo", Undo()),
        ("UNDO!", Undo()),
        ("oops", Undo()),
        ("scratch that", Undo()),
        ("delete last set please", Undo()),
        ("undp", Undo()),
        ("/undo", Undo()),
        ("same again", Same()),
        ("ditto", Same()),
        ("same 3 times", Same(3)),
        ("same twice", Same(2)),
        ("done for today", Done()),
        ("that's it", Done()),
        ("done 8/10", Done(8.0)),
        ("did it", AsPlanned()),
        ("how was my week?", Week()),
        ("what's my bench max", Max("bench press")),
        ("e1rm squat", Max("squat")),
        ("show me bench history", History("bench press")),
        ("when did i last squat", History("squat")),
        ("switch to lbs", UseUnit(Unit.LB)),
        ("bw 81,5", BodyMass(Load(81.5, Unit.KG))),
        ("i weigh 180 lb", BodyMass(Load(180.0, Unit.LB))),
        ("weight off", BodyMassOff()),
        ("bar is 15kg", UseBar(Load(15.0, Unit.KG))),
        ("bar 45", UseBar(Load(45.0, Unit.LB))),
        ("zone America/Argentina/Buenos_Aires", UseZone("America/Argentina/Buenos_Aires")),
        ("help", Help()),
        ("hlep", Help()),
        ("?", Help()),
        ("help with warm-ups", Help(Topic.WARMUPS)),
        ("settings?", Settings()),
        ("privacy policy", Privacy()),
        ("/start abc123", Start()),
        ("i consent", Consent(given=True)),
        ("delete my data", ForgetMe()),
        ("my doctor cleared me", Cleared()),
        ("nevermind", Cancel()),
        ("thx", Nod()),
        ("OK, thanks!", Nod()),
        ("👍🏽", Nod()),
        ("hi", Help()),
        ("how strong am i?", Max()),
        ("what should I do next?", Today()),
        ("how many sets left?", Today()),
        ("can I swap squats for leg press", Swap("squat", "leg press")),
        ("i only have 20 mins", Short(20)),
        ("I've only got 30 minutes today", Short(30)),
        ("just 25 min", Short(25)),
        ("i failed the last rep", LastRepMissed()),
        ("last rep failed", LastRepMissed()),
    ],
)
def test_a_request_is_understood(text: str, command: Command) -> None:
    assert read(text, PLAIN).outcome == command


# A set logged, a session closed or data erased by a slip would be the worse error.
@pytest.mark.parametrize("text", ["some", "none", "bone", "sane", "weak", "forge me", "yes", "no"])
def test_other_words_are_no_request(text: str) -> None:
    assert isinstance(read(text, PLAIN).outcome, Problem)


@pytest.mark.parametrize("text", ["delete the last two sets", "undo last 3 sets", "remove both sets"])
def test_who_wants_more_than_one_message_back_is_told_the_word_for_one(text: str) -> None:
    outcome = read(text, PLAIN).outcome

    assert isinstance(outcome, Problem)
    assert outcome.remedy == "undo"


@pytest.mark.parametrize("text", ["bw 8", "bw 45", "weight 80"])
def test_a_number_that_may_be_body_mass_is_asked(text: str) -> None:
    outcome = read(text, PLAIN).outcome

    assert isinstance(outcome, Question)
    assert outcome.doubt is Doubt.BODY


def test_a_body_mass_that_may_be_pounds_is_asked_of_a_lifter_who_never_told_a_unit() -> None:
    outcome = read("bw 180", PLAIN).outcome

    assert isinstance(outcome, Question)
    assert outcome.doubt is Doubt.UNIT
    assert read("bw 180", Context(names=catalogue_names(), unit=Unit.LB)).outcome == BodyMass(Load(180.0, Unit.LB))
