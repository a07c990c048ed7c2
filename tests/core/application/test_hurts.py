"""What hurts acts on the session, the week and what follows; where it is kept depends on consent."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.application.block_plans import shown as shown_plan
from core.application.course import course
from core.application.turn import Turn
from core.domain.checkins import Ache
from core.domain.commands import PainAnswer
from core.domain.exercises import Pattern
from core.domain.guidance import DayChange, NoSession, NoSessionTold, TodayTold
from core.domain.plan_replies import PlanTold
from core.domain.plans import Wishes
from core.domain.prescriptions import Place
from core.domain.replies import Ask, Asked, Emergency, Guided, Logged, Nothing, NothingThere, PainAdvice
from core.planning.pain import loaded_places
from core.planning.targets import PRESSES
from tests.core.application.chats import Chat, the
from tests.core.application.guided import asked, planned_lifter, planned_today, today_told
from tests.core.application.plans import in_turn, with_plan
from tests.core.planning.gyms import lift


@pytest.fixture
def tove(chat: Chat) -> Chat:
    return planned_lifter(chat)


def left_today(turn: Turn) -> list[str]:
    planned = course(turn)
    return [] if planned is None else [each.exercise.name for each in planned.left]


def lifts(told: TodayTold) -> list[str]:
    return [each.lift.exercise for each in told.lifts]


def test_the_answer_tells_what_it_asks_for_and_then_where_it_is(tove: Chat) -> None:
    tove.say("8 rir2")
    question = asked(tove.say("something hurts"), Ask.PAIN)

    replies = tove.tap(question, 0)

    assert isinstance(replies[0], PainAdvice)
    place = asked(replies, Ask.PLACE)
    assert len(place.options) == len(Place) + 1
    assert not any(isinstance(each, PainAdvice) for each in tove.tap(place, 1))


@pytest.mark.parametrize("text", ["shoulder hurts", "sharp pain in my left shoulder", "80x5, my shoulder hurts"])
def test_a_place_that_was_told_is_not_asked_for(tove: Chat, text: str) -> None:
    question = asked(tove.say(text), Ask.PAIN)

    replies = tove.tap(question, 2)

    assert isinstance(replies[0], PainAdvice)
    assert not any(isinstance(each, Asked) and each.about is Ask.PLACE for each in replies)
    assert "bench press" not in in_turn(tove, left_today)


def test_nothing_is_offered_before_a_pain_is_told_of(tove: Chat) -> None:
    logged = the(Logged, tove.say("80x8 shoulder hurts"))

    assert logged.coming is None
    assert logged.taps is None


def test_nothing_is_added_to_a_lift_that_is_eased_for_a_place(tove: Chat) -> None:
    tove.say("consent on")
    tove.say("8 rir3")
    tove.say("pain fades shoulder")
    tove.say("swap bench for dumbbell bench press")

    assert the(NothingThere, tove.say("add set dumbbell bench press")).why is Nothing.NO_MORE_SETS


def test_what_is_left_out_for_the_week_takes_less_time(tove: Chat) -> None:
    tove.say("consent on")
    plan = in_turn(tove, lambda turn: turn.plan)
    assert plan is not None
    before = [each.session.seconds for each in in_turn(tove, lambda turn: turn.days_of_week(plan, 0))]

    tove.say("pain changes shoulder")

    after = [each.session.seconds for each in in_turn(tove, lambda turn: turn.days_of_week(plan, 0))]
    # All three days have bench presses.
    assert all(now < then for now, then in zip(after, before, strict=True))


def test_after_a_sharp_pain_lifts_come_back_eased_first(tove: Chat) -> None:
    tove.say("consent on")
    tove.say("pain sharp shoulder")
    tove.say("skip session")
    tove.now += timedelta(days=4)
    spared = today_told(tove.say("today"))
    shown = in_turn(tove, lambda turn: the(PlanTold, shown_plan(turn)))

    eased = today_told(tove.say("shoulder better"))
    better = today_told(tove.say("shoulder better"))

    assert spared.spared == (Place.SHOULDER,)
    assert "bench press" not in lifts(spared)
    assert "bench press" not in [lift.exercise for lift in shown.days[-1].session.lifts]
    assert eased.change is DayChange.BACK_EASED
    assert eased.lifts[0].lift.exercise == "bench press"
    assert eased.lifts[0].lift.sets[-1].left == 3.0  # one more than usual
    assert better.lifts[0].lift.sets[-1].left == 2.0


def test_the_same_ache_in_two_check_ins_leaves_out_what_loads_it(tove: Chat) -> None:
    tove.say("consent on")
    for _ in range(2):
        tove.now += timedelta(days=7)
        tove.say("check-in 4 4 4 4 4")
        tove.say("check-in shoulder fades")

    told = today_told(tove.say("today"))

    assert all(Place.SHOULDER not in loaded_places(lift(each)) for each in lifts(told))
    # The week after the one that the check-in was about: until the Monday that follows.
    assert told.rested == ((Place.SHOULDER, (tove.now + timedelta(days=7)).date()),)
    assert "bench press" in lifts(today_told(tove.say("shoulder better")))


def test_a_check_in_does_not_soften_a_sharp_pain(tove: Chat) -> None:
    tove.say("consent on")
    tove.say("pain sharp shoulder")

    tove.say("check-in 4 4 4 4 4")
    tove.say("check-in shoulder fades")

    assert in_turn(tove, lambda turn: [each.ache for each in turn.setup.hurting]) == [Ache.SHARP]


def test_an_ache_that_fades_keeps_the_lift_with_one_more_left_and_no_added_sets(tove: Chat) -> None:
    tove.say("8 rir3")
    replies = tove.say("pain fades shoulder")

    eased = today_told(replies)
    first = eased.lifts[0].lift

    assert eased.change is DayChange.EASED
    assert first.exercise == "bench press"
    assert first.sets[-1].left == 3.0  # two are usual
    assert the(NothingThere, tove.say("add set bench")).why is Nothing.NO_MORE_SETS
    gentler = asked(replies, Ask.SWAP)
    assert "dumbbell bench press" in [getattr(each.command, "to", None) for each in gentler.options]


def test_an_ache_that_changes_the_lift_takes_it_out_of_the_week(tove: Chat) -> None:
    replies = tove.say("pain changes shoulder")

    assert "bench press" not in lifts(today_told(replies))
    assert today_told(replies).change is DayChange.OUT_THIS_WEEK
    tove.say("skip session")
    tove.now += timedelta(days=2)
    assert "bench press" not in lifts(today_told(tove.say("today")))
    tove.now += timedelta(days=5)
    assert "bench press" in lifts(today_told(tove.say("today")))


def test_exercises_that_avoid_the_place_are_offered_and_take_its_place(tove: Chat) -> None:
    tove.now += timedelta(days=2)  # the power day has squats
    offered = asked(tove.say("pain changes knee"), Ask.SWAP)
    others = [getattr(each.command, "to", None) for each in offered.options[:-1]]

    after = today_told(tove.tap(offered, 0))

    assert all(Place.KNEE not in loaded_places(lift(str(each))) for each in others)
    assert others[0] in lifts(after)


def test_a_sharp_pain_ends_what_loads_the_place_today(tove: Chat) -> None:
    replies = tove.say("pain sharp shoulder")

    told = the(Guided, replies).told
    left = lifts(told) if isinstance(told, TodayTold) else []
    assert all(Place.SHOULDER not in loaded_places(lift(each)) for each in left)
    assert isinstance(told, TodayTold) or told == NoSessionTold(why=NoSession.EMPTY)


def test_a_pop_ends_all_pressing_today(tove: Chat) -> None:
    replies = tove.say("something popped in my pec, it is bruised")

    assert any(isinstance(each, Emergency) for each in replies)
    after = the(Guided, tove.say("today")).told
    left = lifts(after) if isinstance(after, TodayTold) else []
    assert all(lift(each).pattern not in PRESSES for each in left)
    assert all(lift(each).pattern is not Pattern.CHEST_FLY for each in left)


def test_without_consent_only_what_the_session_loses_is_kept(tove: Chat) -> None:
    tove.say("pain fades shoulder")

    assert in_turn(tove, lambda turn: turn.setup.hurting) == ()
    assert planned_today(tove).adjusted == ("ease bench press",)
    tove.say("8 rir2")
    tove.say("done 6")
    tove.now += timedelta(days=7)
    assert today_told(tove.say("today")).lifts[0].lift.sets[-1].left == 2.0


def test_with_consent_the_place_is_kept_until_it_is_better(tove: Chat) -> None:
    tove.say("consent on")
    tove.say("pain fades shoulder")
    [kept] = in_turn(tove, lambda turn: turn.setup.hurting)
    assert (kept.place, kept.ache) == (Place.SHOULDER, Ache.FADES)
    tove.say("8 rir2")
    tove.say("done 6")
    tove.now += timedelta(days=7)
    eased = today_told(tove.say("today"))

    after = today_told(tove.say("shoulder better"))

    assert eased.hurting == (Place.SHOULDER,)
    assert eased.lifts[0].lift.sets[-1].left == 3.0
    assert after.lifts[0].lift.sets[-1].left == 2.0
    assert in_turn(tove, lambda turn: turn.setup.hurting) == ()


def test_a_sharp_pain_with_consent_keeps_its_lifts_out_of_the_days_to_come(tove: Chat) -> None:
    tove.say("consent on")
    tove.say("pain sharp shoulder")
    tove.now += timedelta(days=4)

    told = the(Guided, tove.say("today")).told

    left = lifts(told) if isinstance(told, TodayTold) else []
    assert all(Place.SHOULDER not in loaded_places(lift(each)) for each in left)


def test_without_a_plan_the_answer_is_general(chat: Chat) -> None:
    assert chat.say("pain fades")[0] == PainAdvice(PainAnswer.FADES)
    assert chat.say("pain sharp shoulder")[0] == PainAdvice(PainAnswer.SHARP)


def test_talk_of_a_fast_cut_allows_no_failure_until_a_clinician_has_looked(tove: Chat) -> None:
    tove.say("starving myself to cut weight fast")
    assert in_turn(tove, lambda turn: turn.setup.cautious)

    tove.say("cleared by clinician")

    assert not in_turn(tove, lambda turn: replace(turn.setup).cautious)


@pytest.mark.parametrize("consent", ["on", "off"])
def test_on_a_day_of_rest_what_loads_a_place_that_changes_the_lifting_is_out_for_the_week(
    tove: Chat, consent: str
) -> None:
    tove.say(f"consent {consent}")
    tove.now += timedelta(days=1)
    tove.tap(asked(tove.say("my shoulder hurts"), Ask.PAIN), 1)

    tove.now += timedelta(days=1)
    wednesday = lifts(today_told(tove.say("today")))
    tove.now += timedelta(days=5)
    next_monday = lifts(today_told(tove.say("today")))

    assert wednesday
    assert not [name for name in wednesday if Place.SHOULDER in loaded_places(lift(name))]
    assert "bench press" in next_monday


def test_of_sessions_in_line_an_exercise_is_out_of_the_round_that_they_have_come_to(tove: Chat) -> None:
    with_plan(tove, Wishes(sessions=3), starts=tove.now.date() - timedelta(weeks=3))
    tove.say("bench 70x8")
    tove.tap(asked(tove.say("my shoulder hurts"), Ask.PAIN), 1)
    tove.say("done 7")

    tove.now += timedelta(days=2)

    assert "bench press" not in lifts(today_told(tove.say("today")))


def test_a_lift_that_was_left_out_today_is_not_eased_today(tove: Chat) -> None:
    tove.say("8 rir2")
    tove.say("skip bench press")

    replies = tove.say("pain fades shoulder")

    eased = [each.told for each in replies if isinstance(each, Guided) and isinstance(each.told, TodayTold)]
    assert all(each.about != "bench press" for each in eased)
