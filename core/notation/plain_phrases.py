"""Plain phrases: whole texts in a lifter's own words, and the command that answers each."""

from core.domain.check_in_commands import AskReducedWeek, ChartOf, DrawChart, WhyAdvice
from core.domain.checkins import Tag
from core.domain.commands import Command, Done, Help, History, Max, Topic, Undo, Week
from core.domain.plan_commands import NewPlan, Pause, Resume, Screened, ShowPlan, TagWeek
from core.domain.session_commands import AsPlanned, MoveSession, Nod, Skip, TiredToday, Today, Why

PLAIN_PHRASES: tuple[tuple[Command, str], ...] = (
    (
        Today(),
        """how much should i load | how much should i lift | how much do i load | how much do i lift | what should i load |
        what do i load | what should i lift | how heavy | how heavy should i go | how much weight | what weight next | next
        weight | what weight should i use | how much | what should i do today | what do i do today | what am i doing today |
        am i training today | do i train today | is today a training day | next exercise | whats my next set | what exercise
        next | how many sets | how many reps | how many sets do i have left | how many sets are left | how many more sets |
        when is my next session | whens my next session | when do i train next | when do i train | next session |
        when is the next session | am i done | todays plan | show today | what should i bench today |
        what do i put on the bar | whens my next workout | when is my next workout | next workout""",
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
        """is tomorrow a rest day | am i training tomorrow | do i train tomorrow |
        whats a reduced week | what is a reduced week | whats a deload | what is a deload | tomorrow | what about tomorrow |
        whats tomorrow | what is tomorrow | what do i do tomorrow""",
    ),
    (
        AsPlanned(),
        "all reps | hit all reps | got all of them | got all reps | made all reps | all reps done | did all reps",
    ),
    (
        Max(),
        "stats | my stats | statistics | how strong | what am i good for | my records | records | my bests | personal bests",
    ),
    (
        Help(),
        "what do i type | what can i type | what do i text | what do i write | what should i type",
    ),
    (
        Help(Topic.MISTAKES),
        """stupid bot | bad bot | you suck | useless | useless bot | dumb bot | thats not what i said | you got it wrong |
        thats not what i meant | you misread that | how do i undo | how do i fix a set | how do i correct a set |
        how do i delete a set | how do i change a set""",
    ),
    (
        Week(),
        """volume | my volume | how many sets this week | how many hard sets | sets so far | weekly summary | summary |
        did i hit my sets this week | did i hit my sets | did i do enough this week | how was my week""",
    ),
    (
        WhyAdvice(),
        """am i doing too much | should i add sets | should i do more sets | should i do more | too much volume | is it too much |
        am i doing enough | should i do less | should i cut sets""",
    ),
    (
        DrawChart(ChartOf.ESTIMATE),
        """am i getting stronger | am i progressing | am i making progress | progress | show me my progress | my progress |
        show progress | am i improving""",
    ),
    (
        MoveSession(),
        """can i train tomorrow instead | can i train tomorrow | train tomorrow | tomorrow instead | can i do it tomorrow |
        do it tomorrow | ill train tomorrow | i will train tomorrow | rather tomorrow |
        ill do it tomorrow | i will do it tomorrow | can i do this tomorrow | move it to tomorrow""",
    ),
    (
        Skip(whole=True),
        """i cant make it today | i cant train today | cant train today | cant make it today | im busy today | busy today | no
        time today | not training today | no training today | im not training today""",
    ),
    (
        TagWeek(Tag.SICK),
        """i feel sick | feeling sick | got a cold | i have a cold | have a cold | i have fever |
        i have a fever | fever | flu | i have the flu | got the flu | caught the flu | caught a cold | i caught a cold | covid |
        i have covid | got covid | im coming down with something""",
    ),
    (
        Done(),
        """gotta go | i have to go | have to go | i have to leave | have to leave | i gotta go | leaving |
        im leaving | got to go | thats enough | enough for today | im out""",
    ),
    (
        TiredToday(),
        """weak today | feeling weak | i feel weak | slept badly | i slept badly | bad sleep | no sleep | hungover | im hungover
        | hung over | no energy | shattered | dead tired | feel tired | i feel tired | im beat | low on energy | couldnt sleep |
        slept bad | i slept bad | barely slept""",
    ),
    (
        AskReducedWeek(),
        "can i have an easy week | can i take an easy week | can i deload | should i deload | i need an easy week",
    ),
    (
        NewPlan(),
        """change plan | change my plan | change the plan | can you make me a plan | i want a plan | i need a plan | give me a plan
        | can i have a plan | can i get a plan""",
    ),
    (
        Resume(),
        "back from holiday | im back from holiday | back from vacation | im back from vacation | back from my holiday",
    ),
    (
        Help(Topic.WARMUPS),
        "how do i warm up | how to warm up | how should i warm up | do i need to warm up | how do i log a warm up",
    ),
    (
        Pause(),
        """stop messages | stop texting me | stop messaging me | unsubscribe | mute | vacation | on holiday |
        im on holiday | on vacation | im on vacation | holiday""",
    ),
    (
        Help(Topic.EFFORT),
        """what is rir | whats rir | what does rir mean | what is rpe | whats rpe | what does rpe mean |
        what is failure | what is amrap | whats amrap | what does amrap mean |
        rir | rpe | can you explain rpe | can you explain rir | explain rpe | explain rir""",
    ),
    (
        Help(Topic.REMINDERS),
        """how long do i rest | how long to rest | how long should i rest | how much rest | how long between sets |
        rest how long | how long rest""",
    ),
    (
        Help(Topic.CARE),
        "do i need a spotter | should i use a spotter | is it safe | is this safe | how do i bench alone",
    ),
    (
        Help(Topic.NUMBERS),
        """what is a hard set | whats a hard set | what are hard sets | what does est mean | what does est 1rm mean | what does
        estimate mean | what does est 1rm stand for | what is 1rm | whats 1rm | what does 1rm mean | what is a 1rm | what is e1rm
        | whats a 1rm""",
    ),
    (
        Help(Topic.SETS),
        """how do i log | how do i log a set | how do i log sets | how to log | how to log a set |
        how do i write a set | how do i enter a set""",
    ),
    (
        Help(),
        """what can you do | menu | what do you do | what is this | whats this | what are you |
        who are you | are you a bot | are you real | who made you | who built you |
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
        set | delete that one | remove that one | undo that last one | nope undo | no undo | that didnt happen | ignore that last message |
        ignore the last one | ignore that set | not a set |
        that wasnt a set | that was not a set | cancel that set | cancel last set | cancel that | undo the last one | undo the
        last set | that didnt count | that doesnt count | it didnt count""",
    ),
    (
        Nod(),
        """nailed it | killed it | crushed it | smashed it | got this | lol | haha | hahaha | lmao | wow | omg | yay | boom | fuck
        yeah | fuck yes | hell yeah | good night | bye | see you | see ya | love it | k | kk | yup | good bot | sweet | amazing""",
    ),
)
"""Commands with plain texts for them, parted by a stroke."""
