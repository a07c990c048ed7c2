"""Replies in words: one short text a reply, the most important line first."""

from dataclasses import dataclass
from typing import assert_never

from bot.messages import Choice, OutgoingMessage
from bot.rendering import (
    care,
    check_ins,
    clock,
    guidance,
    help_topics,
    linking,
    looks,
    plans,
    problems,
    questions,
    reviews,
    settings_told,
)
from bot.rendering.phone import count, day, load, sets_by_exercise, sets_in_short
from core.domain.check_in_replies import CheckInReply
from core.domain.link_replies import LinkReply
from core.domain.plan_replies import PlanReply
from core.domain.reminded import Reminded
from core.domain.replies import (
    Acknowledged,
    Asked,
    Done,
    Emergency,
    Fault,
    Forgotten,
    Guided,
    HelpTold,
    Logged,
    Nothing,
    NothingThere,
    PainAdvice,
    PrivacyTold,
    Refused,
    Reply,
    SettingsTold,
    TakenBack,
    TapDidNothing,
    TapRefusal,
    Welcome,
)
from core.domain.reviews import (
    HistoryTold,
    LookReply,
    MaxTold,
    RecordTold,
    SessionClosed,
    WeekTold,
)
from core.domain.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """Who runs this bot and how it keeps what is written, as `privacy` tells it.

    Args:
        operator: Who runs it; empty where a lifter runs it themselves.
        contact: How to reach them.
        place: Where the log lies.
        privacy: What the operator says on lifters' data beside that.
        text_days: Days after which raw texts are erased. [days]

    """

    operator: str = ""
    contact: str = ""
    place: str = ""
    privacy: str = ""
    text_days: int = 30


def outgoing(reply: Reply, *, house: House, data: str = "{}") -> OutgoingMessage:
    """A reply as a message to send."""
    if isinstance(reply, Asked):
        choices = tuple(Choice(label=label, send=send) for label, send in questions.choices(reply))
        return OutgoingMessage(text=questions.text(reply), choices=choices, question=reply.id, data=data)
    if isinstance(reply, Logged | Guided) and reply.taps is not None:
        choices = tuple(Choice(label=label, send=send) for label, send in questions.choices(reply.taps))
        return OutgoingMessage(text=text(reply, house=house), choices=choices, question=reply.taps.id, data=data)
    return OutgoingMessage(text=text(reply, house=house), data=data)


def text(reply: Reply, *, house: House) -> str:
    """The words of a reply."""
    if isinstance(reply, Reminded):
        return clock.text(reply)
    if isinstance(reply, PlanReply):
        return plans.text(reply)
    if isinstance(reply, CheckInReply):
        return check_ins.text(reply)
    if isinstance(reply, LinkReply):
        return linking.text(reply)
    if isinstance(reply, LookReply):
        return looks.text(reply)
    match reply:
        case Logged():
            return _logged(reply)
        case TakenBack():
            return _taken_back(reply)
        case SessionClosed():
            return reviews.session(reply)
        case WeekTold():
            return reviews.week(reply)
        case MaxTold():
            return reviews.maximum(reply)
        case HistoryTold():
            several = len(reply.sessions)
            lines = [f"{reply.exercise}, the last {'session' if several == 1 else count(several, 'session')}:"]
            return "\n".join([*lines, *(f"{day(when)}: {sets_in_short(sets)}" for when, sets in reply.sessions)])
        case NothingThere():
            return _nothing(reply)
        case Acknowledged():
            return _acknowledged(reply)
        case HelpTold():
            return help_topics.text(reply.topic)
        case SettingsTold():
            return settings_told.text(reply)
        case PrivacyTold():
            return _privacy(reply, house)
        case Welcome():
            return "new here? `start` tells who runs this and what is kept, `help` what you can text"
        case Asked():
            return questions.text(reply)
        case Guided(told=told):
            return guidance.text(told)
        case TapDidNothing():
            return _tap(reply)
        case Refused():
            return problems.problem(reply.problem)
        case Emergency():
            return care.emergency(reply.sign)
        case PainAdvice():
            return care.pain(reply.answer)
        case Forgotten():
            return "everything of yours is erased. All the best"
        case Fault():
            return f"something went wrong here, nothing was saved (ref {reply.reference})"
        case _:
            assert_never(reply)


