"""Requests: texts that ask for something or change a setting, and are no sets."""

from collections.abc import Callable, Mapping, Sequence

from core.domain.check_in_commands import ChartOf, DrawChart
from core.domain.commands import Done, Help, History, Max, NewExercise, Start
from core.domain.exercises import Equipment, Muscle
from core.domain.names import fold
from core.domain.problems import ProblemKind
from core.notation.asking import Answer, Asking, exercise_named
from core.notation.check_ins import ITEMS, advice_told, check_in_told, felt_told
from core.notation.doubts import Refused
from core.notation.hours import morning_told, quiet_told, rest_told
from core.notation.links import link_told, unlink_told
from core.notation.measures import bar_told, body_mass_told, units_told, zone_told
from core.notation.phrases import PHRASES, TOPICS, spelt_command
from core.notation.plain_questions import plainly_told
from core.notation.plans import own_week_told, pause_told
from core.notation.session_requests import SESSION_VERBS, short_told
from core.notation.tokens import Kind, Token
from core.notation.walk import fold_word
from core.notation.wishes import WISH_VERBS, wish_told

HARDEST_SESSION = 10.0
"""End of the scale of session effort. Foster et al. 2001."""

LONGEST_PHRASE = 8
"""Most words of a request that is no set. [words]"""


def request_in(asking: Asking) -> Answer:
    """The command that a text without sets is; None if it is none.

    Raises:
        Refused: it is one, but incomplete or with an impossible value.

    """
    spoken = _spoken(asking.tokens)
    if not spoken:
        return Help() if asking.text.folded.strip(" \n/!.") == "?" else None
    if (own := own_week_told(asking, spoken)) is not None:
        return own
    words = [token.text.replace("'", "") for token in spoken]
    if len(words) <= LONGEST_PHRASE and (command := PHRASES.get(" ".join(words))) is not None:
        return command
    if (verb := _VERBS.get(words[0])) is not None and (command := verb(asking, spoken)) is not None:
        return command
    if (command := plainly_told(asking, spoken)) is not None:
        return command
    if any(token.kind is Kind.NUMBER for token in spoken):
        return None
    kept = [token for token in spoken if token.text.replace("'", "") not in _POLITE]
    if not kept or len(kept) > LONGEST_PHRASE:
        return None
    plain = " ".join(token.text.replace("'", "") for token in kept)
    if (command := PHRASES.get(plain)) is not None:
        return command
    # `can i swap squats for leg press`: only what leads up to the verb is polite.
    led = spoken[spoken.index(kept[0]) :]
    if (verb := _VERBS.get(kept[0].text)) is not None and (command := verb(asking, led)) is not None:
        return command
    if spoken[0].text in ("last", "the") and any(token.text in ("was", "were") for token in spoken):
        return None  # `last one was a fail` says what the last set was
    return _about_exercise(asking, kept) or _misspelt(asking, kept)


COUNTED = frozenset({"days", "times", "sessions", "workouts", "years", "yrs", "more", "min", "mins", "minutes"})
"""Words behind a number that may make a request of it: `4 days a week`."""


def counted_request_in(asking: Asking) -> Answer:
    """The command that a text is which begins with a number and no set; None if it is none."""
    return plainly_told(asking, _spoken(asking.tokens))


def _spoken(tokens: Sequence[Token]) -> list[Token]:
    """Words and numbers; `1rm` is one word."""
    kept: list[Token] = []
    for token in tokens:
        if token.kind not in (Kind.WORD, Kind.NUMBER, Kind.CROSS):
            continue
        if token.text == "rm" and kept and kept[-1].text == "1" and not token.spaced:
            one = kept.pop()
            start = kept.pop().start if kept and kept[-1].text == "e" and not one.spaced else one.start
            kept.append(Token(Kind.WORD, "1rm", start, token.end, one.spaced))
        else:
            kept.append(token)
    return kept


_POLITE = frozenset(
    """please pls show me my the whats what is give tell see for of a an hey ok can could i you want need how much do did to
    are was get list display thanks thx thank today wrong typo mistake sorry when now""".split()
)

_MAX_WORDS = frozenset({"max", "1rm", "e1rm", "pr", "estimate", "prs", "best"})
_HISTORY_WORDS = frozenset({"history", "last", "hist", "sessions", "progress"})


# Verbs with something behind them


