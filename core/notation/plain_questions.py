"""Plain questions: what lifters ask and say in their own words, and the command that answers it."""

import re
from collections.abc import Callable, Mapping, Sequence

from core.domain.check_in_commands import AskReducedWeek, ChartOf, DrawChart
from core.domain.checkins import Tag
from core.domain.commands import Command, Done, Help, History, Max, Topic, Undo, Week
from core.domain.plan_commands import NewPlan, Pause, Screened, ShowPlan, TagWeek
from core.domain.problems import ProblemKind
from core.domain.session_commands import AsPlanned, MoveSession, Nod, Skip, Swap, TiredToday, Today, Why
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.doubts import Refused
from core.notation.plans import pause_told
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import UNITS
from core.notation.walk import fold_word
from core.notation.wishes import days_in, sessions_in

ADULT = 18
"""Age from which a lifter trains without a guardian. [a] Younger ones answer the screening with yes."""

PLAIN_PHRASES: tuple[tuple[Command, str], ...] = (
    (
        Today(),
        """how much should i load | how much should i lift | how much do i load | how much do i lift | what should i load |
        what do i load | what should i lift | how heavy | how heavy should i go | how much weight | what weight next | next
        weight | what weight should i use | how much | what should i do today | what do i do today | what am i doing today |
        am i training today | do i train today | is today a training day | next exercise | whats my next set | what exercise
        next | how many sets | how many reps | how many sets do i have left | how many sets are left | how many more sets |
        when is my next session | whens my next session | when do i train next | when do i train | next session |
        when is the next session | am i done | todays plan | show today""",
    ),
    (
        History(),
        """what did i do last week | what did i do last session | what did i lift last time | what did i do today | what have i
        done today | what have i done | log | show log | show my log | my log | my sets | todays sets | list | list sets | show
        sets | show my sets | my last session | my last workout | what did i do yesterday""",
    ),
    (
        Why(),
        """why that weight | why this weight | why so little | explain | explain that | why is it so light |
        why is it so heavy""",
    ),
    (
        ShowPlan(),
        """whats a reduced week | what is a reduced week | whats a deload | what is a deload | tomorrow | what about tomorrow |
        whats tomorrow | what is tomorrow | what do i do tomorrow""",
    ),
    (
        AsPlanned(),
        "all reps | hit all reps | got all of them | got all reps | made all reps | all reps done | did all reps",
    ),
    (Max(), "stats | my stats | statistics | how strong | what am i good for"),
    (Week(), "volume | my volume | how many sets this week | how many hard sets | sets so far"),
    (
        DrawChart(ChartOf.ESTIMATE),
        """am i getting stronger | am i progressing | am i making progress | progress | show me my progress | my progress |
        show progress | am i improving""",
    ),
    (
        MoveSession(),
        """can i train tomorrow instead | can i train tomorrow | train tomorrow | tomorrow instead | can i do it tomorrow |
        do it tomorrow | ill do it tomorrow | i will do it tomorrow | can i do this tomorrow | move it to tomorrow""",
    ),
    (
        Skip(whole=True),
        """i cant make it today | i cant train today | cant train today | cant make it today | im busy today | busy today | no
        time today | not training today | no training today | im not training today""",
    ),
    (
        TagWeek(Tag.SICK),
        """i feel sick | feeling sick | got a cold | i have a cold | have a cold | i have fever |
        i have a fever | fever | flu | i have the flu | got the flu | im coming down with something""",
    ),
    (
        Done(),
        """gotta go | i have to go | have to go | i have to leave | have to leave | i gotta go | leaving |
        im leaving | got to go | thats enough | enough for today | im out""",
    ),
    (
        TiredToday(),
        """weak today | feeling weak | i feel weak | slept badly | i slept badly | bad sleep | no sleep | hungover | im hungover
        | hung over | no energy | shattered | dead tired | feel tired | i feel tired | im beat | low on energy""",
    ),
    (
        AskReducedWeek(),
        "can i have an easy week | can i take an easy week | can i deload | should i deload | i need an easy week",
    ),
    (NewPlan(), "change plan | change my plan | change the plan"),
    (
        Pause(),
        """stop messages | stop texting me | stop messaging me | unsubscribe | mute | vacation | on holiday |
        im on holiday | on vacation | im on vacation | holiday""",
    ),
    (
        Help(Topic.EFFORT),
        """what is rir | whats rir | what does rir mean | what is rpe | whats rpe | what does rpe mean |
        what is failure | rir | rpe""",
    ),
    (
        Help(Topic.CARE),
        "do i need a spotter | should i use a spotter | is it safe | is this safe | how do i bench alone",
    ),
    (
        Help(Topic.NUMBERS),
        """what is a hard set | whats a hard set | what are hard sets | what does est mean | what does est 1rm mean | what does
        estimate mean | what does est 1rm stand for""",
    ),
    (
        Help(Topic.SETS),
        """how do i log | how do i log a set | how do i log sets | how to log | how to log a set |
        how do i write a set | how do i enter a set""",
    ),
    (
        Help(),
        """what can you do | menu | what do you do | what are you | who are you | are you a bot | are you real |
        how do you work | wtf""",
    ),
    (
        Screened(applies=True),
        """pregnant | im pregnant | i am pregnant | i had surgery | had surgery | i had an operation | had an operation | i had
        heart surgery | heart surgery | im a minor""",
    ),
    (
        Undo(),
        """delete the last one | delete the last set | remove that set | remove the last one | remove the last set | delete that
        set | delete that one | remove that one | cancel that set | cancel last set | cancel that | undo the last one | undo the
        last set | that didnt count | that doesnt count | it didnt count""",
    ),
    (
        Nod(),
        """nailed it | killed it | crushed it | smashed it | got this | lol | haha | hahaha | lmao | wow | omg | yay | boom | fuck
        yeah | fuck yes | hell yeah | good night | bye | see you | see ya | love it | k | kk | yup | good bot | sweet | amazing""",
    ),
)
"""Commands with plain texts for them, parted by a stroke."""


