"""Warning signs: seen in any text, and not in what only sounds like one."""

import re

import pytest

from core.domain.commands import Sign
from core.domain.prescriptions import Place
from core.notation.sign_rules import RULES
from core.notation.signs import place_told, signs_in
from core.notation.tokens import folded


def signs(typed: str) -> list[tuple[Sign, bool]]:
    return [(seen.sign, seen.doubtful) for seen in signs_in(folded(typed))]


@pytest.mark.parametrize(
    ("typed", "sign"),
    [
        ("chest pain", Sign.CHEST),
        ("my chest really hurts", Sign.CHEST),
        ("pressure in my chest", Sign.CHEST),
        ("chset pain", Sign.CHEST),
        ("bench 80x5 # chest pain", Sign.CHEST),
        ("pain down my left arm", Sign.CHEST),
        ("I blacked out", Sign.FAINTING),
        ("got dizzy", Sign.FAINTING),
        ("dizy", Sign.FAINTING),
        ("Can't breathe", Sign.BREATH),
        ("cant even catch my breath", Sign.BREATH),
        ("shortness of breath", Sign.BREATH),
        ("fingers went numb", Sign.NUMBNESS),
        ("cant feel my arm", Sign.NUMBNESS),
        ("pins and needles", Sign.NUMBNESS),
        ("my face is drooping", Sign.STROKE),
        ("slurred speech", Sign.STROKE),
        ("lost my vision", Sign.STROKE),
        ("worst headache of my life", Sign.HEADACHE),
        ("the bar fell on my throat", Sign.BAR_ON_NECK),
        ("bar on my neck", Sign.BAR_ON_NECK),
        ("i want to kill myself", Sign.SELF_HARM),
        ("don't want to live", Sign.SELF_HARM),
        ("drying out for weigh in", Sign.FAST_CUT),
        ("lose 5 kg in 3 days", Sign.FAST_CUT),
        ("my pee is brown", Sign.MUSCLE_BREAKDOWN),
        ("felt a pop in my shoulder", Sign.TEAR),
        ("tore my pec", Sign.TEAR),
        ("shoulder hurts", Sign.PAIN),
        ("tweaked my back", Sign.PAIN),
        ("sharp pain", Sign.PAIN),
        ("chest pian", Sign.CHEST),
        ("asthma attack", Sign.BREATH),
        ("coughing up blood", Sign.BREATH),
        ("can't pee since squats", Sign.NUMBNESS),
        ("i cant get the bar off my chest", Sign.BAR_ON_NECK),
        ("threw up my dinner on purpose", Sign.FAST_CUT),
        ("bench 80x5 elbow niggle", Sign.PAIN),
        ("sore elbow", Sign.PAIN),
        ("shoulder is a bit cranky", Sign.PAIN),
        ("my knee is swollen", Sign.PAIN),
        ("threw my back out", Sign.PAIN),
        ("my left shoulder pinches", Sign.PAIN),
        ("bench 80x5 shoulder pinching", Sign.PAIN),
        ("felt a pinch in my elbow", Sign.PAIN),
        ("shoulder stings", Sign.PAIN),
        ("elbow is bothering me", Sign.PAIN),
        ("a niggle in my left knee", Sign.PAIN),
        ("shoulder discomfort", Sign.PAIN),
        ("pinched nerve", Sign.PAIN),
        ("wrist gave out", Sign.PAIN),
        ("knee buckled", Sign.PAIN),
    ],
)
def test_a_sign_is_seen(typed: str, sign: Sign) -> None:
    assert (sign, False) in signs(typed)


@pytest.mark.parametrize(
    ("typed", "sign"),
    [
        ("chest feels tight", Sign.CHEST),
        ("out of breath", Sign.BREATH),
        ("headache", Sign.HEADACHE),
        ("saw stars", Sign.FAINTING),
        ("tingling in my fingers", Sign.NUMBNESS),
        ("heavy feeling in my chest", Sign.CHEST),
        ("lost strength in my left arm", Sign.STROKE),
        ("is my shoulder ok to train", Sign.PAIN),
        ("can i train with a sore shoulder", Sign.PAIN),
        ("burning in my shoulder", Sign.PAIN),
        ("shoulder feels weird", Sign.PAIN),
    ],
)
def test_a_doubtful_word_is_marked_so(typed: str, sign: Sign) -> None:
    assert signs(typed) == [(sign, True)]


@pytest.mark.parametrize(
    "typed",
    [
        "pinch your shoulder blades together",
        "shoulder blades pinched",
        "pinch grip 20x30",
        "plate pinch 20x30",
        "chest day",
        "chest pump 80x5",
        "chest supported row 60x10",
        "chest press 50x10",
        "face pull 20x15",
        "numbers 80x5",
        "no chest pain",
        "shoulder doesn't hurt",
        "pain free",
        "this set killed me",
        "bench 80x5 popped off the chest",
        "bar path better",
        "weight 80",
        "numb from boredom",
        "mind-numbing cardio",
        "suicide grip bench 80x5",
        "suicides 5",
        "tore through that",
        "ripped my shirt",
        "pain in the ass",
        "a pain to log",
        "back off 80x5",
        "bench 80x5 wrist wraps off",
        "couldn't get it off the floor",
        "legs burning",
        "legs are sore",
        "db row pair of 30s x 10",
        "plain bench 80x5",
        "shoulder is ok now",
    ],
)
def test_what_only_sounds_like_a_sign_is_passed_over(typed: str) -> None:
    assert signs(typed) == []


def test_the_most_pressing_sign_is_told_first() -> None:
    assert [sign for sign, _ in signs("tweaked my back, got dizzy and have chest pain")] == [
        Sign.CHEST,
        Sign.FAINTING,
        Sign.PAIN,
    ]


def test_a_pain_inside_a_graver_sign_is_not_told_besides() -> None:
    assert signs("chest pain") == [(Sign.CHEST, False)]


def test_a_sign_has_its_place_in_the_text() -> None:
    typed = "bench 80x5 got dizzy after"

    seen = signs_in(folded(typed))[0]

    assert typed[seen.start : seen.end] == "dizzy"


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("shoulder hurts", Place.SHOULDER),
        ("80x5, sharp pain in my left shoulder", Place.SHOULDER),
        ("my lower  back hurts", Place.LOWER_BACK),
        ("pain at the front of it", None),
        ("shoulder press 40x8 something hurts", None),
        ("sharp pain", None),
        ("rotator cuff hurts", Place.SHOULDER),
        ("my back hurts", None),
        ("twinge in the right knee", Place.KNEE),
    ],
)
def test_a_place_is_taken_only_where_it_is_told_of_the_pain(typed: str, place: Place | None) -> None:
    text = folded(typed)
    [seen] = signs_in(text)

    assert place_told(typed, seen.warned(text).span) is place


@pytest.mark.parametrize(("heads", "rest"), [(heads, rest) for _, _, heads, rest in RULES])
def test_the_words_of_every_rule_can_be_looked_for(heads: str, rest: str) -> None:
    # Patterns are made when their first word is met, so that a wrong one would come out in somebody's emergency.
    assert re.compile(rest).groups == 0
    assert heads.split()
