"""Questions: asked with options to tap, answered once, by their own lifter, in time."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from core.application import resolve
from core.application.rows import (
    AskedQuestion,
)
from core.application.turn import Turn
from core.domain.commands import (
    AllWell,
    Cancel,
    Doubt,
    Fix,
    LogSets,
    NewExercise,
    Pain,
    PainAnswer,
    Question,
    Sign,
    Unwell,
)
from core.domain.commands import Done as Finished
from core.domain.exercises import Equipment, Muscle
from core.domain.names import fold
from core.domain.own_exercises import equipment_told
from core.domain.plan_commands import PlanCommand
from core.domain.plan_replies import OfferTold
from core.domain.prescriptions import Place
from core.domain.replies import Ask, Asked, NothingThere, Option, TapDidNothing, TapRefusal
from core.domain.sets import SetRead
from core.domain.setups import SetupStep
from core.notation.messages import canonical
from core.notation.vocabulary import UNITS

OPEN_FOR = timedelta(hours=24)
"""How long a question can be answered. [h] Past that nobody remembers what it was about."""

MUSCLES_OFFERED = (
    Muscle.CHEST,
    Muscle.FRONT_SHOULDERS,
    Muscle.TRICEPS,
    Muscle.UPPER_BACK,
    Muscle.BICEPS,
    Muscle.QUADRICEPS,
    Muscle.HAMSTRINGS,
    Muscle.ABS,
)
"""Muscles offered for an exercise of the lifter's own: a screenful, from the press outwards."""

LONGEST_LABEL = 80
"""Most letters of a text that may be the words of an option."""

LINE_BETWEEN = "\n"
"""Parts the commands of an option that stands for two of them."""


def ask(
    turn: Turn,
    about: Doubt | Ask,
    options: Sequence[Option],
    *,
    text: str = "",
    word: str = "",
    span: tuple[int, int] | None = None,
    sign: Sign | None = None,
    figures: tuple[tuple[str, float], ...] = (),
    sends: Sequence[str] | None = None,
    key: str | None = None,
    open_for: timedelta = OPEN_FOR,
    step: SetupStep | None = None,
    noted: PlanCommand | None = None,
    offers: tuple[OfferTold, ...] = (),
    lifter_id: int | None = None,
) -> Asked:
    """Store a question and hand it over to be shown; `key` is the message that it is about, else the one at hand.

    It is the turn's own lifter who is asked, unless another one is named.
    """
    asked = Asked(
        id=turn.token(),
        about=about,
        options=tuple(options),
        text=text,
        word=word,
        span=span,
        sign=sign,
        figures=figures,
        unit=turn.unit,
        step=step,
        noted=noted,
        offers=offers,
    )
    turn.work.questions.ask(
        AskedQuestion(
            id=asked.id,
            lifter_id=turn.lifter.id if lifter_id is None else lifter_id,
            doubt=about.value,
            sends=tuple(sends) if sends is not None else tuple([canonical(option.command) for option in options]),
            labels=turn.labels(asked),
            habits=tuple([option.habit for option in options]),
            message_key=turn.row.message_key if key is None else key,
            sent_at=turn.at,
            asked_at=_after_all_others(turn),
            expires_at=turn.now + open_for,
        )
    )
    turn.asked += 1
    return asked


def _after_all_others(turn: Turn) -> datetime:
    """When a question is asked: a letter answers the one shown last, also where the clock stands still between two."""
    last = max((each.asked_at for each in turn.work.questions.open(turn.lifter.id)), default=turn.now)
    return max(turn.now, last + timedelta(microseconds=1)) if turn.asked or last >= turn.now else turn.now


def about_reading(turn: Turn, question: Question) -> Asked:
    """Ask which of two sensible readings is meant."""
    options = [
        Option(choice.command, ("", "") if choice.habit is None else (choice.habit.key, choice.habit.value))
        for choice in question.choices
    ]
    span = (question.span.start, question.span.end)
    word = question.text[span[0] : span[1]]
    return ask(turn, question.doubt, options, text=question.text, word=word, span=span)


def about_unresolved(turn: Turn, command: LogSets, why: resolve.Unresolved) -> Asked | NothingThere:
    """Ask what keeps sets out of the log, where a tap can settle it."""
    match why:
        case NothingThere():
            return why
        case resolve.SideInDoubt(exercise=exercise):
            with_bar = replace(command, sets=resolve.with_sides_summed(turn, command.sets, bar=True))
            without = replace(command, sets=resolve.with_sides_summed(turn, command.sets, bar=False))
            options = (Option(with_bar, ("side", "bar")), Option(without, ("side", "no bar")))
            return ask(turn, Doubt.SIDE, options, word=exercise.name)
        case resolve.UnknownExercise(words=words):
            return _about_new_exercise(turn, command, words)