def plainly_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """The command that a plain text about a lift, a week or a lifter is; None if it is none.

    Raises:
        Refused: it is one, but something of it is missing.

    """
    if len(spoken) > _LONGEST:
        return None
    words = [token.text.replace("'", "") for token in spoken]
    plain = " ".join(words)
    if (effort := _HOW_HARD.get(plain)) is not None:
        raise Refused(ProblemKind.NOT_EFFORT, spoken[0].start, spoken[-1].end, instead=effort)
    if (instead := _INCOMPLETE.get(plain)) is not None:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead=instead)
    if (aged := _AGED.fullmatch(plain)) is not None:
        return Screened(applies=True) if int(aged[1] or aged[2]) < ADULT else None
    if words[0] == "why" and all(token.kind is Kind.NUMBER or token.text in UNITS for token in spoken[1:]):
        return Why()
    if (weekly := _WEEKLY.fullmatch(plain)) is not None:
        return sessions_in(asking, weekly[1] or weekly[2])
    if (train := _TRAIN.fullmatch(plain)) is not None and len(train[1].split()) > 1:
        return days_in(asking, train[1])
    if words[0] in ("im", "i", "away", "holiday", "vacation", "on") and (away := _away(asking, spoken)) is not None:
        return away
    if _is_lift(asking, spoken) and asking.tokens[len(spoken)].text == "?":
        return Max(exercise_named(asking, spoken))  # `bench?`
    return _about_lift(asking, spoken, words)


_LONGEST = 12
"""Most words of a plain text that is a command. [words]"""

_HOW_HARD: Mapping[str, str] = {
    **dict.fromkeys(
        (
            "easy",
            "too easy",
            "very easy",
            "super easy",
            "that was easy",
            "too light",
            "thats too light",
            "light",
            "that was light",
        ),
        "4+ left",
    ),
    **dict.fromkeys(
        (
            *(
                "hard",
                "too hard",
                "very hard",
                "that was hard",
                "heavy",
                "too heavy",
                "thats too heavy",
                "that was heavy",
            ),
            *("tough", "brutal", "that was tough", "grinder", "that was a grinder", "it was too heavy", "it was heavy"),
        ),
        "1 left",
    ),
}
"""How hard a set felt, without the repetitions left, and how those are told."""

_INCOMPLETE: Mapping[str, str] = {
    **dict.fromkeys(
        ("rack busy", "the rack is busy", "rack is busy", "all racks taken", "no rack", "no barbell"),
        "swap bench press",
    ),
    **dict.fromkeys(
        ("all racks are taken", "rack taken", "the rack is taken", "no rack free", "no bar free"), "swap bench press"
    ),
    **dict.fromkeys(
        ("leaving early", "i need to leave early", "i have to leave early", "need to leave early"), "short 30"
    ),
    **dict.fromkeys(("in a hurry", "im in a hurry", "make it shorter", "shorter"), "short 30"),
    **dict.fromkeys(
        ("how long do i rest", "how long to rest", "how long should i rest", "start timer", "start the timer"),
        "rest 3:00",
    ),
    **dict.fromkeys(("stop", "please stop", "stop it"), "pause"),
    **dict.fromkeys(("forgot to log", "i forgot to log", "forgot to log yesterday"), "yesterday bench 80x5"),
    **dict.fromkeys(
        ("i forgot to log yesterday", "forgot to log monday", "i trained yesterday"), "yesterday bench 80x5"
    ),
    **dict.fromkeys(("change days", "change my days", "other days"), "days mon thu"),
    **dict.fromkeys(("more chest", "more chest please"), "matters chest"),
    **dict.fromkeys(
        ("away next week", "im away next week", "im on holiday next week", "on holiday next week"), "pause 2 weeks"
    ),
    **dict.fromkeys(("warmup", "warm up", "mark as warmup", "mark as warm up"), "fix warm-up"),
    **dict.fromkeys(("2.5 more", "up 2.5", "5 more", "more weight", "heavier", "go heavier"), "same +2.5"),
    **dict.fromkeys(
        ("i can go heavier", "can i go heavier", "can i go up", "should i go up", "should i add weight"), "4+ left"
    ),
}
"""Texts that lack something, and one that does not."""

