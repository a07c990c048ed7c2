"""Session phrases: whole texts that are a command about the day's session."""

from core.domain.prescriptions import Place
from core.domain.session_commands import (
    AddSet,
    AsPlanned,
    Better,
    FindMaximum,
    LastRepMissed,
    Missed,
    MoveSession,
    Nod,
    NothingHurts,
    RepeatSession,
    SessionCommand,
    Skip,
    SpotterToday,
    TellCue,
    Tired,
    TiredToday,
    Today,
    Why,
)

THUMBS = frozenset("👍👌🙏💪🙂😀😄🎉🔥")
"""Signs that nod; a colour of skin or a joiner may follow."""

LONGEST_THUMB = 3
"""Most characters of a sign that nods."""

SESSION_PHRASES: tuple[tuple[SessionCommand, str], ...] = (
    (
        Today(),
        """today | todays session | session | session today | whats today | what is today | whats on | whats on today |
        todays workout | workout | workout today | training today | whats next | what next | next | next set | what now | now what |
        what should i do | what should i do next | what do i do next | what shall i do
        | how many sets left | how many sets are left | how many more sets | whats left | what is left | what weight | how heavy |
        what weight should i use | how heavy should i go""",
    ),
    (
        AsPlanned(),
        """did it | did that | did all | did them all | as planned | done as planned | did as planned | did everything |
        made it | got it | got them all""",
    ),
    (
        AsPlanned(fewer=1),
        "one less rep | one fewer rep | 1 less rep | one rep fewer | one fewer | one rep less | one less | minus one rep | one rep short",
    ),
    (AsPlanned(fewer=2), "two reps fewer | two fewer | two reps less | two less | two reps short"),
    (Missed(), "missed it | missed | failed it | i missed it | i failed it | didnt make it | missed the set"),
    (
        LastRepMissed(),
        """missed the last rep | missed last rep | missed my last rep | i missed the last rep | i missed my last rep | failed
        the last rep | failed last rep | failed my last rep | i failed the last rep | i failed my last rep | last rep failed
        | last rep missed | the last rep failed | failed on the last rep | missed the last one | failed the last one | didnt
        get the last rep | didnt make the last rep | couldnt get the last rep""",
    ),
    (
        Nod(),
        """thanks | thank you | thx | ty | cheers | many thanks | thanks a lot | ok | okay | ok thanks | ok thx | cool | nice |
        great | perfect | awesome | good | all good | alright | sounds good | will do""",
    ),
    (Why(), "why | why that | why this | how come | why so heavy | why so light | why so much | why that load"),
    (
        Skip(),
        "skip | skip it | skip this | skip lift | skip this lift | skip exercise | skip this exercise | skip this one",
    ),
    (
        Skip(whole=True),
        """skip the rest of it | skip the rest of the session | skip the rest of today | skip whats left | skip session |
        skip today | skip todays session | skip the session | skip workout | not today | skip training |
        skip day | skip the day""",
    ),
    (MoveSession(), "move tomorrow | move to tomorrow | move session to tomorrow | move today to tomorrow"),
    (AddSet(), "add set | add a set | add one set | extra set | add another set | one set more"),
    (RepeatSession(), "repeat last session | repeat the last session | repeat last workout"),
    (
        TiredToday(),
        """tired | im tired | i am tired | tired today | feeling tired | so tired | very tired | im tired today | exhausted |
        knackered | wiped out | low energy""",
    ),
    *((TiredToday(choice), f"tired {choice}") for choice in Tired),
    (
        SpotterToday(),
        """spotter today | spotter here | got a spotter | have a spotter | i have a spotter | i have a spotter today | with
        a spotter today | spotter is here | got a spotter today | have a spotter today""",
    ),
    (TellCue(), "cue | cues | technique | reminder | technique reminder | form cue | form"),
    (NothingHurts(), "nothing hurts | no pain | nothing hurt | doesnt hurt | it doesnt hurt | no pain at all"),
    (FindMaximum(), "test | test max | max test | test my max | max out"),
    *(
        (
            Better(place),
            """* better | * is better | * fine | * is fine | better * | my * is better | my * is fine | * is ok | my * is ok | * ok |
            * is ok now | my * is ok now | * feels good | * feels fine | my * feels good | * feels better | my * feels better |
            * is good | no more * pain | * pain is gone | * pain gone""".replace("*", place.value),
        )
        for place in Place
    ),
)
"""Commands with the texts for them, parted by a stroke."""
