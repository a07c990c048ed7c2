"""Requests: texts that ask for something or change a setting, and are no sets."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz.distance import OSA

from core.domain.commands import (
    AllWell,
    AsPlanned,
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    Done,
    Doubt,
    ForgetMe,
    Help,
    History,
    LogSets,
    Max,
    NewExercise,
    Pain,
    PainAnswer,
    Privacy,
    Respelt,
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
from core.domain.exercises import Muscle
from core.domain.names import fold
from core.domain.problems import ProblemKind
from core.domain.sets import SetRead
from core.domain.units import Load, Unit
from core.notation.doubts import Doubts, Refused
from core.notation.keywords import LIGHTEST_LIFTER
from core.notation.tokens import Kind, Text, Token
from core.notation.vocabulary import UNITS
from core.notation.walk import fold_word
from core.notation.words import Names

HARDEST_SESSION = 10.0
"""End of the scale of session effort. Foster et al. 2001."""

HEAVIEST_BAR_KG = 30.0
"""Heaviest bar that a number without a unit means in kilograms; more is pounds. [kg] Bars weigh 5 to 30 kg."""

BAR_OR_REPS = 12.0
"""Up to here `bar 10` may as well be repetitions with the bar. [repetitions]"""

HEAVIEST_BODY_KG = 400.0
"""Largest body mass that is read. [kg] Adults on record, with room."""

POUNDS_FROM = 100.0
"""From here a body mass without a unit may as well be pounds. [kg or lb]"""

Answer = Command | None


@dataclass(frozen=True, slots=True)
class Asking:
    """A text on its way to a command.

    Args:
        text: The folded text.
        tokens: Its tokens, END behind the last.
        names: Exercises that the lifter can name.
        doubts: Where two readings are noted.
        unit: The unit this lifter told; None if never.
        respelt: Where close spellings are noted.

    """

    text: Text
    tokens: Sequence[Token]
    names: Names
    doubts: Doubts
    unit: Unit | None
    respelt: list[Respelt]


def request_in(asking: Asking) -> Answer:
    """The command that a text without sets is; None if it is none.

    Raises:
        Refused: it is one, but incomplete or with an impossible value.

    """
    spoken = _spoken(asking.tokens)
    if not spoken:
        return Help() if asking.text.folded.strip(" \n/!.") == "?" else None
    words = [token.text.replace("'", "") for token in spoken]
    if len(words) <= LONGEST_PHRASE and (command := _PHRASES.get(" ".join(words))) is not None:
        return command
    if (verb := _VERBS.get(words[0])) is not None and (command := verb(asking, spoken)) is not None:
        return command
    if any(token.kind is Kind.NUMBER for token in spoken):
        return None
    kept = [token for token in spoken if token.text.replace("'", "") not in _POLITE]
    if not kept or len(kept) > LONGEST_PHRASE:
        return None
    plain = " ".join(token.text.replace("'", "") for token in kept)
    if (command := _PHRASES.get(plain)) is not None:
        return command
    if (verb := _VERBS.get(kept[0].text)) is not None and (command := verb(asking, kept)) is not None:
        return command
    return _about_exercise(asking, kept) or _misspelt(asking, kept)


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


LONGEST_PHRASE = 8
"""Most words of a request that is no set. [words]"""

_POLITE = frozenset(
    """please pls show me my the whats what is give tell see for of a an hey ok can could i you want need how much do did to
    are was get list display thanks thx thank today wrong typo mistake sorry when now""".split()
)

_PHRASES: Mapping[str, Command] = {
    **dict.fromkeys(
        (
            "help",
            "helps",
            "commands",
            "how does this work",
            "what can i text",
            "what can i say",
            "how",
            "how to",
            "manual",
            "h",
        ),
        Help(),
    ),
    **dict.fromkeys(
        (
            *("undo", "undo that", "undo last", "undo it", "undo last set", "oops", "ooops", "whoops", "delete that"),
            *(
                "delete last",
                "delete last set",
                "delete it",
                "delete",
                "scratch that",
                "scratch it",
                "scratch",
                "remove that",
            ),
            *(
                "remove last",
                "remove last set",
                "take that back",
                "take it back",
                "oops undo",
                "undo please",
                "strike that",
            ),
        ),
        Undo(),
    ),
    **dict.fromkeys(
        (
            *(
                "same",
                "same again",
                "again",
                "ditto",
                "repeat",
                "same set",
                "another",
                "another one",
                "one more",
                "same same",
            ),
            *(
                "one more set",
                "another set",
                "same as before",
                "same as last",
                "repeat that",
                "repeat last",
                "same weight",
            ),
            *("and again", "once more", "same as last set", "same thing"),
        ),
        Same(),
    ),
    **dict.fromkeys(
        (
            *(
                "done",
                "finished",
                "finish",
                "thats it",
                "thats all",
                "thats me",
                "im done",
                "i am done",
                "all done",
                "end",
            ),
            *("done for today", "done today", "finished for today", "session done", "end session", "close session"),
            *(
                "end of session",
                "workout done",
                "done training",
                "training done",
                "finish session",
                "all finished",
                "im finished",
            ),
            *("done for the day", "thats a wrap", "i am finished", "that is it", "that is all", "end workout"),
        ),
        Done(),
    ),
    **dict.fromkeys(
        (
            "did it",
            "did that",
            "did all",
            "did them all",
            "as planned",
            "done as planned",
            "did as planned",
            "did everything",
        ),
        AsPlanned(),
    ),
    **dict.fromkeys(
        (
            "week",
            "this week",
            "weekly",
            "weekly sets",
            "week sets",
            "sets this week",
            "week so far",
            "hard sets",
            "weeks",
            "weekly volume",
        ),
        Week(),
    ),
    **dict.fromkeys(("max", "1rm", "one rep max", "pr", "prs", "estimate", "maxes"), Max()),
    **dict.fromkeys(("history", "last", "last time", "last session", "hist", "last workout"), History()),
    **dict.fromkeys(("settings", "setting", "options", "preferences", "config"), Settings()),
    **dict.fromkeys(("privacy", "privacy policy", "data", "who runs this"), Privacy()),
    **dict.fromkeys(
        ("start", "begin", "setup", "set up", "get started", "lets start", "lets go", "start setup"), Start()
    ),
    **dict.fromkeys(
        (
            "forget me",
            "delete me",
            "delete data",
            "delete everything",
            "erase me",
            "erase everything",
            "delete account",
            "forget everything",
            "delete my data",
            "erase my data",
            "delete my account",
            "delete all my data",
        ),
        ForgetMe(),
    ),
    **dict.fromkeys(
        ("forget me yes", "yes forget me", "forget me confirmed", "forget me for good"), ForgetMe(confirmed=True)
    ),
    **dict.fromkeys(
        (
            *("cleared", "cleared by clinician", "cleared by a clinician", "cleared by doctor", "cleared by my doctor"),
            *(
                "cleared by a doctor",
                "doctor cleared me",
                "my doctor cleared me",
                "clinician cleared me",
                "a clinician cleared me",
            ),
            *(
                "doctor says ok",
                "doctor says its fine",
                "i am cleared",
                "im cleared",
                "doc cleared me",
                "saw a doctor all clear",
            ),
            *(
                "a clinician has looked at it",
                "clinician has looked at it",
                "cleared to train",
                "a doctor has looked at it",
            ),
        ),
        Cleared(),
    ),
    **dict.fromkeys(("kg", "kgs", "kilos", "in kg", "in kilos", "kilograms"), UseUnit(Unit.KG)),
    **dict.fromkeys(("lb", "lbs", "pounds", "in lb", "in lbs", "in pounds"), UseUnit(Unit.LB)),
    **dict.fromkeys(("all well", "i am fine", "im fine", "all is well", "im ok", "i am ok", "i am well"), AllWell()),
    **dict.fromkeys(("never mind", "nevermind", "nvm", "cancel", "forget it", "ignore that", "skip that"), Cancel()),
    **{f"unwell {sign.value.replace('-', ' ')}": Unwell(sign) for sign in Sign},
    **{f"pain {answer.value}": Pain(answer) for answer in PainAnswer},
    **dict.fromkeys(("consent on", "consent yes", "i consent", "yes i consent", "consent given"), Consent(given=True)),
    **dict.fromkeys(
        ("consent off", "consent no", "withdraw consent", "revoke consent", "no consent", "consent withdrawn"),
        Consent(given=False),
    ),
    **dict.fromkeys(
        ("bw off", "weight off", "body mass off", "bodyweight off", "body weight off", "mass off", "no body mass"),
        BodyMassOff(),
    ),
    **dict.fromkeys(("bw", "body mass", "body weight", "bodyweight", "what do i weigh"), BodyMass()),
}

_TOPICS: Mapping[str, Topic] = {
    **dict.fromkeys(("start", "setup", "begin", "starting"), Topic.START),
    **dict.fromkeys(("set", "log", "logging", "notation", "writing", "entry"), Topic.SETS),
    **dict.fromkeys(("effort", "rir", "rpe", "failure", "left"), Topic.EFFORT),
    **dict.fromkeys(
        ("mistake", "undo", "fix", "correct", "correction", "edit", "error", "delete", "wrong"), Topic.MISTAKES
    ),
    **dict.fromkeys(("warm", "warmup", "w"), Topic.WARMUPS),
    **dict.fromkeys(("number", "max", "week", "history", "stat", "stats", "estimate", "1rm"), Topic.NUMBERS),
    **dict.fromkeys(("data", "privacy", "consent", "export", "forget"), Topic.DATA),
    **dict.fromkeys(("care", "pain", "health", "safety", "injury", "caution"), Topic.CARE),
}

_MAX_WORDS = frozenset({"max", "1rm", "e1rm", "pr", "estimate", "prs", "best"})
_HISTORY_WORDS = frozenset({"history", "last", "hist", "sessions", "progress"})

_SPELT: Mapping[str, Command] = {
    "undo": Undo(),
    "help": Help(),
    "week": Week(),
    "done": Done(),
    "same": Same(),
    "again": Same(),
    "ditto": Same(),
    "repeat": Same(),
    "history": History(),
    "settings": Settings(),
    "privacy": Privacy(),
    "finished": Done(),
}
"""Commands that are known by a close spelling: none that erases anything for good."""

_NEIGHBOURS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_OTHER_WORDS = frozenset(
    {"sane", "dine", "bone", "gone", "weak", "seek", "held", "kelp", "heal", "gain", "dome", "does", "under", "wek"}
)


# Verbs with something behind them


def _same(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`same x3`, `same 3 times`, `again twice`; the rest is read as a set by the message."""
    words = [token.text for token in spoken[1:]]
    while words and words[0] in ("again", "set", "same", "but", "as", "before", "last", "weight"):
        words = words[1:]
    joined = " ".join(words)
    times = _TIMES.get(joined)
    if times is None:
        parts = joined.split()
        number = next((part for part in parts if part.isdigit()), None)
        shaped = number is not None and joined.replace(number, "n") in (
            "x n",
            "n x",
            "n times",
            "n more times",
            "n more sets",
            "n sets",
        )
        times = int(number) if shaped and number is not None and len(number) < 3 else None
    if times is None:
        return None
    if not 1 <= times <= 30:
        raise Refused(ProblemKind.TOO_MANY_SETS, spoken[1].start, spoken[-1].end, detail="30")
    return Same(times)


