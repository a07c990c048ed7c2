"""Settings in words: what is set, and the text that changes each, on one screen."""

from bot.rendering.phone import WEEKDAYS, load
from core.domain.replies import SettingsTold
from core.domain.setups import Setup
from core.domain.units import Unit
from core.notation.canonical_plans import clock


def text(reply: SettingsTold) -> str:
    """What is set and how to change it, one line a matter."""
    lifter, setup = reply.lifter, reply.setup
    wishes = setup.wishes
    given = lifter.consent is not None and lifter.consent.given
    other = Unit.LB if lifter.unit is Unit.KG else Unit.KG
    days = " ".join(WEEKDAYS[day] for day in wishes.days) or f"{wishes.sessions} a week, next in line"
    left_out = f", without {', '.join(sorted(wishes.left_out))}" if wishes.left_out else ""
    bounds = f"{wishes.floor} to {wishes.ceiling}"
    most = ", ".join(wishes.most) or "nothing"
    screening = "not clear" if setup.care.screened else "clear"
    check_in = "off" if setup.check_in_at is None else f"{WEEKDAYS[setup.check_in_day]} {clock(setup.check_in_at)}"
    return "\n".join(
        [
            f"{days}, {wishes.minutes} min: `days mon thu`, `sessions 3`, `minutes 60`",
            f"main lift {wishes.main}; {most} first{left_out}: `matters back`, `leave out calves`, `main lift squat`",
            f"{_tastes(setup)}, {bounds} sets: `ban`, `like`, `allow`, `bounds 4-16`, `sets chest 8`",
            f"{_gear(setup)}, bar {load(lifter.bar)}: `equipment gym`, `bar 15 kg`, `plates 20 10 x2`, `dumbbells 5-40`",
            f"pressing heavy: {setup.care.safety}; screening {screening}: `safety arms`, `screening clear`",
            f"morning {clock(reply.morning)}, check-in {check_in}: `morning 7:00`, `check-in sun 18:00`",
            f"{lifter.unit}, {lifter.zone}: `units {other}`, `zone London`",
            f"health data {'kept' if given else 'not kept'}: `consent {'off' if given else 'on'}`, `privacy`",
        ]
    )


def _gear(setup: Setup) -> str:
    if setup.owned is None:
        return "a full gym"
    kinds = sorted(setup.owned.has)
    return ", ".join(kinds) if len(kinds) <= 4 else "a gym of your own"


def _tastes(setup: Setup) -> str:
    wishes = setup.wishes
    told = [f"no {name}" for name in sorted(wishes.banned)] + [f"likes {name}" for name in sorted(wishes.liked)]
    return ", ".join(told[:3]) + (", ..." if len(told) > 3 else "") if told else "every exercise"
