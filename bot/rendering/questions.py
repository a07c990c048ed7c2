"""Questions in words: what is asked, and a short label for each answer."""

import re
from typing import assert_never

from bot.rendering import advice, check_ins, linking, plans, setting_up
from bot.rendering.phone import DAYS, figure
from bot.rendering.session_labels import session_label
from core.domain.check_in_commands import AnswerAdvice, BeginCheckIn, ChangeAdvice, Felt, Hurts, PainFree
from core.domain.checkins import Item
from core.domain.clock_commands import UseMorning
from core.domain.commands import (
    AllWell,
    BodyMass,
    Cancel,
    Command,
    Consent,
    Doubt,
    Fix,
    ForgetMe,
    LogSets,
    NewExercise,
    Pain,
    PainAnswer,
    Unwell,
    UseZone,
)
from core.domain.link_commands import LinkCommand
from core.domain.plan_commands import PlanCommand, TakePlan
from core.domain.replies import Ask, Asked
from core.notation.messages import canonical


def text(asked: Asked) -> str:
    """The question in one or two lines."""
    word = asked.word
    match asked.about:
        case Doubt.UNIT:
            return f"is `{word}` kilograms or pounds?"
        case Doubt.ORDER:
            return f"`{word}`: which is it?"
        case Doubt.AT:
            return f"what does `{word}` say?"
        case Doubt.HELP:
            return f"`{word}`: how many did you do alone?"
        case Doubt.BODY:
            return f"`{word}`: reps with body mass, or your body mass?"
        case Doubt.PAIR:
            return f"`{word}`: which is which?"
        case Doubt.NAME:
            return f"which one is `{word}`?"
        case Doubt.SIDE:
            return f"{word}, a load told for one side: with the bar on top?"
        case Doubt.OTHER:
            return f"how is `{word}` meant?"
        case Ask.CONSENT:
            return "may health data (body mass, check-ins, pain) be kept too? Everything else works without"
        case Ask.FORGET:
            chats = round(dict(asked.figures).get("chats", 1))
            shared = f" It goes from all {chats} chats that share it" if chats > 1 else ""
            return f"erase everything of yours for good?{shared}"
        case Ask.EXERCISE:
            return f"`{word}` is new to me. What does it train most?"
        case Ask.SIGN:
            return f"`{word}`: is something wrong with you right now?"
        case Ask.PAIN:
            return f"`{word}`: how does it behave? (the log is kept either way)"
        case Ask.HEAVY:
            figures = dict(asked.figures)
            return (
                f"that would make your {word} max about {figure(figures['implied'], digits=0)} {asked.unit}, far above "
                f"{figure(figures['high'], digits=0)}. Did it happen like that?"
            )
        case Ask.MEASURED:
            return f"take this as your measured {word} maximum? It then outweighs the estimate"
        case Ask.BODY_MASS:
            return "body mass is health data: may it be kept?"
        case Ask.LEFT:
            return "reps left?"
        case Ask.PLANNED_SET:
            return f"{word}: how did it go?"
        case Ask.REPS_MADE:
            return f"how many reps of {word} did you make?"
        case Ask.LAST_REP:
            return f"{word}: were {figure(dict(asked.figures)['told'])} made before the miss, or did you count it?"
        case Ask.SESSION_EFFORT:
            return "how hard was the session as a whole, from 0 to 10?"
        case Ask.WHICH_SESSION:
            return f"is this {DAYS[int(word)]}'s session?"
        case Ask.SWAP:
            return f"what in place of {word} today?"
        case Ask.SKIP:
            return "skip what?"
        case Ask.TIRED:
            return "tired: how shall today be?"
        case Ask.CUE:
            return "which one fails at times?"
        case Ask.HURTS:
            return f"{word}: that is far below what I expected. Does something hurt?"
        case Ask.PLACE:
            return "where is it?"
        case Ask.WHICH_LIFT:
            return f"`{word}`: of which lift?"
        case Ask.ATTEMPT:
            return "how did it go?"
        case Ask.REST_DAY:
            return "train it today?"
        case Ask.SETUP:
            return setting_up.question(asked)
        case Ask.RECENT:
            return "did you do that just now, or is it a set of the last weeks?"
        case Ask.OFFERS:
            return plans.offers(asked.offers)
        case Ask.ZONE:
            return f"`{word}` is no time zone that I know. Which one is it?"
        case Ask.CHECK_IN:
            return "check-ins are health data: may they be kept? Everything else works without"
        case Ask.FELT:
            asked_for = check_ins.question(Item(word), left=round(dict(asked.figures)["left"]))
            return _again(asked) + asked_for
        case Ask.ANY_PAIN:
            return _again(asked) + "does anything hurt?"
        case Ask.MORE_PAIN:
            return f"{word} is noted. Anything else?"
        case Ask.ACHE:
            return f"{word}: how does it behave?"
        case Ask.ADVICE:
            return "take the advice?" if asked.advice is None else advice.advice(asked.advice)
        case Ask.OTHER_SETS:
            return f"how many hard sets a week for {word}? {figure(dict(asked.figures)['now'])} now"
        case Ask.LINK:
            return f"somebody typed your code in {linking.told_chat(word)}. Was that you? Then both chats share one log"
        case Ask.SHARE_LOG:
            return f"the log is on this side: {linking.told_chat(word)} would see and change all of it. Is that chat yours?"
        case Ask.UNLINK:
            return "which chat is to leave? The log stays with the others"
        case _:
            assert_never(asked.about)