def _done(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`done 7`, `done rpe 8`, `done 7/10`, `finished, effort 8`."""
    rest = [token for token in spoken[1:] if token.text not in _DONE_FILLERS]
    numbers = [token for token in rest if token.kind is Kind.NUMBER]
    if len(rest) != len(numbers) or not numbers:
        return None if rest else Done()
    if len(numbers) > 2 or (len(numbers) == 2 and numbers[1].text != "10"):
        return None
    effort = float(numbers[0].text)
    if effort > HARDEST_SESSION:
        if any(token.kind is Kind.CROSS for token in spoken):
            return None
        raise Refused(ProblemKind.NOT_EFFORT, numbers[0].start, numbers[0].end, detail=f"{HARDEST_SESSION:g}")
    if spoken[0].text in ("finished", "end", "finish") or not any(token.kind is Kind.CROSS for token in spoken):
        return Done(effort)
    return None


_DONE_FILLERS = frozenset(
    {"rpe", "effort", "session", "out", "of", "for", "today", "about", "was", "it", "that", "a", "an", "hard"}
)


def _help(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    rest = [fold_word(token.text) for token in spoken[1:]]
    if not rest:
        return Help()
    topic = next((TOPICS[word] for word in rest if word in TOPICS), None)
    return Help(topic) if topic is not None or len(rest) <= 2 else None


def _of_ones_own(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`my weight is 81.5`, `my bar is 15 kg`."""
    return (
        bar_told(asking, spoken[1:]) if len(spoken) > 2 and spoken[1].text == "bar" else body_mass_told(asking, spoken)
    )


def _of_oneself(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`i weigh 81.5`, `i only have 30 min`."""
    return body_mass_told(asking, spoken) or short_told(asking, spoken)


def _take_back(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`delete the last two sets`: each message is taken back by itself."""
    several = any(token.text in ("sets", "messages", "all", "twice") for token in spoken[1:])
    if not several and not (len(spoken) < 5 and spoken[-1].kind is Kind.NUMBER):
        return None
    end = len(asking.text.folded.rstrip())
    raise Refused(ProblemKind.UNKNOWN, spoken[0].start, end, instead="undo")


def _consent(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    first = spoken[0]
    if len(spoken) == 1:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, first.end, instead="consent on")
    return None


def _new_exercise(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`new exercise tyre flip: quadriceps`, `new exercise rope pull: nowhere with cable`."""
    if len(spoken) < 3 or spoken[1].text != "exercise":
        return None
    typed = asking.text.typed_part(spoken[1].end, len(asking.text.folded))
    name, colon, muscle = typed.rpartition(":")
    if not colon or not fold(name):
        return None
    told, loaded, equipment = muscle.strip().lower().partition(" with ")
    if (told != "nowhere" and told not in set(Muscle)) or (loaded and equipment not in set(Equipment)):
        return None
    trained = None if told == "nowhere" else Muscle(told)
    return NewExercise(fold(name), trained, Equipment(equipment) if loaded else None)


def _check_in(asking: Asking, spoken: Sequence[Token]) -> Answer:
    # `check-in sun 18:00` says when to ask.
    return check_in_told(asking, spoken) or wish_told(asking, spoken)


def _chart(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`chart bench`, `chart of my squat max`."""
    rest = [token for token in spoken[1:] if token.text not in _POLITE and token.text not in _MAX_WORDS]
    if not rest or any(token.kind is Kind.CROSS for token in rest):
        return DrawChart(ChartOf.ESTIMATE) if len(spoken) > 1 and not rest else None
    return DrawChart(ChartOf.ESTIMATE, exercise_named(asking, rest))


def _start(asking: Asking, spoken: Sequence[Token]) -> Answer:
    # `/start` with whatever a link added to it.
    del spoken
    return Start() if asking.text.folded.lstrip().startswith("/start") else None


_VERBS: Mapping[str, Callable[[Asking, Sequence[Token]], Answer]] = {
    **dict.fromkeys(("done", "finished", "finish", "end"), _done),
    "help": _help,
    **dict.fromkeys(("unit", "units", "use", "switch"), units_told),
    **dict.fromkeys(("bw", "bodyweight", "body", "weight", "wt", "weigh", "weighed", "weighin"), body_mass_told),
    "my": _of_ones_own,
    "i": _of_oneself,
    "bar": bar_told,
    **dict.fromkeys(("zone", "timezone", "tz"), zone_told),
    "time": lambda asking, spoken: zone_told(asking, spoken) if len(spoken) > 1 and spoken[1].text == "zone" else None,
    "consent": _consent,
    **dict.fromkeys(("rest", "timer"), rest_told),
    "quiet": quiet_told,
    **dict.fromkeys(("morning", "mornings"), morning_told),
    "new": _new_exercise,
    **dict.fromkeys(("undo", "delete", "remove", "scratch"), _take_back),
    "start": _start,
    **SESSION_VERBS,
    "pause": pause_told,
    **dict.fromkeys(WISH_VERBS, wish_told),
    **dict.fromkeys(("check", "checkin"), _check_in),
    **dict.fromkeys(ITEMS, felt_told),
    "advice": advice_told,
    "link": link_told,
    "unlink": unlink_told,
    **dict.fromkeys(("chart", "graph", "plot"), _chart),
}


# Questions about an exercise


def _about_exercise(asking: Asking, kept: Sequence[Token]) -> Answer:
    first, last = kept[0].text, kept[-1].text
    for told, others in ((first, kept[1:]), (last, kept[:-1])):
        if told not in _MAX_WORDS and told not in _HISTORY_WORDS:
            continue
        rest = [
            token for token in others if token.text not in ("time", "on", "in", "session", "did", "rm", "rep", "when")
        ]
        if not rest:
            return None
        name = exercise_named(asking, rest)
        return Max(name) if told in _MAX_WORDS else History(name)
    return None


def _misspelt(asking: Asking, kept: Sequence[Token]) -> Answer:
    if len(kept) != 1:
        return None
    word = kept[0].text
    if asking.names.exact(fold_word(word)) is not None:
        return None
    return spelt_command(word)
