"""What every engine must do alike: check-ins, and the advice given after them with its trace and its answer."""

from dataclasses import replace
from datetime import date, timedelta

from core.application.ports import Store
from core.domain.advice import Action, Advice, AdviceAnswer, Fact, Figure, GivenAdvice, Look, Rule
from core.domain.checkins import Ache, CheckIn, Item, Pain, Place, Tag
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from tests.core.storage.rows import KIM, NOW, TODAY, done, new_lifter
from tests.core.storage.test_contract_plans import BLOCK, SETUP

WEEK = timedelta(weeks=1)

CHECK_IN = CheckIn(
    week=TODAY,
    answers={Item.ENERGY: 3, Item.MOOD: 5},
    pains=(Pain(Place.SHOULDER, Ache.FADES), Pain(Place.LOWER_BACK, Ache.SHARP)),
    body_mass_kg=81.5,
)

ADVICE = Advice(
    muscle=Muscle.CHEST,
    rule=Rule.PAIN,
    besides=Rule.TOO_MUCH,
    action=Action.KEEP_WITH_CARE,
    change=-2,
    sets=8,
    reasons=(2, 3),
    waits_for=Muscle.LATS,
    explained_by=frozenset({Tag.NIGHTS}),
    trace=(
        Look(Rule.WARNING_SIGN, applies=False, figures=(Figure(Fact.WARNED, value=False, met=False),)),
        Look(Rule.PAIN, applies=True, figures=(Figure(Fact.ACHE, Ache.FADES, met=True),), declined=True),
        Look(Rule.TOO_MUCH, applies=True, figures=(Figure(Fact.STEPS, -2.5, met=True, bound=0.0),)),
        Look(Rule.TOO_EARLY, applies=True, figures=(Figure(Fact.WEEKS_SINCE_CUT, None, met=True, bound=2),)),
    ),
)

GIVEN = GivenAdvice(week=TODAY, given_at=NOW, advice=ADVICE, from_sets=10)


def test_every_field_of_a_check_in_is_kept(store: Store) -> None:
    lifter = new_lifter(store)

    done(store, lambda work: work.check_ins.save(lifter.id, CHECK_IN))

    kept = done(store, lambda work: work.check_ins.get(lifter.id, TODAY))
    assert kept == CHECK_IN


def test_nothing_hurts_is_another_thing_than_not_answered(store: Store) -> None:
    lifter = new_lifter(store)
    told, silent = CheckIn(week=TODAY, pains=()), CheckIn(week=TODAY + WEEK)

    done(store, lambda work: work.check_ins.save(lifter.id, told))
    done(store, lambda work: work.check_ins.save(lifter.id, silent))

    assert done(store, lambda work: work.check_ins.since(lifter.id, TODAY)) == [told, silent]


def test_a_check_in_is_changed_in_its_place_and_is_nobody_else_s(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM, name="Kim")
    done(store, lambda work: work.check_ins.save(lifter.id, CHECK_IN))
    better = CHECK_IN.with_answer(Item.ENERGY, 4)

    done(store, lambda work: work.check_ins.save(lifter.id, better))

    assert done(store, lambda work: work.check_ins.since(lifter.id, date.min)) == [better]
    assert done(store, lambda work: work.check_ins.get(other.id, TODAY)) is None


def test_check_ins_come_from_a_week_on_oldest_first(store: Store) -> None:
    lifter = new_lifter(store)
    weeks = [CheckIn(week=TODAY + number * WEEK, answers={Item.SLEEP: 4}) for number in range(3)]
    for each in reversed(weeks):
        done(store, lambda work, each=each: work.check_ins.save(lifter.id, each))  # type: ignore[misc]  # mypy reads no default of a lambda

    assert done(store, lambda work: work.check_ins.since(lifter.id, TODAY + WEEK)) == weeks[1:]


def test_every_field_of_given_advice_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    answered = replace(GIVEN, advice=replace(ADVICE, muscle=Muscle.LATS), answer=AdviceAnswer.CHANGED, to_sets=9)

    done(store, lambda work: work.advice.save(lifter.id, [GIVEN, answered]))

    assert done(store, lambda work: work.advice.since(lifter.id, TODAY)) == [GIVEN, answered]


def test_an_answer_stands_in_place_of_none_and_is_nobody_else_s(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM, name="Kim")
    done(store, lambda work: work.advice.save(lifter.id, [GIVEN]))
    declined = replace(GIVEN, answer=AdviceAnswer.DECLINED)

    done(store, lambda work: work.advice.save(lifter.id, [declined]))

    assert done(store, lambda work: work.advice.since(lifter.id, date.min)) == [declined]
    assert done(store, lambda work: work.advice.since(lifter.id, TODAY + WEEK)) == []
    assert done(store, lambda work: work.advice.since(other.id, date.min)) == []


def test_erasing_takes_one_lifter_s_and_leaves_the_others(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM, name="Kim")
    for each in (lifter, other):
        done(store, lambda work, each=each: work.check_ins.save(each.id, CHECK_IN))  # type: ignore[misc]  # as above
        done(store, lambda work, each=each: work.advice.save(each.id, [GIVEN]))  # type: ignore[misc]  # as above

    done(store, lambda work: work.check_ins.erase(lifter.id))
    done(store, lambda work: work.advice.erase(lifter.id))

    assert done(store, lambda work: work.check_ins.since(lifter.id, date.min)) == []
    assert done(store, lambda work: work.advice.since(lifter.id, date.min)) == []
    assert done(store, lambda work: work.check_ins.since(other.id, date.min)) == [CHECK_IN]
    assert done(store, lambda work: work.advice.since(other.id, date.min)) == [GIVEN]


def test_a_forgotten_lifter_s_check_ins_go_with_them(store: Store) -> None:
    lifter = new_lifter(store)
    done(store, lambda work: work.check_ins.save(lifter.id, CHECK_IN))
    done(store, lambda work: work.advice.save(lifter.id, [GIVEN]))

    done(store, lambda work: work.lifters.erase(lifter.id))

    assert done(store, lambda work: work.check_ins.since(lifter.id, date.min)) == []
    assert done(store, lambda work: work.advice.since(lifter.id, date.min)) == []


def test_weeks_reduced_ahead_are_kept_with_the_plan(store: Store) -> None:
    lifter = new_lifter(store)
    made = Plan(lifter_id=lifter.id, starts=TODAY, made_at=NOW, block=BLOCK, wishes=SETUP.wishes, relieved=(2,))
    plan = done(store, lambda work: work.plans.add(made))
    before = done(store, lambda work: work.plans.current(lifter.id))

    done(store, lambda work: work.plans.relieve(plan.id, (2, 7)))

    after = done(store, lambda work: work.plans.current(lifter.id))
    assert before == plan
    assert after == replace(plan, relieved=(2, 7))
