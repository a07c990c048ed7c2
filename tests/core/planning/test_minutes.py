from core.domain.exercises import Exercise, catalogue
from core.domain.plans import PlannedLift, Role, Scheme
from core.planning.minutes import Pace, lift_s, rest_s, session_s, set_s, warm_up_s


def lift(name: str) -> Exercise:
    found = catalogue().get(name)
    assert found is not None
    return found


BENCH, ROW, CURL = lift("bench press"), lift("barbell row"), lift("dumbbell curl")


def test_rests_follow_what_a_lift_is() -> None:
    # 3 minutes for the main lift: Schoenfeld et al. 2016, JSCR 30:1805-1812.
    assert rest_s(Role.MAIN, BENCH) == 180
    assert rest_s(Role.ROW, ROW) == 120
    assert rest_s(Role.SINGLE_JOINT, CURL) == 90


def test_one_side_at_a_time_takes_twice_as_long() -> None:
    assert set_s(10, BENCH) == 40
    assert set_s(10, lift("one-arm dumbbell row")) == 80


def test_a_lift_takes_its_warm_up_its_sets_and_the_rests_between() -> None:
    # Warm-up of 8, 5, 3, 2 and 1: 19 x 4 s and five rests of 60 s. Five sets of 5 x 4 s and four rests of 180 s.
    assert warm_up_s(Role.MAIN, BENCH) == 19 * 4 + 5 * 60
    assert lift_s(Role.MAIN, BENCH, sets=5, reps=5) == 376 + 5 * 20 + 4 * 180
    assert lift_s(Role.SINGLE_JOINT, CURL, sets=3, reps=12) == 3 * 48 + 2 * 90


def test_a_session_adds_the_changes_of_exercise() -> None:
    def planned(exercise: Exercise, role: Role, sets: int, reps: int) -> tuple[PlannedLift, Exercise]:
        scheme = Scheme(reps=reps, top=reps, left=2.0)
        return PlannedLift(exercise=exercise.name, role=role, sets=sets, scheme=scheme), exercise

    both = [planned(BENCH, Role.MAIN, 5, 5), planned(CURL, Role.SINGLE_JOINT, 3, 12)]

    assert session_s(both) == 376 + 100 + 720 + 120 + 144 + 180
    assert session_s([]) == 0
    # Back-off sets: 2 x 32 s and one rest, after one more rest instead of a change.
    back_off = planned(BENCH, Role.BACK_OFF, 2, 8)
    assert session_s([both[0], back_off]) == 1196 + 180 + 64 + 180


def test_an_own_pace_counts() -> None:
    assert lift_s(Role.MAIN, BENCH, sets=2, reps=5, pace=Pace(rep_s=3, main_rest_s=100, warm_up_rest_s=0)) == (
        19 * 3 + 2 * 15 + 100
    )
