"""Help in words: what can be texted, one phone screen a topic."""

from core.domain.commands import Topic

_FIRST = (
    "text your sets as you do them: `bench 80x5 rir2`\n"
    "no name? it goes to the last exercise: `80x5`\n"
    "the same again: `same` · wrong: `fix 82.5x5`, `undo`\n"
    "`done` ends the session\n"
    "`week` hard sets · `max bench` · `history bench`\n"
    "`settings` · `privacy`\n"
    "more: `help sets`, `help effort`, `help mistakes`, `help numbers`, `help warm-ups`, `help data`, `help reminders`, `help care`"
)

_TOPICS = {
    Topic.START: (
        "`start` tells who runs this and what is kept, then a few questions with taps lead to a plan\n"
        "`settings` shows what is set and how to change it · `plan` your block · `plan new` two to choose from\n"
        "`my own mon: bench 5x5, row 3x8` your own week · `plan off` none: logging works all the same\n"
        "`pause until 3 may`, `resume`, `sick`, `travel` · `plates 92.5` what to load"
    ),
    Topic.SETS: (
        "`80x5` load x reps · `5@80kg` works too\n"
        "`3x5 @ 100` three sets of five · `100x5,5,4`\n"
        "`pull ups 8, 7, 6` · `bw+10x8` · `bw-20x8`\n"
        "`plank 2x40s` · `lunges 20x10/10`\n"
        "`bench 80x5, row 60x10` two lifts in one message\n"
        "`yesterday bench 80x5` for a day gone by"
    ),
    Topic.EFFORT: (
        "reps left: `80x5 rir2` or `80x5, 2 left`\n"
        "`80x5 @8` or `rpe 8` on the scale to 10\n"
        "`80x5 to failure` · `4+ left` for at least four\n"
        "a miss: `80x4 f`, or `4 (failed 5th)`\n"
        "without effort it works too, a little less sure"
    ),
    Topic.MISTAKES: (
        "`undo` takes the last change back, again and again\n"
        "`fix 82.5x5` or `fix rir2` changes the last set\n"
        "editing or deleting your message does the same, where the chat tells me"
    ),
    Topic.WARMUPS: "`w 40x10`, `wu 60x5`: kept, not counted as work. Lighter sets on the way up are seen as such",
    Topic.NUMBERS: (
        "est. 1RM: what you could lift once when rested, with the range it lies in 9 times out of 10\n"
        "hard sets: work sets close enough to your limit; 1 for muscles a lift trains directly, half for helpers\n"
        "sets of 1 or 2 reps and warm-ups are not counted"
    ),
    Topic.DATA: (
        "`privacy` tells what is kept · `consent on` or `off` for health data · `forget me` erases everything\n"
        "`link` lets another chat of yours share this log · `unlink`"
    ),
    Topic.REMINDERS: (
        "`reminders` tells what comes next by itself\n"
        "`rest 3:00` says when your rest after a set is over · `skip rest` · `rest off`\n"
        "usual rests: 3 min after a main lift, 2 after other big ones, 90 s after small ones\n"
        "`quiet 22-7` for the hours without messages\n"
        "`morning 6:30` for the time of the day's session"
    ),
    Topic.CARE: (
        "not a medical device, no diagnosis. Clinician, coach on site, gym rules and local law go first\n"
        "pain or pressure in the chest, fainting, numbness: stop, local emergency number\n"
        "pressing alone: safety arms just under chest height, above the neck"
    ),
}

MENU = (
    ("help", "what you can text"),
    ("week", "hard sets of this week"),
    ("max", "estimated maximum: max bench"),
    ("history", "last sessions of a lift: history bench"),
    ("same", "the last set again"),
    ("undo", "take the last change back"),
    ("done", "end the session"),
    ("settings", "units, bar, time zone"),
    ("privacy", "what is kept, and how to take or erase it"),
    ("start", "who runs this, and the first step"),
)
"""Commands that a platform with a menu shows, with a few words each; all of them stand in the texts above."""


def text(topic: Topic | None) -> str:
    """Help in general, or on one topic."""
    return _FIRST if topic is None else _TOPICS[topic]
