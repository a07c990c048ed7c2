"""Settings: what a lifter says about how they train, taken over one by one; the weeks to come follow."""

from dataclasses import replace
from typing import assert_never

from core.application import away, block_plans, setting_up
from core.application.account import HEAVIEST_BAR_KG, LIGHTEST_BAR_KG
from core.application.replanning import session_anew
from core.application.turn import Turn
from core.domain.equipment import Bar, Owned, Stack, Steps
from core.domain.exercises import Equipment
from core.domain.plan_commands import (
    CheckInAt,
    LeaveOut,
    Matters,
    NewPlan,
    OwnWeek,
    Pause,
    PausedBench,
    PlanCommand,
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
from core.domain.plan_replies import Noted, PlanRefusal, PlanRefused
from core.domain.plans import Wishes
from core.domain.replies import Acknowledged, Done, Reply
from core.domain.setups import SetupStep
from core.domain.units import Unit
from core.planning.targets import MUSCLES


def told(turn: Turn, command: PlanCommand) -> list[Reply]:
    """Do what a command about the plan says."""
    match command:
        case SkipStep():
            return setting_up.skip(turn, command)
        case RecentSets():
            replies = setting_up.recent(turn, command)
            more = setting_up.answered(turn, SetupStep.STRENGTH, None)
            return [*replies, *(more if more is not None else setting_up.next_question(turn) if not turn.plan else [])]
        case ShowPlan():
            return block_plans.shown(turn)
        case NewPlan():
            return block_plans.offered(turn)
        case TakePlan():
            return block_plans.taken(turn, command)
        case PlanOff():
            return block_plans.ended(turn)
        case OwnWeek():
            return block_plans.own_week(turn, command)
        case Pause():
            return away.pause(turn, command)
        case Resume():
            return away.resume(turn)
        case TagWeek():
            return away.tag(turn, command)
        case PlatesFor():
            return block_plans.plates(turn, command)
        case Screened():
            return _screened(turn, command)
        case _:
            return _set(turn, command)


Setting = (
    UseSafety
    | UseDays
    | UseSessions
    | UseMinutes
    | UseEquipment
    | UseBars
    | UseDiscs
    | UseDumbbells
    | UseMain
    | Matters
    | LeaveOut
    | Prefer
    | UseSetsNow
    | UseBounds
    | PausedBench
    | CheckInAt
)


def _set(turn: Turn, command: Setting) -> list[Reply]:
    before = turn.setup
    refused = _taken_over(turn, command)
    if refused is not None:
        return [refused]
    step, under_way = _STEPS.get(type(command)), before.asked
    asked = setting_up.answered(turn, step, command)
    if asked is not None:
        return asked
    if under_way is SetupStep.EQUIPMENT and isinstance(command, UseBars | UseDiscs | UseDumbbells):
        # More of it may follow; what it is told with still waits for a tap.
        return setting_up.next_question(turn, noted=command)
    if under_way is not None:
        # The question that waits stands above, with its taps.
        return [Noted(command)]
    changed = turn.setup
    if changed.care != before.care:
        return [Noted(command), *session_anew(turn)]
    if (changed.wishes, changed.owned) == (before.wishes, before.owned):
        return [Noted(command)]
    return [Noted(command), *block_plans.followed(turn)]


_STEPS = {
    UseSafety: SetupStep.SAFETIES,
    UseDays: SetupStep.DAYS,
    UseSessions: SetupStep.DAYS,
    UseMinutes: SetupStep.MINUTES,
    UseEquipment: SetupStep.EQUIPMENT,
    Matters: SetupStep.MATTERS,
    UseSetsNow: SetupStep.SETS_NOW,
}
"""Questions of setting up that a setting answers."""


def _taken_over(turn: Turn, command: Setting) -> PlanRefused | None:
    setup = turn.setup
    match command:
        case UseSafety(safety=safety):
            turn.settle_setup(replace(setup, care=replace(setup.care, safety=safety)))
        case PausedBench(paused=paused):
            turn.settle_setup(replace(setup, paused_bench=paused))
        case CheckInAt(day=day, at=at):
            turn.settle_setup(replace(setup, check_in_day=day, check_in_at=at))
        case UseEquipment() | UseBars() | UseDiscs() | UseDumbbells():
            return _owned(turn, command)
        case UseMain() | Prefer():
            return _tasted(turn, command)
        case UseDays() | UseSessions() | UseMinutes() | Matters() | LeaveOut() | UseSetsNow() | UseBounds():
            turn.settle_setup(replace(setup, wishes=_wished(setup.wishes, command)))
        case _:
            assert_never(command)
    return None


def _wished(
    wishes: Wishes, command: UseDays | UseSessions | UseMinutes | Matters | LeaveOut | UseSetsNow | UseBounds
) -> Wishes:
    match command:
        case UseDays(days=days):
            return replace(wishes, days=days, sessions=0, pressing_days=_pressing(wishes, len(days)))
        case UseSessions(count=count):
            return replace(wishes, days=(), sessions=count, pressing_days=_pressing(wishes, count))
        case UseMinutes(minutes=minutes):
            return replace(wishes, minutes=minutes)
        case Matters(muscles=muscles):
            return replace(wishes, most=muscles, left_out=wishes.left_out - frozenset(muscles))
        case LeaveOut(muscles=muscles):
            most = tuple(muscle for muscle in wishes.most if muscle not in muscles)
            return replace(wishes, left_out=frozenset(muscles), most=most)
        case UseSetsNow(sets=sets, muscle=told_muscle):
            muscles = MUSCLES if told_muscle is None else (told_muscle,)
            rest = tuple(each for each in wishes.sets_now if each[0] not in muscles)
            return replace(wishes, sets_now=(*rest, *((muscle, float(sets)) for muscle in muscles)))
        case UseBounds(floor=floor, ceiling=ceiling):
            return replace(wishes, floor=floor, ceiling=ceiling)
        case _:
            assert_never(command)


def _pressing(wishes: Wishes, days: int) -> int | None:
    """Pressing days as they were wished, where there are as many days."""
    return None if wishes.pressing_days is None or wishes.pressing_days > days else wishes.pressing_days


def _tasted(turn: Turn, command: UseMain | Prefer) -> PlanRefused | None:
    wishes, name = turn.setup.wishes, command.exercise
    exercise = turn.lifts.get(name)
    if exercise is None:
        return PlanRefused(PlanRefusal.NOT_IN_CATALOGUE, name)
    if isinstance(command, UseMain):
        if not exercise.multi_joint or exercise.assisted or exercise.timed or exercise.one_side:
            return PlanRefused(PlanRefusal.NOT_A_MAIN_LIFT, name)
        wishes = replace(wishes, main=name, banned=wishes.banned - {name})
    else:
        if command.taste is Taste.BAN and name == wishes.main:
            return PlanRefused(PlanRefusal.IS_MAIN_LIFT, name)
        banned, liked = wishes.banned - {name}, wishes.liked - {name}
        banned |= {name} if command.taste is Taste.BAN else frozenset()
        liked |= {name} if command.taste is Taste.LIKE else frozenset()
        wishes = replace(wishes, banned=banned, liked=liked)
    turn.settle_setup(replace(turn.setup, wishes=wishes))
    return None


def _owned(turn: Turn, command: UseEquipment | UseBars | UseDiscs | UseDumbbells) -> PlanRefused | None:
    if isinstance(command, UseEquipment) and command.unit is not None:
        turn.settle(replace(turn.lifter, unit=command.unit, unit_told=True))
    if not isinstance(command, UseEquipment) and not turn.lifter.unit_told and _in_pounds(command):
        # Whoever loads pounds alone lifts pounds; kilograms are what holds anyway.
        turn.settle(replace(turn.lifter, unit=Unit.LB, unit_told=True))
    if isinstance(command, UseBars) and not all(LIGHTEST_BAR_KG <= bar.kg <= HEAVIEST_BAR_KG for bar in command.bars):
        return PlanRefused(PlanRefusal.NO_SUCH_BAR)
    if isinstance(command, UseBars):
        turn.settle(replace(turn.lifter, bar=command.bars[0]))
    try:
        owned = _owning(turn, command)
    except ValueError:
        # More kinds or more pairs than can be listed: what was told is refused as it is.
        return PlanRefused(PlanRefusal.TOO_MANY_LOADS)
    turn.settle_setup(replace(turn.setup, owned=owned))
    return None


def _in_pounds(command: UseBars | UseDiscs | UseDumbbells) -> bool:
    """Whether all of what was told is in pounds."""
    match command:
        case UseBars(bars=bars):
            loads = bars
        case UseDiscs(discs=discs):
            loads = tuple(each.mass for each in discs)
        case UseDumbbells(loads=told):
            loads = (told.lightest, told.heaviest) if isinstance(told, Steps) else told.loads
        case _:
            assert_never(command)
    return all(each.unit is Unit.LB for each in loads)


def _owning(turn: Turn, command: UseEquipment | UseBars | UseDiscs | UseDumbbells) -> Owned | None:
    now = turn.setup.gym(turn.unit)
    match command:
        case UseEquipment(has=None):
            return None
        case UseEquipment(has=has):
            usual = replace(turn.setup, owned=None).gym(turn.unit)
            told = turn.setup.owned
            bars = usual.bars if told is None or told.unit is not turn.unit else told.bars
            kinds = {bar.equipment for bar in bars}
            bars += tuple(bar for bar in usual.bars if bar.equipment not in kinds)
            discs = usual.discs if told is None or told.unit is not turn.unit else told.discs
            return Owned(unit=turn.unit, has=has or frozenset(), bars=bars, discs=discs, stacks=now.stacks)
        case UseBars(bars=told_bars):
            others = tuple(bar for bar in now.bars if bar.equipment is not Equipment.BARBELL)
            bars = (*(Bar(mass) for mass in told_bars), *others)
            return replace(now, bars=bars, has=now.has | {Equipment.BARBELL})
        case UseDiscs(discs=told_discs):
            return replace(now, discs=told_discs)
        case UseDumbbells(loads=loads):
            others_ = tuple(stack for stack in now.stacks if stack.equipment is not Equipment.DUMBBELL)
            stacks = (*others_, Stack(loads, Equipment.DUMBBELL))
            return replace(now, stacks=stacks, has=now.has | {Equipment.DUMBBELL})
        case _:
            assert_never(command)


def _screened(turn: Turn, command: Screened) -> list[Reply]:
    if turn.lifter.consent is None or not turn.lifter.consent.given:
        return [Acknowledged(Done.NEEDS_CONSENT)]
    setup = turn.setup
    care = replace(setup.care, screened=command.applies)
    turn.settle_setup(replace(setup, care=care, screened_on=turn.today))
    asked = setting_up.answered(turn, SetupStep.SCREENING, command)
    anew = session_anew(turn) if setup.asked is None and setup.care != care else []
    return [Noted(command), *(asked or []), *anew] if command.applies or asked is None else asked
