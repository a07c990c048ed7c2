"""Plain questions: what lifters ask and say in their own words, and the command that answers it."""

import re
from collections.abc import Callable, Mapping, Sequence

from core.domain.commands import Command, History, Max, Week
from core.domain.plan_commands import Screened
from core.domain.problems import ProblemKind
from core.domain.session_commands import Nod, NothingHurts, Skip, Swap, TiredToday, Today, Why
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.dates import WEEKDAYS
from core.notation.doubts import Refused
from core.notation.gear import plates_in
from core.notation.looks import look_told
from core.notation.muscles import muscles_named
from core.notation.plans import pause_told
from core.notation.session_requests import short_told
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import UNITS
from core.notation.walk import fold_word
from core.notation.wishes import days_in, sessions_in

ADULT = 18
"""Age from which a lifter trains without a guardian. [a] Younger ones answer the screening with yes."""


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
    if plain.endswith(_PAINLESS) and not any(token.kind is Kind.NUMBER for token in spoken):
        return NothingHurts()  # `elbow clicks but no pain`
    if (look := look_told(asking, spoken, plain)) is not None:
        return look
    first = words[0]
    if (first in _OPENING or first.isdigit()) and (answer := _in_own_words(asking, spoken, words, plain)) is not None:
        return answer
    if first in WEEKDAYS and len(words) > 1 and all(word in WEEKDAYS or word == "and" for word in words):
        return days_in(asking, plain)
    if _is_lift(asking, spoken) and asking.tokens[len(spoken)].text == "?":
        return Max(exercise_named(asking, spoken))  # `bench?`
    return _about_lift(asking, spoken, words)


_PAINLESS = (" no pain", " doesnt hurt", " does not hurt", " without pain", " not painful", " pain free", " painless")
_OPENING = frozenset(
    """im i ive we away holiday vacation on why how only slept what which plates train one two three four five six""".split()
)
"""Words that begin what is read by its form, as digits do."""


def _in_own_words(asking: Asking, spoken: Sequence[Token], words: Sequence[str], plain: str) -> Answer:
    """What is no whole phrase, and about no lift: an age, a night, times a week, minutes, sets of a muscle, plates."""
    first = words[0]
    if (aged := _AGED.fullmatch(plain)) is not None:
        return Screened(applies=True) if int(aged[1] or aged[2]) < ADULT else None
    if first == "why" and all(token.kind is Kind.NUMBER or token.text in _OF_LOADS for token in spoken[1:]):
        return Why()
    if _SETS_OF.match(plain) is not None and any(muscles_named(word) is not None for word in words[2:]):
        return Week()
    if (slept := _SLEPT.fullmatch(plain)) is not None:
        return TiredToday() if int(slept[1]) <= SHORT_NIGHT_H else Nod()
    if _MINUTES.fullmatch(plain) is not None:
        return short_told(asking, [spoken[0]._replace(text="only"), *spoken])
    if "plates" in words[1:5] and first in ("i", "ive", "we"):
        return plates_in(asking, " ".join(token.text for token in spoken[words.index("plates") + 1 :]))
    if plain.startswith(_PLATES_FOR):
        return plates_in(asking, " ".join(words[words.index("for") + 1 :]))
    if (timed := _TIMER.fullmatch(plain)) is not None:
        instead = f"rest {timed[1]}:00"
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead=instead)
    if (weekly := _WEEKLY.fullmatch(plain)) is not None:
        return sessions_in(asking, weekly[1] or weekly[2])
    if (_LONG.fullmatch(plain)) is not None:
        raise Refused(
            ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[-1].end, instead=f"minutes {first}"
        )  # `60 min`: every session, or today's alone
    if (train := _TRAIN.fullmatch(plain)) is not None and len(train[1].split()) > 1:
        return days_in(asking, train[1])
    return _away(asking, spoken) if first in ("im", "i", "away", "holiday", "vacation", "on") else None


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
            *(
                "felt easy",
                "it felt easy",
                "felt light",
                "it felt light",
                "felt too easy",
                "it felt too easy",
                "super light",
            ),
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
            *(
                "felt heavy",
                "it felt heavy",
                "felt hard",
                "it felt hard",
                "felt tough",
                "that felt heavy",
                "that felt hard",
            ),
            *("felt really heavy", "felt so heavy", "felt very heavy", "it felt really heavy", "felt brutal"),
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
    **dict.fromkeys(("in a hurry", "im in a hurry", "make it shorter", "shorter", "make it quick"), "short 30"),
    **dict.fromkeys(
        ("start timer", "start the timer"),
        "rest 3:00",
    ),
    **dict.fromkeys(("stop", "please stop", "stop it"), "pause"),
    **dict.fromkeys(("jk", "just kidding", "kidding", "only kidding"), "undo"),
    **dict.fromkeys(("resting", "start rest", "start a timer", "timer please", "set a timer"), "rest 3:00"),
    **dict.fromkeys(("forgot to log", "i forgot to log", "forgot to log yesterday"), "yesterday bench 80x5"),
    **dict.fromkeys(
        ("i forgot to log yesterday", "forgot to log monday", "i trained yesterday"), "yesterday bench 80x5"
    ),
    **dict.fromkeys(("change days", "change my days", "other days"), "days mon thu"),
    **dict.fromkeys(("more chest", "more chest please", "i want to focus on bench", "focus on bench"), "matters chest"),
    **dict.fromkeys(
        (
            *("away next week", "im away next week", "im on holiday next week", "on holiday next week"),
            *("im travelling next week", "im traveling next week", "travelling next week"),
        ),
        "pause 2 weeks",
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
    r"(?:change to |make it |switch to |lets do |rather )?(?:i (?:want to |can |could |will |would like to )?)?(?:train )?(\d|one|two|three|four|five|six)"
    r" ?(?:x|times|sessions|days|workouts) (?:a|per) week"
    r"|(?:i (?:want to |can |could |will |would like to ))?train (\d|one|two|three|four|five|six) (?:x|times|days)"
)
_TRAIN = re.compile(r"(?:i (?:want to |can |will )?)?train(?: on)?((?: (?:and )?[a-z]+)+)")

