"""Pain rules: the words of a pain and of a tear, by the word they begin with, and those for parts of the body."""

from core.domain.commands import Sign

NEAR = r"(?: \w++){0,2}? "

BODY = (
    r"(?:shoulders?|elbows?|wrists?|knees?|hips?|back|spine|neck|pecs?|biceps?|triceps?|hamstrings?|hammy|groin|ankles?|arms?|"
    r"legs?|lats?|calf|calves|quads?|glutes?|forearms?|hands?|fingers?|foot|feet|ribs?|traps?|delts?|rotator cuff|cuff|abs|"
    r"stomach|toes?|thumbs?|achilles|shins?|joints?)"
)
_BODY_HEADS = (
    "shoulder shoulders elbow elbows wrist wrists knee knees hip hips back spine neck pec pecs bicep biceps tricep triceps "
    "hamstring hamstrings hammy groin ankle ankles arm arms leg legs lat lats calf calves quad quads glute glutes forearm "
    "forearms hand hands finger fingers foot feet rib ribs trap traps delt delts cuff abs stomach toe toes thumb thumbs "
    "achilles shin shins joint joints"
)
MINE = r"(?: (?:my|the|left|right|lower|upper|front|rear|one|both|either|any|a|its)){0,4}"
_JOINT = r"(?:elbows?|wrists?|knees?|hips?|ankles?|joints?|lower back)"
_JOINT_HEADS = "elbow elbows wrist wrists knee knees hip hips ankle ankles joint joints"
_IS_BIT = r"(?: (?:is|are|was|feels|felt|feeling|got|a|bit|little|slightly|very|really|still|again)){0,4}"
_NO_CUE = r"(?! (?:together|back|grip|block|press))"
_AILING = (
    r"niggl\w*|cranky|twing\w*|dodgy|iffy|playing up|acting up|irritated|inflamed|unhappy|tender|not right|"
    r"(?<=feels )off|(?<=felt )off"
)
# What lifters say of a joint that is not right; a muscle that is sore is not.

PAIN_RULES: tuple[tuple[Sign, bool, str, str], ...] = (
    # sign, doubtful, words it may begin with, what follows
    (
        Sign.TEAR,
        False,
        "tore torn tear ripped ruptured snapped",
        rf"{MINE} (?:{BODY}|muscle|tendon|ligament|something|labrum|meniscus)",
    ),
    (
        Sign.TEAR,
        False,
        _BODY_HEADS,
        r"(?: is| was| just| may have| might have| has){0,3} (?:tore|torn|ripped|ruptured|snapped|popped)",
    ),
    (Sign.TEAR, False, "heard felt hear feel", r"(?: \w++){0,2}? (?:pop|snap|rip|tear|crack)"),
    (Sign.TEAR, False, "something", r" (?:popped|snapped|tore|ripped|gave|went pop)"),
    (Sign.TEAR, False, "pop popped", rf" in{MINE} {BODY}"),
    (Sign.TEAR, False, "tore popped", r"(?! (?:off|up|out|callus|calluses|skin|it|the|a|in|right|through|into))"),
    (
        Sign.TEAR,
        True,
        "torn ripped snapped pop",
        r"(?! (?:off|up|it|the|out|quiz|music)| (?:my |a )?(?:shirt|shorts|pants|callus|calluses|skin|belt|straps?|wraps?))",
    ),
    (Sign.PAIN, False, "sharp shooting stabbing", r" pains?"),
    (Sign.PAIN, False, "something", r" (?:sharp|hurts|pulled)"),
    (Sign.PAIN, False, "tweaked tweak strained injured injury impinged impingement", ""),
    (Sign.PAIN, False, "pulled", rf"{MINE} (?:{BODY}|muscle|something)"),
    (Sign.PAIN, False, "hurt hurts hurting", rf"(?: myself|{MINE} {BODY})"),
    (
        Sign.PAIN,
        False,
        _BODY_HEADS,
        rf"{NEAR}(?:pain|pains|painful|hurt|hurts|hurting|aches|aching|achy|ache|sharp|killing me|twinge|twinged)",
    ),
    # Shoulder blades are pinched together, and things are held in a pinch.
    (
        Sign.PAIN,
        False,
        _BODY_HEADS,
        rf"(?! blades?){NEAR}(?:pinch(?:es|ed|ing)?|stings|stinging|stung|bother(?:s|ed|ing)? me|discomfort){_NO_CUE}",
    ),
    (
        Sign.PAIN,
        False,
        "pinch pinching niggle niggles sting stinging discomfort",
        rf" (?:in|on|at|around|with){MINE} {BODY}(?! blades?)",
    ),
    (Sign.PAIN, False, "pinched trapped", r" nerve"),
    (Sign.PAIN, False, _JOINT_HEADS, r"(?: has| just| almost){0,2} (?:gave|gives|given|giving) (?:out|way)"),
    (Sign.PAIN, False, "knee knees ankle ankles", r"(?: has| just| almost){0,2} buckled"),
    (Sign.PAIN, True, _BODY_HEADS, rf"{_IS_BIT} (?:weird|funny|strange)"),
    (Sign.PAIN, True, _JOINT_HEADS, rf"{_IS_BIT} (?:burning|burns)"),
    (Sign.PAIN, False, "pain pains ache twinge", rf"(?: in| on| at| around| with)?{MINE} {BODY}"),
    (Sign.PAIN, False, "swollen bruised", rf"{MINE} {BODY}"),
    (Sign.PAIN, False, _BODY_HEADS, r"(?: is| are| got| looks){0,2} (?:swollen|swelling up|bruised)"),
    (Sign.PAIN, False, _JOINT_HEADS, rf"{_IS_BIT} (?:sore|achy|stiff and sore|{_AILING})"),
    (Sign.PAIN, False, "sore achy", rf"{MINE} {_JOINT}"),
    (Sign.PAIN, False, "shoulder shoulders back neck", rf"{_IS_BIT} (?:{_AILING})"),
    (Sign.PAIN, True, "sore achy", rf"{MINE} (?:shoulder|back|neck)"),
    (Sign.PAIN, True, "shoulder back neck", rf"{_IS_BIT} (?:sore|achy)"),
    (
        Sign.PAIN,
        True,
        _BODY_HEADS,
        r" (?:ok|okay|fine|good|safe)(?: enough)? to (?:train|lift|press|bench|squat|pull|deadlift)",
    ),
    (Sign.PAIN, True, "burning", rf" (?:in|around|down){MINE} (?:{_JOINT}|shoulder|back|neck)"),
    (Sign.PAIN, False, "back", r" (?:went|gave|is) out|(?: is| has| just){0,2} (?:spasm\w*|locked up|seized(?: up)?)"),
    (Sign.PAIN, False, "threw put", r" my back out"),
    (Sign.PAIN, False, "stinger stingers", ""),
    (
        Sign.PAIN,
        False,
        "pain painful hurts hurting sharp",
        r"(?! (?:cave|free|train|in the (?:ass|arse|butt)|to (?:log|type|set|load|get|do|use|clean)))",
    ),
    (Sign.PAIN, True, "hurt ouch twinge aching ache", ""),
)
"""Words of a tear and of a pain that is no emergency."""
