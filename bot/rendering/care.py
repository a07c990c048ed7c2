"""Care in words: emergency lines and what a pain asks for; general information, never a diagnosis."""

from typing import assert_never

from core.domain.commands import PainAnswer, Sign

_CALL = "stop now and call your local emergency number"

_NO_ALONE = "don't wait it out, don't drive yourself"

_RESUME = "training suggestions pause until you text `cleared by clinician`; what you log is kept"


def emergency(sign: Sign) -> str:
    """What to do at a warning sign.

    Source: hospital lists of warning signs in the sense of the ACSM's; CDC/NIOSH on rhabdomyolysis.
    """
    match sign:
        case Sign.CHEST | Sign.BREATH | Sign.FAINTING | Sign.STROKE | Sign.HEADACHE:
            return f"{_CALL}: this can be urgent. Sit or lie down, tell somebody near you; {_NO_ALONE}\n{_RESUME}"
        case Sign.NUMBNESS:
            return (
                "stop training now. Sudden numbness or weakness, above all on one side or with trouble speaking: "
                f"call your local emergency number; else see a clinician today\n{_RESUME}"
            )
        case Sign.BAR_ON_NECK:
            return (
                "shout for help now; call your local emergency number if breathing, swallowing or voice are wrong, "
                f"or the neck or chest hurts, also when it seems to pass\n{_RESUME}"
            )
        case Sign.MUSCLE_BREAKDOWN:
            return (
                "stop training and get urgent medical care today: dark urine with severe muscle pain or weakness "
                f"needs a blood test soon\n{_RESUME}"
            )
        case Sign.SELF_HARM:
            return "please call your local emergency number or a crisis line now, or go to somebody near you"
        case Sign.FAST_CUT:
            return (
                "no maximal tests and no sets to failure in this state. A clinician or an eating-disorder service is "
                "the one to ask about it"
            )
        case Sign.TEAR:
            return (
                "stop pressing. A sudden pop or tear, above all with weakness or bruising, needs medical care the same "
                "day"
            )
        case Sign.PAIN:
            return pain(PainAnswer.SHARP)
        case _:
            assert_never(sign)


def pain(answer: PainAnswer) -> str:
    """What a pain of this kind asks for in training."""
    match answer:
        case PainAnswer.FADES:
            return (
                "keep the lift, add no sets and no load, leave one more rep. A narrower grip or dumbbells may sit "
                "better. If it stays, have a clinician look"
            )
        case PainAnswer.CHANGES:
            return "leave that exercise out this week and train what doesn't touch the place. A clinician can tell more"
        case PainAnswer.SHARP:
            return "end the work for that part of the body today, and see a clinician before you load it again"
        case _:
            assert_never(answer)