_SETS_OF = re.compile(r"how many (?:more |hard )?(?:sets|\w+ sets)\b")
_SLEPT = re.compile(r"(?:i )?(?:only )?slept (?:only )?(\d{1,2}) ?(?:h|hrs?|hours?)")
_MINUTES = re.compile(r"\d{1,3} (?:min|mins|minutes) (?:today|left today|max|only|tops)")
_LONG = re.compile(r"(?:[3-9]\d|1[0-7]\d|180) (?:min|mins|minutes)")
_TIMER = re.compile(r"([1-9]|10) (?:min|mins|minutes?) (?:timer|rest)")
_OF_LOADS = UNITS.keys() | {
    "left",
    "reps",
    "rir",
    "x",
    "only",
    "did",
    "do",
    "you",
    "say",
    "said",
    "tell",
    "me",
    "that",
    "should",
}
_PLATES_FOR = ("what plates for ", "which plates for ", "plates for ", "what plates do i need for ")

SHORT_NIGHT_H = 5
"""Up to here a night is a bad one. [h] Common practice, no source."""


_AWAY = frozenset({"away", "holiday", "vacation", "gone", "off"})


def _away(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`i'm away 2 weeks`, `on holiday until 3 may`."""
    at = next((place for place, token in enumerate(spoken[:4]) if token.text in _AWAY), None)
    lead = {"i'm", "im", "i", "am", "on", "a"}
    if at is None or at == len(spoken) - 1 or any(token.text not in lead for token in spoken[:at]):
        return None
    return pause_told(asking, spoken[at:])


_AROUND: Mapping[str, str] = {
    "max": """whats my * at | what is my * at | * record | * records |
        estimated max * | estimated * max | estimate * | whats my * | whats my estimated * | what is my * | how is my * |
        how much can i * | what can i * | how much do i * | how strong is my *""",
    "today": """how many sets of * | how many reps of * | how much should i * | what should i * | how much weight for * |
        how much for * | what weight for * | how heavy for * | done with * | finished * | * done | thats * done |
        that is * done""",
    "history": """* last time | show me * | show me my * | show * | show my * | what did i * last time | what did i * last week |
        what did i * last | how much did i * last time | how much did i * yesterday |
        what did i * yesterday | how much did i * last week | last * sessions | last * workouts | when did i last *""",
    "skip": "no * today | no more * today | not doing * today | i dont want to do * today | i cant * today",
    "swap": """* is taken | * is busy | * is occupied | * taken | * busy | * is broken | * broken | * is out of order |
        * machine is taken | * machine is broken | * machine is busy | * not free | * isnt free | * is not free | no * free |
        cant do * | i cant do * | cannot do * | instead of * | what instead of * | something instead of * | alternative to * |
        alternative for * | what else instead of * | replace *""",
    "ban": "i hate * | hate * | i dont like * | dont like * | no * | no more * | never again *",
}
"""Texts about a lift, a star in its place, by what is meant."""

_Template = tuple[str, list[str], list[str]]


def _templates() -> tuple[Mapping[str, Sequence[_Template]], Mapping[str, Sequence[_Template]]]:
    """Texts about a lift by their first word, and those that begin with the lift by their last."""
    by_first: dict[str, list[_Template]] = {}
    by_last: dict[str, list[_Template]] = {}
    for meant, texts in _AROUND.items():
        for text in texts.split("|"):
            first, _, last = (part.split() for part in text.partition("*"))
            kept, word = (by_first, first[0]) if first else (by_last, last[-1])
            kept.setdefault(word, []).append((meant, first, last))
    return by_first, by_last


_BY_FIRST, _BY_LAST = _templates()


def _about_lift(asking: Asking, spoken: Sequence[Token], words: Sequence[str]) -> Answer:
    if words[0] == "replace" and "with" in words[2:-1]:
        cut = words.index("with", 2)
        if _is_lift(asking, spoken[1:cut]) and _is_lift(asking, spoken[cut + 1 :]):
            return Swap(exercise_named(asking, spoken[1:cut]), exercise_named(asking, spoken[cut + 1 :]))
    if "instead" in words[1:-2] and words[words.index("instead") + 1] == "of":
        cut = words.index("instead")
        if _is_lift(asking, spoken[:cut]) and _is_lift(asking, spoken[cut + 2 :]):
            return Swap(exercise_named(asking, spoken[cut + 2 :]), exercise_named(asking, spoken[:cut]))
    if words[0] == "last" and words[1:2] and words[1].isdigit():
        spoken, words = [spoken[0], *spoken[2:]], [words[0], *words[2:]]  # `last 5 bench sessions`
    if words[-1] in WEEKDAYS and words[-2:-1] == ["on"]:
        spoken, words = [*spoken[:-2]], [*words[:-2], "yesterday"]  # `how much did i bench on monday`
        spoken.append(asking.tokens[0]._replace(text="yesterday"))
    for meant, first, last in (*_BY_FIRST.get(words[0], ()), *_BY_LAST.get(words[-1], ())):
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
    "skip": Skip,
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