def by_number(turn: Turn, text: str) -> tuple[str, int] | None:
    """The question of a check-in and the option that a bare number answers, where no session goes on; else None."""
    found = _numbered(turn, text, frozenset({Ask.FELT.value}))
    return None if found is None or resolve.session_now(turn) is not None else (found[0].id, found[1])


def _numbered(turn: Turn, text: str, asked: frozenset[str]) -> tuple[AskedQuestion, int] | None:
    """The question of one of these kinds that waits, and its option that ends with this bare number."""
    told = text.strip()
    if not (told.isascii() and told.isdigit() and len(told) <= 2):
        return None
    newest = newest_open(turn)
    if newest is None or turn.now >= newest.expires_at or newest.doubt not in asked:
        return None
    number = str(int(told))
    place = next((at for at, send in enumerate(newest.sends) if send.split()[-1].rstrip("+") == number), None)
    return None if place is None else (newest, place)


def about_number(turn: Turn, text: str) -> Asked | None:
    """Ask about a bare number where a question with numbers to tap waits: its answer, or repetitions of the next set."""
    found = _numbered(turn, text, _NUMBERED)
    if found is None:
        return None
    (newest, place), told = found, text.strip()
    number = int(told)
    turn.work.questions.answer(newest.id, place)
    answer = Finished(number) if newest.doubt == Ask.SESSION_EFFORT.value else Fix((SetRead(rir=number),))
    options = (Option(answer), Option(LogSets((SetRead(reps=number),))))
    return ask(
        turn, Doubt.AT, options, text=text, word=told, sends=[newest.sends[place], canonical(options[1].command)]
    )


_NUMBERED = frozenset({Ask.LEFT.value, Ask.SESSION_EFFORT.value})
"""Questions whose options are numbers."""


def about_sign(turn: Turn, sign: Sign, word: str) -> Asked:
    """Ask whether a doubtful word is a warning sign."""
    return ask(turn, Ask.SIGN, (Option(Unwell(sign)), Option(AllWell())), word=word, sign=sign)


def about_pain(turn: Turn, word: str, place: Place | None) -> Asked:
    """Ask how a pain behaves, at a place where one was told."""
    return ask(turn, Ask.PAIN, tuple([Option(Pain(each, place)) for each in PainAnswer]), word=word)


def tapped(turn: Turn, question_id: str, chosen: int) -> AskedQuestion | TapDidNothing:
    """Take an answer: the question it settles, or why the tap does nothing."""
    question = turn.work.questions.get(question_id)
    if question is None or not 0 <= chosen < len(question.sends):
        return TapDidNothing(TapRefusal.UNKNOWN)
    if question.lifter_id != turn.lifter.id:
        return TapDidNothing(TapRefusal.NOT_YOURS)
    if question.chosen is not None:
        return TapDidNothing(TapRefusal.ALREADY, question.sends[question.chosen])
    if turn.now >= question.expires_at:
        return TapDidNothing(TapRefusal.TOO_LATE)
    turn.work.questions.answer(question_id, chosen)
    turn.learn(*question.habits[chosen])
    return question


def by_letter(turn: Turn, text: str) -> tuple[str, int] | None:
    """The question and the option that a single letter answers; None if no question is open or it is no letter."""
    letter = text.strip().rstrip(").").lower()
    if len(letter) != 1 or not "a" <= letter <= "z":
        return None
    newest = newest_open(turn)
    chosen = ord(letter) - ord("a")
    if newest is None or chosen >= len(newest.sends):
        return None
    return newest.id, chosen


