"""Setting up: ten questions at most, each with a default, in any order, and a plan at the end."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from core.application.setting_up import JUST_ASKED, STEPS
from core.domain.commands import Consent, LogSets
from core.domain.equipment import Owned
from core.domain.exercises import Equipment, Muscle
from core.domain.plan_commands import RecentSets, Screened, SkipStep, UseDays, UseEquipment
from core.domain.plan_replies import Noted, PlanTold
from core.domain.prescriptions import Safety
from core.domain.problems import ProblemKind
from core.domain.replies import Ask, Asked, Logged, PrivacyTold, Refused, Reply, SettingsTold
from core.domain.setups import Setup, SetupStep
from core.domain.units import Unit
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn
from tests.core.planning.gyms import lift


def setup(chat: Chat) -> Setup:
    return in_turn(chat, lambda turn: turn.setup)


def skipped_to_the_end(chat: Chat, replies: Sequence[Reply], *, but: SetupStep | None = None) -> list[Reply]:
    """Skip one question after the other, until a plan or the question that is not to be skipped."""
    last = list(replies)
    for _ in STEPS:
        asked = [each for each in last if isinstance(each, Asked)]
        if not asked or asked[0].step is but:
            break
        last = chat.tap(asked[0], len(asked[0].options) - 1)
    return last


def begun(chat: Chat, *, consent: bool = True) -> list[Reply]:
    asked = the(Asked, chat.say("start"))
    return chat.tap(asked, 0 if consent else 1)


def test_the_first_step_tells_of_privacy_and_asks_for_a_word_on_health_data(chat: Chat) -> None:
    replies = chat.say("start")

    assert isinstance(replies[0], PrivacyTold)
    asked = the(Asked, replies)
    assert asked.about is Ask.CONSENT
    # No skipping this one.
    assert all(isinstance(option.command, Consent) for option in asked.options)


def test_there_are_ten_questions_at_most_and_all_but_the_first_can_be_skipped(chat: Chat) -> None:
    asked, replies = 1, begun(chat)
    while questions := [each for each in replies if isinstance(each, Asked)]:
        asked += 1
        last = questions[0].options[-1].command
        assert isinstance(last, SkipStep)
        replies = chat.tap(questions[0], len(questions[0].options) - 1)

    assert asked <= 10
    assert isinstance(replies[-1], PlanTold)


def test_all_skipped_is_the_careful_answer_and_still_a_plan(chat: Chat) -> None:
    told = the(PlanTold, skipped_to_the_end(chat, begun(chat)))

    kept = setup(chat)
    # Unanswered screening counts as yes, unanswered safeties as neither: the coaching rules on care.
    assert kept.care.screened
    assert kept.care.safety is Safety.NEITHER
    assert kept.asked is None
    assert told.plan.wishes == kept.wishes
    assert told.plan.starts == date(2027, 1, 4)
    assert len(told.days) == kept.wishes.sessions


def test_without_a_yes_to_health_data_screening_is_not_asked_and_holds(chat: Chat) -> None:
    asked = the(Asked, begun(chat, consent=False))
    steps = []
    while True:
        steps.append(asked.step)
        found = [each for each in chat.tap(asked, len(asked.options) - 1) if isinstance(each, Asked)]
        if not found:
            break
        asked = found[0]

    assert SetupStep.SCREENING not in steps
    assert setup(chat).care.screened
    refused = chat.say("screening clear")
    assert not any(isinstance(each, Noted) for each in refused)
    assert setup(chat).care.screened


def test_screening_keeps_the_consequence_and_its_date_and_consent_off_erases_both(chat: Chat) -> None:
    begun(chat)
    chat.say("screening clear")

    assert not setup(chat).care.screened
    assert setup(chat).screened_on == date(2027, 1, 4)

    chat.say("consent off")

    assert setup(chat).care.screened
    assert setup(chat).screened_on is None


def test_answers_come_in_any_order_and_are_not_asked_again(chat: Chat) -> None:
    begun(chat)

    assert chat.say("days mon thu") == [Noted(UseDays((0, 3)))]
    chat.say("minutes 45")
    asked = the(Asked, chat.say("equipment barbell dumbbells"))
    steps = [asked.step]
    for _ in STEPS:
        found = [each for each in chat.tap(asked, len(asked.options) - 1) if isinstance(each, Asked)]
        if not found:
            break
        asked = found[0]
        steps.append(asked.step)

    assert steps == [
        SetupStep.SCREENING,
        SetupStep.SAFETIES,
        SetupStep.MATTERS,
        SetupStep.STRENGTH,
        SetupStep.SETS_NOW,
        SetupStep.TIMES,
    ]
    assert (setup(chat).wishes.days, setup(chat).wishes.minutes) == ((0, 3), 45)


def test_setting_up_goes_on_after_days_where_it_was_left(chat: Chat) -> None:
    first = the(Asked, begun(chat))
    chat.tap(first, 0)
    chat.now += timedelta(days=6)

    again = chat.say("start")

    assert the(Asked, again).step is SetupStep.SCREENING
    assert not any(isinstance(each, PrivacyTold) for each in again)


def test_a_question_can_be_tapped_after_days(chat: Chat) -> None:
    first = the(Asked, begun(chat))
    chat.now += timedelta(days=6)

    assert the(Asked, chat.tap(first, 0)).step is SetupStep.SCREENING


def test_when_all_is_answered_start_tells_the_settings(chat: Chat) -> None:
    skipped_to_the_end(chat, begun(chat))

    assert isinstance(chat.say("start")[-1], SettingsTold)


def test_the_unit_is_asked_for_with_the_equipment_unless_it_is_known(chat: Chat) -> None:
    asked = the(Asked, begun(chat))
    units = {option.command.unit for option in asked.options if isinstance(option.command, UseEquipment)}
    assert units == set(Unit)

    chat.tap(asked, 1)

    assert chat.lifter is not None
    assert chat.lifter.unit is Unit.LB
    assert setup(chat).gym(chat.lifter.unit).unit is Unit.LB


def test_recent_sets_are_logged_a_week_back_so_that_this_week_does_not_count_them(chat: Chat) -> None:
    replies = skipped_to_the_end(chat, begun(chat), but=SetupStep.STRENGTH)
    assert the(Asked, replies).step is SetupStep.STRENGTH

    told = chat.say("recent bench 80x5 2 left, squat 100x5")

    assert the(Logged, told).day == date(2026, 12, 28)
    assert the(Asked, told).step is SetupStep.SETS_NOW
    assert len(chat.sets) == 2


def test_a_set_told_while_recent_ones_are_asked_for_is_asked_about(chat: Chat) -> None:
    skipped_to_the_end(chat, begun(chat), but=SetupStep.STRENGTH)

    asked = the(Asked, chat.say("bench 80x5 2 left"))

    assert asked.about is Ask.RECENT
    recent, now = (option.command for option in asked.options)
    assert isinstance(recent, RecentSets)
    assert isinstance(now, LogSets)
    assert chat.sets == []
    assert the(Logged, chat.tap(asked, 1)).day is None


@pytest.mark.parametrize(
    ("text", "owned"),
    [("equipment dumbbells", {Equipment.DUMBBELL}), ("equipment kettlebell", {Equipment.KETTLEBELL})],
)
def test_without_a_barbell_the_main_lift_is_one_that_can_be_done(chat: Chat, text: str, owned: set[Equipment]) -> None:
    begun(chat)
    replies = chat.say(text)

    told = the(PlanTold, skipped_to_the_end(chat, replies))

    lifts = {each.exercise for day in told.days for each in day.session.lifts}
    used = {lift(name).equipment for name in lifts}
    assert used <= {*owned, Equipment.BODYWEIGHT}


def test_a_screened_lifter_is_told_whom_to_ask_first(chat: Chat) -> None:
    begun(chat)
    chat.say("equipment gym")

    replies = chat.say("screening applies")

    assert replies[0] == Noted(Screened(applies=True))
    assert setup(chat).care.screened


def test_what_is_owned_is_told_piece_by_piece(chat: Chat) -> None:
    begun(chat)
    for text in ("equipment barbell dumbbells", "bars 20 10", "plates 20 10 5 x1", "dumbbells 4 8 12"):
        chat.say(text)

    owned = setup(chat).owned

    assert isinstance(owned, Owned)
    assert owned.has == {Equipment.BARBELL, Equipment.DUMBBELL}
    assert [bar.mass.amount for bar in owned.bars if bar.equipment is Equipment.BARBELL] == [20, 10]
    assert [disc.mass.amount for disc in owned.discs] == [20, 10, 5]
    [rack] = owned.stacks
    assert rack.equipment is Equipment.DUMBBELL


def test_muscles_that_matter_and_those_left_out_never_overlap(chat: Chat) -> None:
    begun(chat)
    chat.say("matters chest lats")
    chat.say("leave out lats calves")

    wishes = setup(chat).wishes
    assert wishes.most == (Muscle.CHEST,)
    assert wishes.left_out == {Muscle.LATS, Muscle.CALVES}


def test_a_plain_yes_answers_the_word_on_health_data(chat: Chat) -> None:
    chat.say("start")

    replies = chat.say("Yes please!")

    assert in_turn(chat, lambda turn: turn.lifter.consent is not None and turn.lifter.consent.given)
    assert the(Asked, replies).step is SetupStep.EQUIPMENT


def test_a_plain_no_answers_it_too_and_a_yes_without_a_question_does_nothing(chat: Chat) -> None:
    chat.say("start")
    chat.say("nope")
    refused = the(Refused, chat.say("yes"))

    assert in_turn(chat, lambda turn: turn.lifter.consent is not None and not turn.lifter.consent.given)
    assert refused.problem.kind is ProblemKind.UNKNOWN


@pytest.mark.parametrize("text", ["idk", "I don't know", "skip", "not sure"])
def test_who_does_not_know_gets_the_careful_default_and_the_next_question(chat: Chat, text: str) -> None:
    begun(chat)
    chat.say("full gym")

    asked = the(Asked, chat.say(text))

    assert asked.step is SetupStep.SAFETIES
    assert setup(chat).care.screened


def test_an_answer_that_cannot_be_read_is_told_and_the_question_asked_again(chat: Chat) -> None:
    begun(chat)

    refused, asked = chat.say("whatever is in the cellar")

    assert isinstance(refused, Refused)
    assert isinstance(asked, Asked)
    assert asked.step is SetupStep.EQUIPMENT


def test_a_question_is_asked_again_once_for_some_go_on_with_something_else(chat: Chat) -> None:
    begun(chat)
    chat.say("whatever is in the cellar")

    (refused,) = chat.say("what is lying around")

    assert isinstance(refused, Refused)


def test_a_question_of_long_ago_is_not_asked_again_over_a_slip(chat: Chat) -> None:
    begun(chat)
    chat.now += JUST_ASKED + timedelta(seconds=1)

    (refused,) = chat.say("whatever is in the cellar")

    assert isinstance(refused, Refused)


@pytest.mark.parametrize("text", ["about 8", "8 sets", "8ish", "roughly 8 sets a week"])
def test_weekly_sets_are_told_as_people_tell_them(chat: Chat, text: str) -> None:
    skipped_to_the_end(chat, begun(chat), but=SetupStep.SETS_NOW)

    chat.say(text)

    assert {sets for _, sets in setup(chat).wishes.sets_now} == {8.0}


def question(replies: Sequence[Reply]) -> Asked:
    """The question of setting up in replies."""
    return next(each for each in replies if isinstance(each, Asked) and each.about is Ask.SETUP)


def test_what_is_told_of_the_equipment_leaves_its_question_open(chat: Chat) -> None:
    begun(chat)

    told = question(chat.say("dumbbells 5-50 by 5 lb"))

    assert told.step is SetupStep.EQUIPMENT
    assert told.noted is not None
    # Whoever loads pounds alone lifts pounds.
    assert chat.lifter is not None
    assert (chat.lifter.unit, chat.lifter.unit_told) == (Unit.LB, True)


def test_the_question_that_waits_is_asked_again_after_the_word_on_health_data(chat: Chat) -> None:
    chat.say("recent bench 60x5 2 left")
    chat.now += timedelta(minutes=5)
    consent = the(Asked, chat.say("start"))
    chat.now += timedelta(minutes=1)

    replies = chat.tap(consent, 1)

    assert question(replies).step is SetupStep.EQUIPMENT
