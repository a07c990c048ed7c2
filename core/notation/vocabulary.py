"""Vocabulary: the closed lists of words that have a meaning beside numbers, and those that are only comments."""

from collections.abc import Mapping

from core.domain.units import Unit

UNITS: Mapping[str, Unit] = {
    **dict.fromkeys(
        ("kg", "kgs", "kilo", "kilos", "kilo's", "kilogram", "kilograms", "kilogramme", "kilogrammes", "k"),
        Unit.KG,
    ),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), Unit.LB),
}
"""Words for a unit of load; `k` only directly after a number."""

SECONDS: Mapping[str, float] = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1.0),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), 60.0),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600.0),
}
"""Words for a length of time, in seconds. [s]"""

REPS = frozenset({"rep", "reps", "r", "repetition", "repetitions", "repeats"})
SETS = frozenset({"set", "sets", "round", "rounds", "series"})
LOAD_LABELS = frozenset({"load", "weight", "wt"})

AT = frozenset({"at"})
LINKS = frozenset({"for", "by", "times", "of", "with", "w", "using", "on"})
"""Words that join two numbers; between words they are only fillers."""

NUMBER_WORDS: Mapping[str, int] = {
    "zero": 0,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "fifteen": 15,
    "twenty": 20,
}

WARM_UP = frozenset({"w", "wu", "warmup", "warmups", "warm"})
WORK = frozenset({"work", "working", "worksets", "workset"})
FAILED = frozenset({"f", "fail", "fails", "failed", "failing", "miss", "missed", "misses"})
TO_FAILURE = frozenset({"failure", "tf"})
ALL_OUT = frozenset({"amrap", "amraps"})
SPOTTED = frozenset({"spot", "spotter", "spotted", "spots", "help", "helped", "assist", "assistance", "forced"})
PARTIAL = frozenset({"partial", "partials", "half", "halves"})
"""Repetitions that are none: passed over with their number."""

REST = frozenset({"rest", "rests", "rested", "resting", "break", "wait", "waited", "waiting"})
SIDES = frozenset({"side", "sides", "arm", "leg", "hand", "foot"})
BODYWEIGHT = frozenset({"bw", "bodyweight"})
PLATES = frozenset({"plate", "plates"})
THEN = frozenset({"then", "afterwards", "next"})
DROP = frozenset({"drop", "drops", "dropset", "dropsets", "dropped", "ds"})
REST_PAUSE = frozenset({"rp", "restpause", "cluster", "clusters", "myo", "myorep", "myoreps"})
MEASURED = frozenset({"max", "1rm", "pb"})

LENGTHS = frozenset(
    {
        *("m", "meter", "meters", "metre", "metres", "km", "mile", "miles", "yd", "yds", "yard", "yards", "ft", "feet"),
        *("days", "weeks", "months", "years"),
    }
)
"""Distances, and times longer than a session: passed over."""

SIZES = frozenset({"in", "inch", "inches", "cm", "deg", "degs", "degree", "degrees", "percent", "pct", "bpm", "kcal"})
"""Units of what is no load: the height of a box, the angle of a bench, a share, a pulse."""

NUMBERED = frozenset(
    {
        "day",
        "session",
        "workout",
        "emom",
        "wk",
        "block",
        "pin",
        "seat",
        "hole",
        "notch",
        "level",
        "position",
        "setting",
        "no",
        "nr",
        "exercise",
        "ex",
    }
)
"""Words whose number is a place or a setting and no load: passed over together."""

RATED = frozenset({"felt", "effort", "energy", "mood", "sleep", "difficulty", "feeling"})
"""Words whose number out of ten is a comment."""

RATED_SETS = frozenset({"felt", "effort", "difficulty"})
"""Those of them whose bare number may be a rating of exertion."""

FILLERS = frozenset(
    """think guess probably prob a about after again all also am an and another approx around as at back be been but by can completed could day
    did do doing done each ended finally finish finished first for from get got had has have heres hey hi hit i
    i'd i'll i'm i've im in is it it's its ive just last later lifted like made managed maybe me more morning my
    nearly now of off ok okay uh um er erm hmm lift lifts weighted vs versus circuit pair warmed heute idag hoy
    superset supersets supersetted ss ramp ramped ramping built building on one only or our pls please pressed
    pulled put rather really roughly so some sort still tdy than that that's the there this to took went what
    exercise today today's too top up us use used using very was we were with worked x yeah yes yep yo you""".split()
)
"""Words that may stand around a set and say nothing about it."""

