"""Phrases: whole texts that are a command, and the words of it that are known by a close spelling."""

from collections.abc import Iterator, Mapping
from functools import lru_cache

from rapidfuzz.distance import OSA

from core.domain.check_in_commands import BeginCheckIn
from core.domain.checkins import Tag
from core.domain.clock_commands import ShowReminders, SkipRest
from core.domain.commands import (
    AllWell,
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    Done,
    ForgetMe,
    Help,
    History,
    Max,
    Pain,
    PainAnswer,
    Privacy,
    Same,
    Settings,
    Sign,
    Start,
    Topic,
    Undo,
    Unwell,
    UseUnit,
    Week,
)
from core.domain.plan_commands import NewPlan, PausedBench, PlanOff, Resume, ShowPlan, SkipStep, TagWeek, TakePlan
from core.domain.plans import Difference
from core.domain.prescriptions import Place
from core.domain.session_commands import Today
from core.domain.setups import SetupStep
from core.domain.units import Unit
from core.notation import check_ins
from core.notation.plain_phrases import PLAIN_PHRASES
from core.notation.session_phrases import SESSION_PHRASES


def _phrases() -> Iterator[tuple[str, Command]]:
    told: tuple[tuple[Command, str], ...] = (
        (
            Help(),
            """help | helps | commands | how does this work | what can i text | what can i say | how | how to | manual | h
            | hi | hello | hey | hi there | good morning | good evening | yo | sup | whats up | how are you | hows it going""",
        ),
        (
            Undo(),
            """undo | undo that | undo last | undo it | undo last set | oops | ooops | whoops | delete that | delete last |
            delete last set | delete it | delete | scratch that | scratch it | scratch | remove that | remove last |
            remove last set | take that back | take it back | oops undo | undo please | strike that""",
        ),
        (
            Same(),
            """same | same again | again | ditto | repeat | same set | another | another one | one more | same same | one
            more set | another set | same as before | same as last | repeat that | repeat last | same weight | and again
            | once more | same as last set | same thing""",
        ),
        (
            Done(),
            """done | finished | finish | thats it | thats all | thats me | im done | i am done | all done | end | done for
            today | done today | finished for today | session done | end session | close session | end of session |
            workout done | done training | training done | finish session | all finished | im finished | done for the
            day | thats a wrap | i am finished | that is it | that is all | end workout""",
        ),
        (
            Week(),
            """week | this week | weekly | weekly sets | week sets | sets this week | week so far | hard sets | weeks |
            weekly volume""",
        ),
        (Max(), "max | 1rm | one rep max | pr | prs | estimate | maxes | how strong am i | how strong am i now"),
        (History(), "history | last | last time | last session | hist | last workout"),
        (
            SkipRest(),
            """skip rest | skip this rest | skip my rest | end rest | end the rest | end this rest | cancel rest | stop timer |
            stop the timer | cancel timer | cancel the timer | skip timer | skip the timer | rest is over | done resting""",
        ),
        (ShowReminders(), "reminders | reminder | remind | whats next | what is next | coming up | next reminders"),
        (Settings(), "settings | setting | options | preferences | config"),
        (Privacy(), "privacy | privacy policy | data | who runs this"),
        (Start(), "start | begin | setup | set up | get started | lets start | lets go | start setup"),
        (
            ForgetMe(),
            """forget me | delete me | delete data | delete everything | erase me | erase everything | delete account |
            forget everything | delete my data | erase my data | delete my account | delete all my data""",
        ),
        (ForgetMe(confirmed=True), "forget me yes | yes forget me | forget me confirmed | forget me for good"),
        (
            Cleared(),
            """cleared | cleared by clinician | cleared by a clinician | cleared by doctor | cleared by my doctor | cleared
            by a doctor | doctor cleared me | my doctor cleared me | clinician cleared me | a clinician cleared me |
            doctor says ok | doctor says its fine | i am cleared | im cleared | doc cleared me | saw a doctor all clear
            | a clinician has looked at it | clinician has looked at it | cleared to train | a doctor has looked at it""",
        ),
        (UseUnit(Unit.KG), "kg | kgs | kilos | in kg | in kilos | kilograms"),
        (UseUnit(Unit.LB), "lb | lbs | pounds | in lb | in lbs | in pounds"),
        (AllWell(), "all well | i am fine | im fine | all is well | im ok | i am ok | i am well"),
        (Cancel(), "never mind | nevermind | nvm | cancel | forget it | ignore that | skip that"),
        (Consent(given=True), "consent on | consent yes | i consent | yes i consent | consent given"),
        (
            Consent(given=False),
            "consent off | consent no | withdraw consent | revoke consent | no consent | consent withdrawn",
        ),
        (
            BodyMassOff(),
            "bw off | weight off | body mass off | bodyweight off | body weight off | mass off | no body mass",
        ),
        (ShowPlan(), "plan | my plan | the plan | block | show plan | training plan | my block"),
        (NewPlan(), "plan new | new plan | another plan | make a plan | make me a plan | other plan"),
        (PlanOff(), "plan off | no plan | stop plan | drop plan | without a plan"),
        (
            Resume(),
            """resume | feeling better | i feel better | im better | im feeling better | all better | well again | im well
            again | healthy again | not sick any more | not sick anymore | im back | i am back | back again
            | unpause | pause off | end pause | pause over""",
        ),
        (PausedBench(paused=True), "paused bench | bench paused | i pause my bench | my bench is paused"),
        (
            PausedBench(paused=False),
            "touch and go bench | bench touch and go | tng bench | bench tng | my bench is touch and go",
        ),
        (BodyMass(), "bw | body mass | body weight | bodyweight | what do i weigh"),
    )
    for command, texts in (*PLAIN_PHRASES, *told, *SESSION_PHRASES):
        for text in texts.split("|"):
            yield " ".join(text.split()), command
    for sign in Sign:
        yield f"unwell {sign.value.replace('-', ' ')}", Unwell(sign)
    for answer in PainAnswer:
        yield f"pain {answer.value}", Pain(answer)
        for place in Place:
            yield f"pain {answer.value} {place.value}", Pain(answer, place)
    for step in SetupStep:
        yield f"skip question {step.value}", SkipStep(step)
    for difference in Difference:
        yield f"take plan {difference.value}", TakePlan(difference)
    for tag in Tag:
        for text in _TAGGED[tag].split("|"):
            yield " ".join(text.split()), TagWeek(tag)
        for end in ("off", "over"):
            yield f"{tag.value} {end}", TagWeek(tag, on=False)