def _logged(reply: Logged) -> str:
    lines = sets_by_exercise(reply.sets)
    if reply.number > 1 and len(reply.sets) == 1:
        lines[-1] += f" · set {reply.number}"
    if reply.day is not None:
        lines[0] = f"{day(reply.day)}: {lines[0]}"
    if reply.replaced:
        lines[0] = f"now: {lines[0]}"
    for each in reply.respelt:
        lines.append(f"({each.words} taken for {each.exercise}; not so? `undo`)")
    lines += [_record(each) for each in reply.records]
    lines += [f"the {name} record that this held is taken back" for name in reply.taken_back]
    if reply.not_hard is not None:
        lines.append(f"not a hard set: {reviews.why_not(reply.not_hard)}")
    several = len(reply.estimates) > 1
    lines += [(f"{each.exercise}: " if several else "") + reviews.estimate(each) for each in reply.estimates]
    if reply.week:
        lines.append("this week: " + reviews.muscles(reply.week))
    if reply.coming is not None:
        lines.append(guidance.text(reply.coming))
    if reply.unit_assumed:
        lines.append("taken as kg; `units lb` if you load pounds")
    return "\n".join(lines)


def _taken_back(reply: TakenBack) -> str:
    lines = ["taken back: " + "; ".join(sets_by_exercise(reply.removed))] if reply.removed else []
    if reply.restored:
        lines.append("back in the log: " + "; ".join(sets_by_exercise(reply.restored)))
    lines += [f"the {name} record that this held is taken back" for name in reply.records]
    return "\n".join(lines)


def _record(record: RecordTold) -> str:
    weight = load(record.load)
    if record.bodyweight:
        weight = f"body mass + {weight}" if record.load.amount > 0 else "body mass"
    return f"record: {weight}, your heaviest {record.exercise} for {count(record.reps, 'rep')} or more"


def _nothing(reply: NothingThere) -> str:
    name = reply.about
    match reply.why:
        case Nothing.TO_UNDO:
            return "nothing to take back"
        case Nothing.TO_FIX:
            return "no set to fix yet"
        case Nothing.TO_REPEAT:
            return "no set in this session to repeat\ntry: bench 80x5"
        case Nothing.TO_CLOSE:
            return "no session is open"
        case Nothing.LOGGED_THIS_WEEK:
            return "nothing logged this week"
        case Nothing.LOGGED_OF_EXERCISE:
            return f"no {name} in the log yet"
        case Nothing.NO_ESTIMATE:
            return f"no estimate for {name} yet: log a work set of it"
        case Nothing.ESTIMATE_WITHOUT_BODY_MASS:
            return f"no estimate for {name} without your body mass, which it moves: `bw 80 kg` tells it, if you like"
        case Nothing.WHICH_EXERCISE:
            return "which exercise was that\ntry: bench 80x5"
        case Nothing.WHICH_LOAD:
            return f"what load was on for {name}\ntry: {name} 60x8"
        case Nothing.WHICH_REPS:
            return f"how many reps of {name}\ntry: {name} 60x8"
        case Nothing.LAST_LOAD:
            return f"no earlier load of {name} to add that to\ntry: {name} 60x8"
        case Nothing.DAY_AHEAD:
            return "that day has not come yet, so nothing was logged"
        case Nothing.DAY_LONG_GONE:
            return "that day lies too far back to be meant, so nothing was logged"
        case Nothing.NO_SUCH_EXERCISE:
            return f"`{name}` is no exercise that I know"
        case Nothing.PLANNED:
            return "nothing is planned: text the sets\ntry: bench 80x5"
        case Nothing.NEXT_PLANNED:
            return "no planned set is next, so there is no load to explain\ntry: today"
        case Nothing.SUCH_LIFT_TODAY:
            return f"{name} is not in what is left of today's session\ntry: today"
        case Nothing.OTHER_LIFTS:
            return f"nothing else here trains the same as {name}"
        case Nothing.SPARING:
            return f"nothing else here trains the same and spares the {reply.about}"
        case Nothing.SUCH_SESSION:
            return "no session to change\ntry: today"
        case Nothing.IN_LINE:
            return "your sessions come in line, whatever the day: come when you can"
        case Nothing.OTHER_WEEK:
            return "a session stays in its week\ntry: skip session"
        case Nothing.SHORTER:
            return f"not one set fits into {name} min\ntry: skip session"
        case Nothing.NO_MORE_SETS:
            return f"no more sets of {name} today"
        case Nothing.ATTEMPT:
            return "no attempt is open\ntry: test bench"
        case Nothing.SUCH_BAR:
            return "a bar weighs 2 to 40 kg (5 to 88 lb)\ntry: bar 20 kg"
        case Nothing.SUCH_ZONE:
            return f"`{name}` is no time zone that I know\ntry: zone Europe/Oslo"
        case Nothing.SUCH_BODY_MASS:
            return "a body mass lies between 25 and 350 kg\ntry: bw 81.5 kg"
        case Nothing.OPEN_QUESTION:
            return "no question is open"
        case Nothing.BODY_MASS:
            return "no body mass is kept\ntry: bw 81.5 kg"
        case Nothing.TEXT:
            return "voice, pictures and video can't be read here: type it\ntry: bench 80x5"
        case _:
            assert_never(reply.why)