def _again(asked: Asked) -> str:
    """What goes before a question of the check-in that is asked for the second and last time."""
    return (
        "the week's check-in is still open; no more word on it after this\n" if dict(asked.figures).get("again") else ""
    )


def choices(asked: Asked) -> list[tuple[str, str]]:
    """Label and canonical text of each answer."""
    return [(_label(asked, option.command), canonical(option.command)) for option in asked.options]


def labels(asked: Asked) -> tuple[str, ...]:
    """What each answer reads, in order."""
    return tuple([_label(asked, option.command) for option in asked.options])


def _label(asked: Asked, command: Command) -> str:
    if asked.about is Ask.MEASURED and isinstance(command, LogSets):
        return "yes, measured" if any(each.measured for each in command.sets) else "no, just a set"
    if asked.about is Doubt.OTHER and any(isinstance(option.command, Fix) for option in asked.options):
        told = canonical(command)
        return f"the last set: {told.removeprefix('fix ')}" if isinstance(command, Fix) else f"a further set: {told}"
    if (label := session_label(asked, command)) is not None:
        return label
    if asked.about is Ask.RECENT and isinstance(command, LogSets):
        return "just now"
    if isinstance(command, TakePlan):
        return plans.difference_label(command.difference)
    if isinstance(command, PlanCommand):
        return setting_up.label(command)
    if isinstance(command, LinkCommand):
        return linking.label(command, here=asked.word)
    match command:
        case UseZone(zone=zone):
            return zone
        case UseMorning(at=at) if asked.about is Ask.SETUP:
            return "no message" if at is None else f"{at.hour}:{at.minute:02}"
        case Consent(given=given):
            return "yes, keep it" if given else "no"
        case ForgetMe():
            return "erase everything"
        case Cancel():
            return "no, it was a slip" if asked.about is Ask.HEAVY else "never mind"
        case NewExercise(muscle=muscle):
            return "none of these, don't count it" if muscle is None else str(muscle)
        case Unwell():
            return "yes"
        case AllWell():
            return "no, all is well"
        case Pain(answer=PainAnswer.FADES):
            return "it fades as I warm up"
        case Pain(answer=PainAnswer.CHANGES):
            return "it changes how I lift"
        case Pain():
            return "sharp, sudden or numb"
        case Felt(answers=((item, number),)):
            return check_ins.answer(item, number)
        case PainFree():
            return "nothing hurts"
        case BeginCheckIn():
            return "that is all"
        case Hurts(place=place, ache=None):
            return str(place)
        case Hurts(ache=kind) if kind is not None:
            return check_ins.ache(kind)
        case AnswerAdvice(taken=taken):
            return "yes" if taken else "no"
        case ChangeAdvice(sets=None):
            return "another number"
        case ChangeAdvice(sets=sets):
            return str(sets)
        case BodyMass():
            return f"body mass: {canonical(command)}"
        case _:
            told = _ONE.sub(r"1 \1", canonical(command))
            return f"yes: {told}" if asked.about is Ask.HEAVY else told


_ONE = re.compile(r"(?<![\d.])1 (rep|set|plate)s\b")
"""One of something, which its canonical text counts like many."""