_AGED = re.compile(r"(?:im|i am) (\d{1,2})(?: (?:years?|yrs?)(?: old)?)?|(\d{1,2}) (?:years?|yrs?) old")
_WEEKLY = re.compile(
    r"(?:i (?:want to |can |could |will |would like to )?)?(?:train )?(\d|one|two|three|four|five|six)"
    r" ?(?:x|times|sessions|days|workouts) (?:a|per) week"
    r"|(?:i (?:want to |can |could |will |would like to ))?train (\d|one|two|three|four|five|six) (?:x|times|days)"
)
_TRAIN = re.compile(r"(?:i (?:want to |can |will )?)?train(?: on)?((?: (?:and )?[a-z]+)+)")

_AWAY = frozenset({"away", "holiday", "vacation", "gone", "off"})


def _away(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`i'm away 2 weeks`, `on holiday until 3 may`."""
    at = next((place for place, token in enumerate(spoken[:4]) if token.text in _AWAY), None)
    lead = {"i'm", "im", "i", "am", "on", "a"}
    if at is None or at == len(spoken) - 1 or any(token.text not in lead for token in spoken[:at]):
        return None
    return pause_told(asking, spoken[at:])


_AROUND: Mapping[str, str] = {
    "max": "whats my * | what is my * | how is my * | how much can i * | what can i * | how much do i * | how strong is my *",
    "today": """how many sets of * | how many reps of * | how much should i * | what should i * |
        done with * | finished * | * done | thats * done | that is * done""",
    "history": """what did i * last time | what did i * last week | what did i * last | how much did i * last time | when did i
        last *""",
    "swap": """* is taken | * is busy | * is occupied | * taken | * busy | * not free | * isnt free | * is not free | no * free |
        cant do * | i cant do * | cannot do * | instead of * | what instead of * | something instead of * | alternative to * |
        alternative for * | what else instead of * | replace *""",
    "ban": "i hate * | hate * | i dont like * | dont like * | no * | no more * | never again *",
}
"""Texts about a lift, a star in its place, by what is meant."""

_TEMPLATES = [
    (meant, text.partition("*")[0].split(), text.partition("*")[2].split())
    for meant, texts in _AROUND.items()
    for text in texts.split("|")
]


def _about_lift(asking: Asking, spoken: Sequence[Token], words: Sequence[str]) -> Answer:
    if words[0] == "replace" and "with" in words[2:-1]:
        cut = words.index("with", 2)
        if _is_lift(asking, spoken[1:cut]) and _is_lift(asking, spoken[cut + 1 :]):
            return Swap(exercise_named(asking, spoken[1:cut]), exercise_named(asking, spoken[cut + 1 :]))
    for meant, first, last in _TEMPLATES:
        size = len(spoken) - len(last)
        if list(words[: len(first)]) != first or list(words[size:]) != last or size <= len(first):
            continue
        named = spoken[len(first) : size]
        if meant in ("max", "today") and len(named) > 2 and named[-2].text == "for" and named[-1].kind is Kind.NUMBER:
            named = named[:-2]  # `how much can i bench for 5`
        if not _is_lift(asking, named):
            continue
        name = exercise_named(asking, named)
        if meant == "ban":
            raise Refused(ProblemKind.UNKNOWN, spoken[0].start, spoken[-1].end, instead=f"ban {name}")
        return _ANSWERS[meant](name)
    return None


_ANSWERS: Mapping[str, Callable[[str], Command]] = {
    "max": Max,
    "history": History,
    "swap": Swap,
    "today": lambda _name: Today(),
}


def _is_lift(asking: Asking, words: Sequence[Token]) -> bool:
    folded = [fold_word(token.text) for token in words if token.kind is Kind.WORD and token.text not in ("the", "my")]
    return bool(folded) and len(folded) == len(words) and asking.names.exact(" ".join(folded)) is not None


_ASKING = frozenset({"how", "what", "whats", "what's", "why", "when", "which", "where", "who", "should", "am", "are"})
_MAY_ASK = frozenset({"can", "could", "do", "does", "is", "will", "would", "shall", "was", "did"})
_OF_WHOM = frozenset({"i", "it", "my", "the", "this", "that", "we", "you", "there"})


def only_asks(tokens: Sequence[Token]) -> bool:
    """Whether a text asks something and tells no set: `how much can i lift for 5`, `can i do 80x5?`."""
    last = next(place for place, token in enumerate(tokens) if token.kind is Kind.END) - 1
    first, second = tokens[0].text, tokens[1].text
    marked = last > 0 and tokens[last].text == "?"
    led = first in _ASKING or (first in _MAY_ASK and (second in _OF_WHOM or marked))
    whole = any(token.kind is Kind.CROSS for token in tokens[: last + 1])
    return led and (marked or not whole)