def _acknowledged(reply: Acknowledged) -> str:
    weight = "" if reply.load is None else load(reply.load)
    match reply.done:
        case Done.UNIT:
            other = Unit.LB if reply.about == Unit.KG else Unit.KG
            return f"loads without a unit are {reply.about} from now on; {other} still works when you type it"
        case Done.BAR:
            return f"your bar weighs {weight}"
        case Done.ZONE:
            return f"your days follow {reply.about}"
        case Done.BODY_MASS:
            return f"body mass {weight}; `bw off` erases it"
        case Done.BODY_MASS_OFF:
            return "body mass erased, and I won't ask for it"
        case Done.CONSENT_ON:
            return "health data may be kept; `consent off` erases it"
        case Done.CONSENT_OFF:
            return "no health data is kept; everything else works as before"
        case Done.NEEDS_CONSENT:
            return "that is health data: `consent on` first"
        case Done.CLEARED:
            return "good to hear. Suggestions are back; start lighter than you could"
        case Done.EDITED_COMMAND:
            return "an edited command is not run again: send it as a new message"
        case Done.DELETED_COMMAND:
            return "noted"
        case Done.NEW_EXERCISE:
            return f"{reply.about} is an exercise of yours now"
        case Done.HABIT:
            return "noted for next time"
        case Done.CANCELLED:
            return "left as it was"
        case Done.UNIT_TWICE:
            return "one unit at a time"
        case Done.SETS_STAND:
            return "until then the sets of that message stand as they were"
        case Done.EFFORT_OF_SESSION:
            return f"noted: effort {reply.about} of 10"
        case Done.NOTHING_HURTS:
            return "good; if it does, say so"
        case Done.NOD:
            return "good; `today` tells what is next"
        case Done.PLACE_NOTED:
            return f"noted; nothing left today loads the {reply.about}"
        case Done.PLACE_BETTER:
            return f"good that the {reply.about} is better"
        case Done.PLACE_EASED:
            return f"back with a clinician's word only, and eased: `{reply.about} better` once more ends that"
        case Done.SPOTTER:
            return "noted: a spotter is there today. Tell them the reps before you unrack"
        case Done.SESSION_SKIPPED:
            return "today's session is left out; the next one stays as it is"
        case Done.ALL_WELL:
            return "good. If it changes, stop and get help"
        case _:
            assert_never(reply.done)


def _privacy(reply: PrivacyTold, house: House) -> str:
    who = f"run by {house.operator}" if house.operator else "run by whoever started this program"
    if house.contact:
        who += f" ({house.contact})"
    given = reply.lifter.consent is not None and reply.lifter.consent.given
    told = [house.privacy] if house.privacy else []
    return "\n".join(
        [
            f"this bot is {who}",
            f"kept: your sets and settings, to answer you; {house.place or 'in a database of theirs'}",
            f"raw messages go after {house.text_days} days, the rest when you say so",
            f"health data (body mass, check-ins, pain): {'kept, you said yes' if given else 'not kept without your yes'}",
            "take it: `rackside export`; erase it: `forget me`",
            *told,
            "not a medical device: a clinician, a coach on site and local rules go first",
        ]
    )


def _tap(reply: TapDidNothing) -> str:
    match reply.why:
        case TapRefusal.ALREADY:
            first, *_ = reply.chosen.splitlines() or [""]
            return f"answered already: {first}"
        case TapRefusal.TOO_LATE:
            return "that question is too old: text it again"
        case TapRefusal.NOT_YOURS:
            return "that question is somebody else's"
        case TapRefusal.UNKNOWN:
            return "that question was taken back, something has changed since: answer the last one, or text it"
        case _:
            assert_never(reply.why)