_TIMES = {"twice": 2, "x two": 2, "x three": 3, "two times": 2, "three times": 3, "once": 1, "": 1}


def _done(asking: Asking, spoken: Sequence[Token]) -> Answer:
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


def _help(asking: Asking, spoken: Sequence[Token]) -> Answer:
    rest = [fold_word(token.text) for token in spoken[1:]]
    if not rest:
        return Help()
    topic = next((_TOPICS[word] for word in rest if word in _TOPICS), None)
    return Help(topic) if topic is not None or len(rest) <= 2 else None


def _units(asking: Asking, spoken: Sequence[Token]) -> Answer:
    units = [UNITS[token.text] for token in spoken[1:] if token.text in UNITS]
    rest = [token for token in spoken[1:] if token.text not in UNITS and token.text not in _UNIT_FILLERS]
    first = spoken[0]
    if rest:
        if first.text in ("unit", "units"):
            raise Refused(ProblemKind.NOT_A_UNIT, rest[0].start, rest[-1].end, instead="kg")
        return None
    if len(units) != 1:
        if first.text in ("unit", "units"):
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, first.end, instead=f"{first.text} kg")
        return None
    return UseUnit(units[0])


_UNIT_FILLERS = frozenset(
    {"to", "in", "use", "unit", "units", "are", "the", "please", "is", "now", "instead", "set", "my", "from", "on"}
)


