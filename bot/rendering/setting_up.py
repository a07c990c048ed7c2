"""Setting up in words: each question on a few lines, a short label for each answer."""

from typing import assert_never

from bot.rendering.phone import WEEKDAYS
from core.domain.plan_commands import (
    Matters,
    PlanCommand,
    RecentSets,
    Screened,
    SkipStep,
    TakePlan,
    UseDays,
    UseEquipment,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.prescriptions import Safety
from core.domain.replies import Asked
from core.domain.setups import SetupStep
from core.notation.messages import canonical


def question(asked: Asked) -> str:
    """A question of setting up; what was answered just before stands above it."""
    noted = "" if asked.noted is None else f"noted: {canonical(asked.noted)}\n"
    return noted + (_text(asked.step, asked.word) if asked.step is not None else "")


def _text(step: SetupStep, zone: str) -> str:
    match step:
        case SetupStep.EQUIPMENT | SetupStep.UNITS:
            return (
                "what do you train with? Tap, or list it: `barbell, dumbbells, cable`\n"
                "few plates? `plates 20 10 5 2.5 1.25 x2`, `bars 20 15`, `dumbbells 5-40 by 2.5`"
            )
        case SetupStep.SCREENING:
            return (
                "does any of this apply? Heart trouble, stroke, diabetes or another metabolic illness, kidney disease; "
                "chest pain or fainting; medicine for blood pressure, heart or blood, or insulin; a recent operation, "
                "hernia, eye disease; a joint or muscle that lifting makes worse; pregnancy or a recent birth; under "
                "18; told to train supervised\n"
                "one answer for all of it: which one is never asked or kept. Skipped counts as yes"
            )
        case SetupStep.SAFETIES:
            return (
                "when you press heavy: safety arms just under chest height (above the neck, clear of the chest), a "
                "spotter, or neither? Skipped counts as neither"
            )
        case SetupStep.DAYS:
            return "which days? Tap, or text them: `mon wed fri`. No fixed days: so many a week, next in line"
        case SetupStep.MINUTES:
            return "how long may a session take? Skipped: 60 minutes"
        case SetupStep.MATTERS:
            return (
                "what matters most? Tap, or text muscles: `chest back`\n"
                "`leave out calves`, `ban leg press`, `like barbell row` work any time"
            )
        case SetupStep.STRENGTH:
            return (
                "a good set of the last weeks for each lift you know, reps left if you can tell:\n"
                "`recent bench 80x5 2 left, squat 100x5`\n"
                "don't know? The first week finds the loads"
            )
        case SetupStep.SETS_NOW:
            return (
                "how many hard sets a week does a muscle get now, about? One muscle: `sets chest 8`\n"
                "do you pause your bench on the chest? `paused bench`"
            )
        case SetupStep.TIMES:
            return (
                f"when shall the day's session come? Your clock is {zone}; if not: `zone London` or `zone +2`\n"
                "the check-in comes Sundays at 18:00: `check-in sat 10:00`"
            )
        case _:
            assert_never(step)


def label(command: PlanCommand) -> str:
    """A short label for an answer."""
    match command:
        case SkipStep(step=SetupStep.STRENGTH | SetupStep.SETS_NOW):
            return "don't know"
        case SkipStep():
            return "skip"
        case UseEquipment(has=has, unit=unit):
            told = "a full gym" if has is None else " and ".join(f"{kind}s" for kind in sorted(has))
            return told + ("" if unit is None else f", {unit}")
        case Screened(applies=applies):
            return "something does" if applies else "none of it"
        case UseSafety(safety=safety):
            return {Safety.ARMS: "safety arms", Safety.SPOTTER: "a spotter"}.get(safety, "neither")
        case UseDays(days=days):
            return " ".join(WEEKDAYS[day] for day in days)
        case UseSessions(count=count):
            return f"{count} a week, next in line"
        case UseMinutes(minutes=minutes):
            return f"{minutes} min"
        case Matters(muscles=muscles):
            return ", ".join(muscles)
        case UseSetsNow(sets=sets):
            return f"about {sets}"
        case RecentSets():
            return "a recent set, not today's"
        case TakePlan():
            return canonical(command)
        case _:
            return canonical(command)