COMMENTS = frozenset(
    """ache aching amazing awesome awful bad beast beautiful belt best better big bounce bouncy break brutal chalk clean
    cold comfortable controlled crap cramp crisp crushed crushing damn dead decent deload depth difficult easier easily
    easy elbow elbows energy epic exhausted explosive faster fast fatigued feel feeling feels felt fine finally flew focus
    form fresh fun garbage gear good gosh great grind grinder grinding grindy grip ground gym gross happy hard harder heavy
    hell hips hot hungover hungry hurt hurts incredible knackered knee knees legit light lighter little lockout lol long
    lovely low mate meh messy mood motivated much music nailed new nice night no not ouch ok pain painful partner perfect
    phew pr pretty pumped purple quick red green orange blue yellow quickly rough rushed sad shaky shit shitty shoes short sick sleep sleepy slept slow slower
    sloppy smoked smooth smoothly snappy solid sore spicy stable sticky stiff still straps strong stronger struggle
    struggled sweaty super technique terrible tight time tired today tough ugly unstable warm weak weird well wobbly woohoo
    work wow wraps wrist wrists yay""".split()
) - {"not", "no", "clean", "grip", "long", "low", "dead", "slow", "deload", "warm", "work"}
"""Words of a remark; a run of them is never an exercise."""

NOT_DONE = frozenset(
    """not didnt didn't dont don't couldnt couldn't cant can't wont won't never skip skipped skipping plan planned
    planning goal target attempting trying todo want wanted wants should will would gonna going wanna tomorrow
    tmrw tmr might aim aiming instead cancelled canceled jk kidding""".split()
)
"""Words that say that a set was not done, or is only wished for."""

MEANT = frozenset(
    """plan planned goal target gonna going aim aiming will wanna should attempting trying todo""".split()
)
"""Those of them before what is going to be done: without the word it is the line for when it is."""

TRADE = frozenset(
    """press squat row curl raise pull push extension lunge deadlift bench dip fly crunch pulldown pushdown shrug swing
    thrust carry walk snatch clean jerk hold bridge twist step pullover kickback pullup pushup chinup situp plank
    rotation machine cable dumbbell db barbell bb kettlebell kb""".split()
)
"""Words that make a run of words the name of an exercise."""

STRAYS = REPS | SETS | frozenset(UNITS) | {"same", "again", "ditto", "repeat", "yesterday", "rir", "rpe"}
"""Words that are never part of a name or a remark: where they mean nothing, something was meant."""

VERBS: Mapping[str, str] = {
    **dict.fromkeys(("benched", "benching"), "bench"),
    **dict.fromkeys(("squatted", "squatting"), "squat"),
    **dict.fromkeys(("deadlifted", "deadlifting", "deads"), "deadlift"),
    **dict.fromkeys(("rowed", "rowing"), "row"),
    **dict.fromkeys(("curled", "curling"), "curl"),
    **dict.fromkeys(("lunged", "lunging"), "lunge"),
    **dict.fromkeys(("dipped", "dipping"), "dip"),
    **dict.fromkeys(("planked", "planking"), "plank"),
}
"""What was done, as the name of the exercise; `dead` alone is how a lifter feels."""

AGAIN = frozenset({"same", "again", "ditto", "repeat", "repeated"})
"""Words for the set before once more."""

UNREAD_NUMBERS: Mapping[str, int] = {
    "thirteen": 13,
    "fourteen": 14,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "eigthy": 80,
    "ninety": 90,
    "ninty": 90,
    "hundred": 100,
}
"""Words for numbers that are not read, and not passed over either; some as they are often misspelt."""

PAUSES = frozenset({"pause", "pauses", "paused", "eccentric", "negative", "negatives", "lowering", "descent", "count"})
"""Words whose seconds belong to a repetition: passed over, the word stays."""

THINGS = frozenset(
    """people person persons guys guy girls men women lads dudes others eggs egg coffee coffees beer beers steps floors
    laps calories euro euros dollars bucks carbs grams""".split()
)
"""What is counted in a chat and is done in no set."""

NO_LIFTS = frozenset(
    """age aged height tall room locker code temp temperature protein carbs calories kcal water steps bus train phone
    number password waist level pressure costs cost price opens closes open closed ate ran biked cycled walked
    floor gym http https www""".split()
)
"""Words that begin what is no exercise, whatever number stands behind them."""

ADDED = frozenset({"chain", "chains", "band", "bands"})
"""What is hung on a bar beside its load and not counted in it."""

GLUED = frozenset(
    {
        *UNITS,
        *("x", "rep", "reps", "r", "set", "sets", "s", "sec", "secs", "min", "mins", "for", "at", "by", "of", "times"),
        *("w", "wu", "bw", "bar", "rir", "rpe", "f", "fail", "failed", "miss", "left", "plate", "plates", "amrap"),
        *("and", "then", "to", "warmup", "bodyweight", "with", "max", "rm"),
    }
)
"""Words that lifters write together beside a number (`80kgx5`, `barx8`)."""