_TAGGED = {
    Tag.SICK: "sick | im sick | i am sick | ill | im ill | i am ill | sick week",
    Tag.TRAVEL: "travel | travelling | traveling | on the road | travel week",
    Tag.NIGHTS: "nights | night shifts | on nights | night shift",
    Tag.CUTTING: "cutting | im cutting | on a cut | dieting | cutting on",
}

PHRASES: Mapping[str, Command] = {**dict(_phrases()), **check_ins.PHRASES}
"""Commands by their whole text: lower case, single blanks, no apostrophes and signs."""

TOPICS: Mapping[str, Topic] = {
    **dict.fromkeys(("start", "setup", "begin", "starting"), Topic.START),
    **dict.fromkeys(("set", "log", "logging", "notation", "writing", "entry"), Topic.SETS),
    **dict.fromkeys(("effort", "rir", "rpe", "failure", "left"), Topic.EFFORT),
    **dict.fromkeys(
        ("mistake", "undo", "fix", "correct", "correction", "edit", "error", "delete", "wrong"), Topic.MISTAKES
    ),
    **dict.fromkeys(("warm", "warmup", "w"), Topic.WARMUPS),
    **dict.fromkeys(("number", "max", "week", "history", "stat", "stats", "estimate", "1rm"), Topic.NUMBERS),
    **dict.fromkeys(("reminder", "rest", "timer", "quiet", "morning", "clock"), Topic.REMINDERS),
    **dict.fromkeys(("data", "privacy", "consent", "export", "forget"), Topic.DATA),
    **dict.fromkeys(("care", "pain", "health", "safety", "injury", "caution"), Topic.CARE),
}
"""Topics of help by the folded words for them."""

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
    "reminders": ShowReminders(),
    "privacy": Privacy(),
    "finished": Done(),
    "today": Today(),
    "resume": Resume(),
    "plan": ShowPlan(),
    "checkin": BeginCheckIn(),
}
"""Commands that are known by a close spelling: none that erases anything for good."""

_NEIGHBOURS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_OTHER_WORDS = frozenset(
    {"sane", "dine", "bone", "gone", "weak", "seek", "held", "kelp", "heal", "gain", "dome", "does", "under", "wek"}
)


@lru_cache(maxsize=256)
def spelt_command(word: str) -> Command | None:
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