def by_word(turn: Turn, text: str) -> tuple[str, int] | None:
    """The question and the option that a plain yes, no or don't know answers; None if no open question takes it."""
    word = _plain(text)
    unit = UNITS.get(word)
    if word not in _YES and word not in _NO and word not in _PASS and word not in _ON and unit is None:
        return None
    newest = newest_open(turn)
    if newest is None or turn.now >= newest.expires_at:
        return None
    if unit is not None:
        # `kg`, where it is asked whether that is kilograms or pounds.
        meant = [place for place, send in enumerate(newest.sends) if f" {unit} " in f"{send} "]
        return (newest.id, meant[0]) if newest.doubt == Doubt.UNIT.value and len(meant) == 1 else None
    if word in _PASS or word in _ON:
        # By a plan `skip` is about the session.
        passes = newest.doubt == Ask.SETUP.value and (word in _PASS or turn.plan is None)
        return (newest.id, len(newest.sends) - 1) if passes else None
    places = _YES_OR_NO.get(newest.doubt)
    return None if places is None else (newest.id, range(len(newest.sends))[places[word in _NO]])


def declined(turn: Turn, text: str) -> bool:
    """Whether a text turns the open question down that has no such answer: `no`, `later`; never one about health."""
    word = _plain(text)
    if word not in _NO and word not in _PASS and word not in _NOT_NOW:
        return False
    newest = newest_open(turn)
    return newest is not None and turn.now < newest.expires_at and newest.doubt not in _ABOUT_HEALTH


def by_label(turn: Turn, text: str) -> tuple[str, int] | None:
    """The question and the option whose own words a text is that can't be read otherwise; None if it is none's."""
    word = _plain(text)
    if not word or len(word) > LONGEST_LABEL or (newest := newest_open(turn)) is None or turn.now >= newest.expires_at:
        return None
    labelled = [place for place, label in enumerate(newest.labels) if _plain(label) == word]
    if not labelled and (led := word.partition(" "))[0] in _LEADING:
        labelled = [place for place, label in enumerate(newest.labels) if _plain(label) == led[2]]  # `yes shoulder`
    return (newest.id, labelled[0]) if len(labelled) == 1 else None


def _plain(text: str) -> str:
    return " ".join(text.replace("'", "").replace("\u2019", "").casefold().strip(" .!").split())


_YES = frozenset({"yes", "y", "yep", "yeah", "yup", "sure", "yes please", "of course", "ok yes"})
_NO = frozenset({"no", "n", "nope", "nah", "no thanks", "no thank you", "better not"})
_PASS = frozenset({"idk", "dunno", "dont know", "i dont know", "not sure", "im not sure", "no idea", "pass", "later"})
_LEADING = frozenset({"yes", "my", "the", "its", "in", "a", "just", "only"})
"""Words before one of the answers that change nothing of it."""

_NOT_NOW = frozenset({"not now", "none", "neither", "none of them", "none of these", "nothing", "no clue"})
_ABOUT_HEALTH = frozenset({Ask.PAIN.value, Ask.PLACE.value, Ask.SIGN.value, Ask.SETUP.value, Ask.CONSENT.value})
_ON = frozenset({"skip", "next", "skip it", "skip this"})

_YES_OR_NO: Mapping[str, tuple[int, int]] = {
    **{
        about.value: (0, 1)
        for about in (Ask.CONSENT, Ask.SIGN, Ask.HEAVY, Ask.MEASURED, Ask.BODY_MASS, Ask.CHECK_IN, Ask.WHICH_SESSION)
    },
    # Between them stands another number.
    Ask.ADVICE.value: (0, -1),
}
"""Places of the answers that a plain word means. Nothing is erased for good by one."""


def newest_open(turn: Turn) -> AskedQuestion | None:
    """The question asked last of those that can still be answered; of two asked at once, the later message's.

    Where none can, the last of those that have expired: whoever answers it is told that it is too late.
    """
    unanswered = turn.work.questions.open(turn.lifter.id)
    waiting = [each for each in unanswered if turn.now < each.expires_at]
    return max(waiting or unanswered, key=lambda each: (each.asked_at, each.message_key), default=None)


def _about_new_exercise(turn: Turn, command: LogSets, words: str) -> Asked:
    name = fold(words)
    sets = tuple([replace(each, exercise=name) if each.exercise == words else each for each in command.sets])
    then = canonical(replace(command, sets=sets))
    equipment = equipment_told(words)
    if equipment is None and all(each.load is None and not each.bar for each in sets if each.exercise == name):
        # Nobody told a load, so there is none to ask for.
        equipment = Equipment.BODYWEIGHT
    commands = [NewExercise(name, muscle, equipment) for muscle in (*MUSCLES_OFFERED, None)]
    options = [*map(Option, commands), Option(Cancel())]
    sends = [canonical(each) + LINE_BETWEEN + then for each in commands]
    return ask(turn, Ask.EXERCISE, options, word=name, sends=[*sends, canonical(Cancel())])
