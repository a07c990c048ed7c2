"""Every command has one text, and reading it gives the command back."""

from datetime import date, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.domain.check_in_commands import (
    AnswerAdvice,
    AskReducedWeek,
    BeginCheckIn,
    ChangeAdvice,
    ChartOf,
    DrawChart,
    Felt,
    Hurts,
    PainFree,
    TellLoad,
    WhyAdvice,
)
from core.domain.checkins import Ache, Item, Tag
from core.domain.checkins import Place as AchingPlace
from core.domain.clock_commands import ShowReminders, SkipRest, UseMorning, UseQuiet, UseRest
from core.domain.commands import (
    AllWell,
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    DayOfYear,
    DaysAgo,
    Done,
    Fix,
    ForgetMe,
    Help,
    History,
    LogSets,
    Max,
    NewExercise,
    Pain,
    PainAnswer,
    Privacy,
    Same,
    Settings,
    Sign,
    Start,
    Topic,
    Undo,
    Unwell,
    UseBar,
    UseUnit,
    UseZone,
    Week,
)
from core.domain.equipment import Discs, Listed, Steps
from core.domain.exercises import Equipment, Muscle
from core.domain.link_commands import AnswerLink, GiveCode, TakeCode, Unlink
from core.domain.look_commands import CanLift, Convert, HowGood, MaxThen
from core.domain.plan_commands import (
    CheckInAt,
    ComingDay,
    LeaveOut,
    Matters,
    NewPlan,
    OwnDay,
    OwnLift,
    OwnWeek,
    Pause,
    PausedBench,
    PlanOff,
    PlatesFor,
    Prefer,
    RecentSets,
    Resume,
    Screened,
    ShowPlan,
    SkipStep,
    TagWeek,
    TakePlan,
    Taste,
    UseBars,
    UseBounds,
    UseDays,
    UseDiscs,
    UseDumbbells,
    UseEquipment,
    UseMain,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.plans import Difference
from core.domain.prescriptions import Place, Safety
from core.domain.profile import Address
from core.domain.reminders import Quiet
from core.domain.session_commands import (
    AddSet,
    AsPlanned,
    Better,
    Cue,
    FindMaximum,
    MaximumAttempt,
    Missed,
    MoveSession,
    NothingHurts,
    RepeatSession,
    Short,
    Skip,
    SpotterToday,
    Swap,
    TellCue,
    Tired,
    TiredToday,
    Today,
    Train,
    Why,
)
from core.domain.sets import Part, SetRead
from core.domain.setups import SetupStep
from core.domain.units import Load, Unit
from core.notation.canonical import canonical
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

# The unit is known, so that no load asks for it.
CODE = "bcdghjklmnpq"

CONTEXT = Context(names=catalogue_names(), unit=Unit.KG)


@pytest.mark.parametrize(
    "command",
    [
        *(Undo(), AsPlanned(), Week(), BodyMassOff(), Settings(), Privacy(), Start(), Cleared(), AllWell(), Cancel()),
        *(
            Done(),
            Done(7.0),
            Done(8.5),
            Same(),
            Same(3),
            Same(2, SetRead(reps=6, rir=1.0)),
            Same(1, SetRead(load=82.5)),
        ),
        *(Max(), Max("bench press"), History(), History("squat"), UseUnit(Unit.LB), UseUnit(Unit.KG)),
        *(
            CanLift(110.0),
            CanLift(102.5, Unit.KG, "squat"),
            MaxThen(30),
            MaxThen(365, "bench press"),
            HowGood(),
            Convert(Load(225.0, Unit.LB)),
        ),
        LogSets((SetRead(load=80.0, reps=5),), close=Done(7.0)),
        *(BodyMass(), BodyMass(Load(81.5, Unit.KG)), BodyMass(Load(180.0, Unit.LB)), UseBar(Load(15.0, Unit.KG))),
        *(Help(), *map(Help, Topic), Consent(given=True), Consent(given=False), ForgetMe(), ForgetMe(confirmed=True)),
        *(
            GiveCode(),
            TakeCode(CODE),
            TakeCode(CODE, shares=True),
            AnswerLink(CODE, yes=True),
            AnswerLink(CODE, yes=False),
        ),
        *(Unlink(), Unlink(Address("matrix", "@Tove:example.org")), Unlink(Address("telegram", "1234567"))),
        *(UseZone("Europe/Oslo"), NewExercise("tyre flip", Muscle.QUADRICEPS), NewExercise("tyre flip", None)),
        *(NewExercise("rope pull", None, Equipment.CABLE), NewExercise("burpee", Muscle.CHEST, Equipment.BODYWEIGHT)),
        *(*map(Unwell, Sign), *map(Pain, PainAnswer)),
        *(UseRest(180), UseRest(95), UseRest(None), UseQuiet(None), UseMorning(time(6, 30)), UseMorning(None)),
        *(UseQuiet(Quiet(time(22), time(7))), UseQuiet(Quiet(time(22, 30), time(6, 45))), ShowReminders(), SkipRest()),
        *(Pain(answer, place) for answer in PainAnswer for place in Place),
        *(
            Today(),
            AsPlanned(),
            AsPlanned(fewer=1),
            AsPlanned(fewer=2),
            Missed(),
            Why(),
            SpotterToday(),
            NothingHurts(),
        ),
        *(
            Swap("barbell row"),
            Swap("barbell row", "one-arm dumbbell row"),
            Skip(),
            Skip("barbell row"),
            Skip(whole=True),
        ),
        *(MoveSession(), *map(MoveSession, range(7)), *map(Train, range(7)), Short(30), AddSet(), AddSet("squat")),
        *(RepeatSession(), *map(RepeatSession, range(7)), TiredToday(), *map(TiredToday, Tired)),
        *(TellCue(), *map(TellCue, Cue), *map(Better, Place), FindMaximum(), FindMaximum("bench press")),
        *(
            MaximumAttempt("bench press", 1, Load(100.0, Unit.KG)),
            MaximumAttempt("bench press", 2, Load(102.5, Unit.KG), made=True),
            MaximumAttempt("bench press", 3, Load(227.5, Unit.LB), made=False),
        ),
        *(Fix((SetRead(rir=1.0),)), Fix((SetRead(load=82.5, reps=5),)), Fix((SetRead(failed=True),))),
        *(BeginCheckIn(), PainFree(), TellLoad(), AskReducedWeek(), WhyAdvice()),
        *(AnswerAdvice(taken=True), AnswerAdvice(taken=False)),
        *(Felt(((item, 1),)) for item in Item),
        *(Felt(((Item.SLEEP, 4), (Item.MOOD, 2))), Felt(tuple((item, 5) for item in Item))),
        *(Hurts(place) for place in AchingPlace),
        *(Hurts(place, ache) for place in AchingPlace for ache in Ache),
        *(ChangeAdvice(muscle) for muscle in Muscle),
        *(ChangeAdvice(Muscle.UPPER_BACK, 12), ChangeAdvice(Muscle.CHEST, 0)),
        *(DrawChart(of) for of in ChartOf),
        DrawChart(ChartOf.ESTIMATE, "bench press"),
        Fix((SetRead(exercise="squat"),)),
        Fix((SetRead(warmup=True),)),
        LogSets((SetRead(load=80.0, reps=5),), DaysAgo(1)),
        LogSets((SetRead(load=80.0, reps=5),), DaysAgo(4)),
        LogSets((SetRead(load=80.0, reps=5),), DaysAgo(weekday=6)),
        LogSets((SetRead(load=80.0, reps=5),), DayOfYear(month=2, day=29)),
        LogSets((SetRead(load=80.0, reps=5),), date(2027, 1, 3)),
    ],
    ids=canonical,
)
def test_a_command_comes_back_from_its_text(command: Command) -> None:
    assert read(canonical(command), CONTEXT).outcome == command


@pytest.mark.parametrize(
    "command",
    [
        *(*map(SkipStep, SetupStep), Screened(applies=True), Screened(applies=False), *map(UseSafety, Safety)),
        *(UseDays((0,)), UseDays((0, 1, 2, 3, 4, 5, 6)), UseSessions(3), UseMinutes(45), UseBounds(4, 16)),
        *(
            UseEquipment(None),
            UseEquipment(None, Unit.LB),
            UseEquipment(frozenset({Equipment.TRAP_BAR, Equipment.DUMBBELL, Equipment.BARBELL})),
        ),
        *(UseEquipment(frozenset({kind})) for kind in Equipment),
        UseBars((Load(20.0, Unit.KG), Load(22.05, Unit.LB))),
        UseBars((Load(20.0, Unit.KG),)),
        UseDiscs((Discs(Load(20.0, Unit.KG), 1),)),
        UseDiscs((Discs(Load(20.0, Unit.KG), 2), Discs(Load(1.25, Unit.KG), 1), Discs(Load(2.5, Unit.LB), 20))),
        UseDumbbells(Steps(Load(5.0, Unit.KG), Load(40.0, Unit.KG), Load(2.5, Unit.KG))),
        UseDumbbells(Listed((Load(10.0, Unit.LB), Load(25.0, Unit.LB)))),
        *(UseMain("squat"), *(Matters((muscle,)) for muscle in Muscle), Matters((Muscle.UPPER_BACK, Muscle.CHEST))),
        *(
            LeaveOut(()),
            LeaveOut((Muscle.FRONT_SHOULDERS, Muscle.CALVES)),
            *(Prefer("leg press", each) for each in Taste),
        ),
        *(UseSetsNow(8), UseSetsNow(8, Muscle.SIDE_SHOULDERS), PausedBench(paused=True), PausedBench(paused=False)),
        *(CheckInAt(6, None), CheckInAt(0, time(18, 0)), ShowPlan(), NewPlan()),
        *(
            *map(TakePlan, Difference),
            PlanOff(),
            Resume(),
            *(TagWeek(tag, on=on) for tag in Tag for on in (True, False)),
        ),
        *(Pause(), Pause(date(2027, 5, 3)), Pause(ComingDay(month=2, day=29)), Pause(ComingDay(weekday=6))),
        *(Pause(ComingDay(days=14)), PlatesFor(Load(92.5, Unit.KG)), PlatesFor(Load(200.0, Unit.LB))),
        RecentSets((SetRead(exercise="bench press", load=80.0, reps=5, rir=2.0),)),
        OwnWeek(
            (
                OwnDay(0, (OwnLift("bench press", 5, 5, 2.0), OwnLift("barbell row", 3, 8))),
                OwnDay(3, (OwnLift("squat", 3, 5),)),
            )
        ),
    ],
    ids=canonical,
)
def test_a_command_about_the_plan_comes_back_from_its_text(command: Command) -> None:
    text = canonical(command)

    assert "\n" not in text
    assert read(text, CONTEXT).outcome == command


def _only_drops(read_set: SetRead) -> bool:
    """Whether no part is heavier than the one before it: what goes up is another set."""
    loads = [each.load for each in read_set.parts if each.load is not None]
    return not loads or (read_set.load or 0.0) >= loads[0]


def sets() -> st.SearchStrategy[SetRead]:
    """Sets as reading gives them, of a barbell lift."""
    loads = st.sampled_from([20.0, 42.5, 60.0, 82.5, 100.0, 225.0])
    reps = st.integers(1, 30)
    effort = st.sampled_from(
        [
            {},
            {"rir": 2.0},
            {"rir": 1.5, "at_least": True},
            {"rpe": 8.5},
            {"rpe": 8.0, "at_least": True},
            {"rpe": 6.0, "at_least": True},
        ]
    )
    kind = st.sampled_from(
        [
            {},
            {"warmup": True},
            {"failed": True},
            {"per_side": True},
            {"helped": True},
            {"measured": True},
            {"parts": (Part(None, 3), Part(None, 2))},
            {"parts": (Part(None, 3),)},
            {"parts": (Part(40.0, 8), Part(30.0, 8))},
        ]
    )
    return st.builds(
        lambda load, count, told, also: SetRead(exercise="bench press", load=load, reps=count, **told, **also),
        loads,
        reps,
        effort,
        kind,
    ).filter(_only_drops)


@settings(max_examples=150)
@given(st.lists(sets(), min_size=1, max_size=6).map(tuple))
def test_sets_come_back_from_their_text(read_sets: tuple[SetRead, ...]) -> None:
    command = LogSets(read_sets)

    text = canonical(command)

    assert "\n" not in text
    assert read(text, CONTEXT).outcome == command


@pytest.mark.parametrize(
    "one",
    [
        SetRead(exercise="pull-up", load=10.0, unit=Unit.KG, reps=8, bodyweight=True),
        SetRead(exercise="pull-up", load=-20.0, reps=8, bodyweight=True),
        SetRead(exercise="pull-up", reps=8, bodyweight=True),
        SetRead(exercise="bench press", reps=10, bar=True),
        SetRead(exercise="bench press", load=20.0, reps=8, load_per_side=True),
        SetRead(exercise="bench press", load=2.0, reps=5, load_per_side=True, plates=True),
        SetRead(exercise="bench press", load=2.5, reps=5, step=True),
        SetRead(exercise="bench press", load=100.0, reps=0, failed=True),
        SetRead(exercise="bench press", load=100.0),
        SetRead(exercise="plank", seconds=90.0, bodyweight=True),
        SetRead(exercise="farmer's walk", load=40.0, unit=Unit.KG, seconds=30.0),
        SetRead(exercise="dumbbell curl", load=8.0, reps=20),
        SetRead(exercise="tyre flip", reps=9),
        SetRead(load=8.0, reps=5),
    ],
    ids=lambda one: canonical(LogSets((one,))),
)
def test_a_set_of_any_kind_comes_back_from_its_text(one: SetRead) -> None:
    command = LogSets((one,))

    assert read(canonical(command), CONTEXT).outcome == command