def _body_mass(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`bw 81.5`, `weight 81.5 kg`, `i weigh 180 lb`; `bw 8` is asked."""
    rest = [token for token in spoken if token.text not in _MASS_WORDS]
    if not rest or rest[0].kind is not Kind.NUMBER or len(rest) > 2:
        return None
    told = rest[1].text if len(rest) == 2 else ""
    if told and told not in UNITS:
        return None
    if any(
        token.kind not in (Kind.WORD, Kind.NUMBER, Kind.COLON, Kind.EQUALS, Kind.END, Kind.POUNDS)
        for token in asking.tokens
    ):
        return None
    number = rest[0]
    amount = float(number.text)
    unit = UNITS.get(told)
    first = spoken[0].text
    if unit is None and first in ("bw", "bodyweight") and len(spoken) == 2 and amount.is_integer() and amount < 60:
        likely = ["reps", "mass"] if amount < LIGHTEST_LIFTER else ["mass", "reps"]
        way = asking.doubts.value(Doubt.BODY, "bw", likely, start=spoken[0].start, end=number.end)
        if way == "reps":
            return LogSets((SetRead(bodyweight=True, reps=int(amount)),))
        return BodyMass(Load(amount, asking.unit or Unit.KG))
    if unit is None and first in ("weight", "wt", "load") and amount.is_integer():
        way = asking.doubts.value(
            Doubt.BODY, "weight", ["mass", "load"], start=spoken[0].start, end=number.end, taught=False
        )
        if way == "load":
            return LogSets((SetRead(load=amount),))
    if unit is None and asking.unit is None and amount >= POUNDS_FROM:
        value = asking.doubts.value(Doubt.UNIT, "unit", ["lb", "kg"], start=number.start, end=number.end)
        unit = Unit(value)
    unit = unit or asking.unit or Unit.KG
    if not 0 < amount * unit.in_kg <= HEAVIEST_BODY_KG:
        raise Refused(ProblemKind.NOT_A_LOAD, number.start, rest[-1].end)
    return BodyMass(Load(amount, unit))


_MASS_WORDS = frozenset(
    {
        "bw",
        "bodyweight",
        "body",
        "mass",
        "weight",
        "wt",
        "i",
        "weigh",
        "weighed",
        "my",
        "is",
        "today",
        "now",
        "was",
        "in",
        "at",
        "am",
        "im",
        "this",
        "morning",
    }
)


def _bar(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`bar 15`, `bar 45 lb`, `bar is 20 kg`; `bar 10` may be repetitions."""
    rest = [token for token in spoken[1:] if token.text not in ("is", "weighs", "weight", "was", "to", "of")]
    if not rest and len(spoken) == 1:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, spoken[0].end, instead=f"{spoken[0].text} 20kg")
    if not rest or rest[0].kind is not Kind.NUMBER or len(rest) > 2 or (len(rest) == 2 and rest[1].text not in UNITS):
        return None
    if any(token.kind not in (Kind.WORD, Kind.NUMBER, Kind.COLON, Kind.EQUALS, Kind.END) for token in asking.tokens):
        return None
    number = rest[0]
    amount = float(number.text)
    unit = UNITS[rest[1].text] if len(rest) == 2 else None
    if unit is None and amount <= BAR_OR_REPS and amount.is_integer() and len(spoken) == 2:
        start, end = spoken[0].start, number.end
        way = asking.doubts.value(Doubt.OTHER, "bar", ["reps", "bar"], start=start, end=end, taught=False)
        if way == "reps":
            return LogSets((SetRead(bar=True, reps=int(amount)),))
    if unit is None:
        unit = (
            Unit.LB
            if amount > HEAVIEST_BAR_KG or (asking.unit is Unit.LB and amount > HEAVIEST_BAR_KG / 2)
            else Unit.KG
        )
    if not 0 < amount * unit.in_kg <= HEAVIEST_BAR_KG + 1:
        raise Refused(ProblemKind.NOT_A_LOAD, number.start, rest[-1].end)
    return UseBar(Load(amount, unit))


def _zone(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`zone Europe/Oslo`: the zone as typed, whatever its letters' case."""
    behind = spoken[1] if spoken[0].text == "time" and len(spoken) > 1 else spoken[0]
    start = behind.end
    typed = asking.text.typed_part(start, len(asking.text.folded)).strip(" :=\n")
    if not typed:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, spoken[0].start, behind.end, instead="zone Europe/Oslo")
    zone = "_".join(typed.split())
    if len(zone) > LONGEST_ZONE or not all(
        letter.isascii() and (letter.isalnum() or letter in "_/+-:") for letter in zone
    ):
        return None
    return UseZone(zone)


LONGEST_ZONE = 40
"""Longest name of a time zone. [characters] The IANA list's longest has 32."""


def _consent(asking: Asking, spoken: Sequence[Token]) -> Answer:
    first = spoken[0]
    if len(spoken) == 1:
        raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, first.end, instead="consent on")
    return None


def _new_exercise(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`new exercise tyre flip: quadriceps`."""
    if len(spoken) < 3 or spoken[1].text != "exercise":
        return None
    typed = asking.text.typed_part(spoken[1].end, len(asking.text.folded))
    name, colon, muscle = typed.rpartition(":")
    if not colon or not fold(name):
        return None
    told = muscle.strip().lower()
    if told == "nowhere":
        return NewExercise(fold(name), None)
    return NewExercise(fold(name), Muscle(told)) if told in set(Muscle) else None


def _start(asking: Asking, spoken: Sequence[Token]) -> Answer:
    # `/start` with whatever a link added to it.
    del spoken
    return Start() if asking.text.folded.lstrip().startswith("/start") else None


_VERBS: Mapping[str, Callable[[Asking, Sequence[Token]], Answer]] = {
    **dict.fromkeys(("same", "again", "ditto", "repeat"), _same),
    **dict.fromkeys(("done", "finished", "finish", "end"), _done),
    "help": _help,
    **dict.fromkeys(("unit", "units", "use", "switch"), _units),
    **dict.fromkeys(("bw", "bodyweight", "body", "weight", "wt", "i", "weigh", "weighed", "my", "weighin"), _body_mass),
    "bar": _bar,
    **dict.fromkeys(("zone", "timezone", "tz"), _zone),
    "time": lambda asking, spoken: _zone(asking, spoken) if len(spoken) > 1 and spoken[1].text == "zone" else None,
    "consent": _consent,
    "new": _new_exercise,
    "start": _start,
}


# Questions about an exercise


def _about_exercise(asking: Asking, kept: Sequence[Token]) -> Answer:
    first, last = kept[0].text, kept[-1].text
    for told, rest in ((first, kept[1:]), (last, kept[:-1])):
        if told not in _MAX_WORDS and told not in _HISTORY_WORDS:
            continue
        rest = [
            token for token in rest if token.text not in ("time", "on", "in", "session", "did", "rm", "rep", "when")
        ]
        if not rest:
            return None
        name = _exercise(asking, rest)
        return Max(name) if told in _MAX_WORDS else History(name)
    return None


def _exercise(asking: Asking, words: Sequence[Token]) -> str:
    start, end = words[0].start, words[-1].end
    folded = fold(asking.text.typed_part(start, end))
    if (name := asking.names.exact(folded)) is not None:
        return name
    meant = asking.names.close(folded)
    if not meant:
        raise Refused(ProblemKind.UNKNOWN_EXERCISE, start, end)
    typed = " ".join(asking.text.typed_part(start, end).split())
    exercises = [each.exercise for each in meant]
    name = asking.doubts.value(Doubt.NAME, f"name {typed.lower()}", exercises, start=start, end=end, taught=False)
    if meant[0].respelt:
        asking.respelt.append(Respelt(typed, name))
    return name


def _misspelt(asking: Asking, kept: Sequence[Token]) -> Answer:
    if len(kept) != 1:
        return None
    word = kept[0].text
    if asking.names.exact(fold_word(word)) is not None:
        return None
    return _spelt(word)


@lru_cache(maxsize=256)
def _spelt(word: str) -> Answer:
    """Command that a word is one slip of the thumb away from: letters changed over, doubled, left out, or a neighbour hit."""
    if len(word) < 3 or len(word) > 10 or word in _OTHER_WORDS:
        return None
    for known, command in _SPELT.items():
        if abs(len(known) - len(word)) > 1 or OSA.distance(word, known, score_cutoff=1) != 1:
            continue
        if len(known) == len(word):
            places = [place for place in range(len(word)) if word[place] != known[place]]
            if len(places) == 1 and not _are_neighbours(word[places[0]], known[places[0]]):
                continue
        return command
    return None


def _are_neighbours(one: str, other: str) -> bool:
    for row in _NEIGHBOURS:
        if one in row and other in row:
            return abs(row.index(one) - row.index(other)) == 1
    return False
