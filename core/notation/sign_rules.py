"""Sign rules: the words of each warning sign, by the word they begin with."""

from core.domain.commands import Sign
from core.notation.pain_rules import BODY, MINE, NEAR, PAIN_RULES

PRESSING = (
    Sign.CHEST,
    Sign.FAINTING,
    Sign.BREATH,
    Sign.STROKE,
    Sign.NUMBNESS,
    Sign.BAR_ON_NECK,
    Sign.HEADACHE,
    Sign.SELF_HARM,
    Sign.MUSCLE_BREAKDOWN,
    Sign.TEAR,
    Sign.FAST_CUT,
    Sign.PAIN,
)
"""The order in which signs are told, the most pressing first."""

SPELT = (
    *("chest", "dizzy", "dizziness", "faint", "fainted", "breathe", "breathing", "breath", "numbness", "pressure"),
    *("headache", "tightness", "lightheaded", "blacked", "slurred", "drooping", "vision", "suicide", "suicidal"),
    *(
        "tingling",
        "tweaked",
        "popped",
        "collapsed",
        "palpitations",
        "rhabdo",
        "urine",
        "laxatives",
        "pain",
        "strained",
        "injured",
    ),
)
"""Words that are known with one wrong letter; the first one must be right."""

HARMLESS = frozenset(
    {
        "check",
        "cheat",
        "cheats",
        "chess",
        "poppet",
        "popper",
        "breadth",
        "strain",
        "strains",
        "faith",
        "feint",
        "fain",
        "pail",
        "paid",
        "paint",
        "pair",
        "pawn",
        "plain",
        "suicides",
    }
)
"""Words that are one letter away from those and mean something else."""

# Up to three, or two, words between two others; `|` stands for a comma, a stop or a line break and is no word.
_GAP = r"(?: \w++){0,3}? "
_HURTS = r"(?:pain|pains|painful|hurt|hurts|hurting|hurted|ache|aches|aching|achy|pressure|crushing|squeezing|stabbing|stabs)"
_TIGHT = (
    r"(?:tight|tightness|heaviness|burning|burns|discomfort|sore|soreness|flutters?|fluttering|racing|pounding|cramps?|"
    r"weird|funny)"
)
_CHEST = "chest sternum breastbone heart"
_OF_CHEST = r"(?:chest|sternum|breastbone|heart)(?! (?:day|press|fly|flye|dip|dips|pump|machine|row|supported|workout|exercises?))"
# What makes of the chest an exercise or a day of training.
_NO_EXERCISE = (
    r"(?! (?:press|presses|supported|support|fly|flye|flys|flies|flyes|dip|dips|day|days|pump|pumped|machine|workout|"
    r"exercises?|session|rows?|work|muscles?|and back|and tri|and triceps|rate|0))"
)
_CANT = "cant cannot couldnt barely hardly unable"
_TOLD = r"(?: (?:not|even|really|properly|to)){0,3}"

RULES: tuple[tuple[Sign, bool, str, str], ...] = (
    # sign, doubtful, words it may begin with, what follows
    (Sign.CHEST, False, _CHEST, rf"{_NO_EXERCISE}{_GAP}{_HURTS}"),
    (Sign.CHEST, False, "heart", r" attack|(?: is| was| keeps)? skipp\w+(?: beats?| a beat)?"),
    (
        Sign.CHEST,
        False,
        "pain pains painful hurt hurts hurting ache aches aching achy pressure crushing squeezing stabbing stabs",
        rf"{_GAP}{_OF_CHEST}",
    ),
    (
        Sign.CHEST,
        False,
        "pain ache aches numbness",
        r"(?: is| was)?(?: \w+)? (?:down|into|through)(?: my| the)? left arm",
    ),
    (Sign.CHEST, False, "palpitations palpitation angina chestpain chestpains", ""),
    (Sign.CHEST, False, "irregular", r" heart ?beats?"),
    (Sign.CHEST, True, _CHEST, rf"{_NO_EXERCISE}{NEAR}{_TIGHT}"),
    (Sign.CHEST, True, _CHEST, r" (?:feels|felt|is|was|feeling)(?: so| very| really)? heavy"),
    (
        Sign.CHEST,
        True,
        "tight tightness heaviness burning discomfort sore soreness fluttering racing pounding",
        rf"(?: in| around| across| on)?{MINE} {_OF_CHEST}",
    ),
    (
        Sign.CHEST,
        True,
        "heavy elephant brick",
        r"(?: feeling| sitting| pressing){0,2} (?:in|on|across)(?: my| the)? (?:chest|sternum|breastbone)",
    ),
    (Sign.CHEST, True, "weight", r"(?: sitting| pressing){0,2} on my (?:chest|sternum|breastbone)"),
    (Sign.CHEST, True, "cheat", r" pains?"),
    (Sign.CHEST, True, "jaw", r" (?:pain|hurts?|aches?)"),
    (Sign.CHEST, True, "pain ache", r" in(?: my| the)? (?:jaw|left arm)"),
    (Sign.CHEST, True, "left", r" arm (?:pain|hurts?|aches?|tingl\w+)"),
    (Sign.CHEST, True, "cold", r" sweats?"),
    (
        Sign.FAINTING,
        False,
        (
            "faint fainted fainting faints dizzy dizziness dizzier lightheaded lightheadedness woozy vertigo blackout "
            "blackouts unconscious collapsed"
        ),
        "",
    ),
    (Sign.FAINTING, False, "light", r" headed(?:ness)?"),
    (Sign.FAINTING, False, "pass passed passing black blacked blacking knocked blanked", r" out"),
    (Sign.FAINTING, False, "lost losing lose", r" consciousness"),
    (Sign.FAINTING, False, "room head", r"(?: is| was| started)? spinning"),
    (Sign.FAINTING, False, "went goes going", r" (?:black|dark)"),
    (Sign.FAINTING, True, "saw seeing see", r" (?:stars|spots)"),
    (Sign.FAINTING, True, "head", r" rush"),
    (
        Sign.BREATH,
        False,
        _CANT,
        rf"{_TOLD} (?:breathe|breath|breathing|catch my breath|get (?:any |enough )?air)",
    ),
    (
        Sign.BREATH,
        False,
        "struggling struggle hard difficult trouble difficulty difficulties",
        r"(?: to)? (?:breathe|breath|breathing)",
    ),
    (Sign.BREATH, False, "short shortness", r" of breath"),
    (Sign.BREATH, False, "not", r" (?:breathing|breathe|breath|able to breathe|getting (?:any |enough )?air)"),
    (Sign.BREATH, False, "asthma", r" attack"),
    (Sign.BREATH, False, "cough coughing coughed", r"(?: up)? blood"),
    (Sign.BREATH, True, "out", r" of breath"),
    (Sign.BREATH, True, "breathless gasping wheezing wheezy winded", ""),
    (Sign.NUMBNESS, False, "numb numbness", r"(?! (?:from|with|of) (?:boredom|cold))"),
    (Sign.NUMBNESS, False, "numbing", r" (?:sensation|feeling|pain|in|down)"),
    (Sign.NUMBNESS, False, _CANT, rf"{_TOLD} (?:pee|urinate|hold my (?:pee|urine|bladder))"),
    (Sign.NUMBNESS, False, "lost losing lose no", r" (?:bladder|bowel) control"),
    (Sign.NUMBNESS, True, "foot", r" drop"),
    (Sign.NUMBNESS, False, "pins", r" (?:and )?needles"),
    (Sign.NUMBNESS, False, _CANT, rf"{_TOLD} (?:feel|move){MINE} (?:{BODY}|face)"),
    (Sign.NUMBNESS, False, "no lost losing zero", r" (?:feeling|sensation) in"),
    (Sign.NUMBNESS, True, "tingling tingly tingles tingle", ""),
    (Sign.STROKE, False, "face mouth eye", r"(?: is| was| has| started)? (?:droop\w*|dropping|numb)"),
    (Sign.STROKE, False, "droop drooping droopy drooped", r" (?:face|mouth|eye)"),
    (Sign.STROKE, False, "slurred slurring slur slurs", ""),
    (Sign.STROKE, False, _CANT, rf"{_TOLD} (?:speak|talk)(?: properly)?"),
    (Sign.STROKE, False, "lost losing lose loss no", r"(?: of)?(?: my)? (?:vision|sight|eyesight|speech)"),
    (Sign.STROKE, False, "vision sight", r" (?:is |has )?(?:gone|loss)"),
    (Sign.STROKE, False, "went gone going", r" blind"),
    (Sign.STROKE, False, "having had have", r" a stroke"),
    (
        Sign.STROKE,
        True,
        "lost losing",
        r"(?: all)?(?: the)? strength in(?: my)?(?: left| right| one)? (?:arm|leg|hand|side)",
    ),
    (
        Sign.STROKE,
        True,
        "arm leg hand",
        r"(?: is| went| feels| felt| got)? (?:suddenly weak|weak suddenly|limp|paraly[sz]ed)",
    ),
    (Sign.STROKE, True, "suddenly", r" (?:confused|weak on)"),
    (Sign.STROKE, True, "blurry blurred double", r" vision"),
    (
        Sign.STROKE,
        True,
        "vision",
        r"(?: is| was| got| went)? (?:blurry|blurred|weird|fuzzy|funny|black|dark|grey|gray)",
    ),
    (Sign.STROKE, True, _CANT, rf"{_TOLD} see"),
    (
        Sign.HEADACHE,
        False,
        "worst thunderclap sudden severe terrible massive explosive crazy awful intense",
        r"(?: \w+)? headache",
    ),
    (
        Sign.HEADACHE,
        False,
        "headache",
        r"(?: came| is| was)?(?: on)? (?:sudden|suddenly|out of nowhere|severe|the worst|worst)",
    ),
    (Sign.HEADACHE, True, "headache headaches migraine", ""),
    (Sign.HEADACHE, True, "head", r"(?: is)? (?:hurts|pain|pounding|exploding)"),
    (
        Sign.BAR_ON_NECK,
        False,
        "bar barbell weight",
        r"(?: \w++){0,2} (?:fell|landed|dropped|crashed|down|stuck|rolled|slipped)(?: \w++){0,3}? (?:neck|throat|chest|face)",
    ),
    (Sign.BAR_ON_NECK, False, "bar barbell", r"(?: is| was)? on(?: my| the)? (?:neck|throat)"),
    (
        Sign.BAR_ON_NECK,
        False,
        "dropped dropping fell landed",
        r"(?: \w++){0,3}? on(?: my| the)? (?:neck|throat|chest|face)",
    ),
    (Sign.BAR_ON_NECK, False, "stuck pinned trapped crushed", r" under(?: (?:the|bar|barbell|it)){0,2}"),
    (
        Sign.BAR_ON_NECK,
        False,
        _CANT,
        rf"{_TOLD} get(?: the| this| that)? (?:bar|barbell|weight|it) off(?: of)? (?:me|my (?:chest|neck|throat))",
    ),
    (Sign.BAR_ON_NECK, True, "bar barbell", r"(?: is| was)? on(?: my| the)? chest"),
    (Sign.BAR_ON_NECK, True, "got", r" (?:pinned|stuck|crushed)"),
    (Sign.SELF_HARM, False, "kill killing harm harming cutting", r" myself"),
    (Sign.SELF_HARM, False, "suicide", r"(?! (?:grip|sprints?|runs?|drills?))"),
    (Sign.SELF_HARM, False, "suicidal kms", ""),
    (Sign.SELF_HARM, False, "self", r" harm\w*"),
    (Sign.SELF_HARM, False, "end ending take", r" (?:my(?: own)? life|it all)"),
    (Sign.SELF_HARM, False, "want wanna going gonna", r"(?: to)? (?:die|hurt myself|be dead|disappear)"),
    (
        Sign.SELF_HARM,
        False,
        "dont not",
        r"(?: want)? to (?:live|be alive|be here anymore|exist|wake up)|(?: wanna) (?:live|be here)",
    ),
    (Sign.SELF_HARM, False, "dont", r" want to (?:live|be alive|be here anymore|exist|wake up)"),
    (Sign.SELF_HARM, False, "better", r" off dead"),
    (Sign.SELF_HARM, False, "no", r" (?:reason|point)(?: to| in)? (?:live|living|life)"),
    (Sign.MUSCLE_BREAKDOWN, False, "rhabdo rhabdomyolysis", ""),
    (
        Sign.MUSCLE_BREAKDOWN,
        False,
        "dark brown cola coke red bloody black tea",
        r"(?: colou?red)? (?:urine|pee|piss|wee)",
    ),
    (
        Sign.MUSCLE_BREAKDOWN,
        False,
        "urine pee piss peeing peed",
        r"(?: \w++){0,2}? (?:dark|brown|cola|coke|red|black|blood)",
    ),
    (Sign.MUSCLE_BREAKDOWN, False, "blood", r" in(?: my)? (?:urine|pee|piss)"),
    (
        Sign.FAST_CUT,
        False,
        "purge purged purging laxative laxatives diuretic diuretics bulimia bulimic anorexia anorexic",
        "",
    ),
    (Sign.FAST_CUT, False, "throw threw throwing", r" up after (?:eating|food|meals?|dinner|lunch)"),
    (Sign.FAST_CUT, False, "throw threw throwing vomit vomited", r"(?: up)?(?: \w++){0,3}? on purpose"),
    (Sign.FAST_CUT, False, "made make making", r" myself (?:sick|throw up|vomit|puke)"),
    (Sign.FAST_CUT, False, "starve starved starving", r" myself"),
    (Sign.FAST_CUT, False, "drying dry dried", r" out"),
    (Sign.FAST_CUT, False, "water", r" cut"),
    (Sign.FAST_CUT, False, "cut cutting", r" (?:water|weight fast)"),
    (Sign.FAST_CUT, False, "crash", r" diet\w*"),
    (Sign.FAST_CUT, False, "sauna", r" (?:suit|to make weight)"),
    (
        Sign.FAST_CUT,
        False,
        "lose losing drop dropping cut cutting lost dropped",
        r" 0(?: (?:kg|kgs|kilos|lb|lbs|pounds))? (?:in|by|this|before|within|over)",
    ),
    (
        Sign.FAST_CUT,
        False,
        "not havent hadnt without nothing",
        r"(?: (?:eaten|eat|eating|food|to|anything)){1,3} (?:for|in|since) (?:0|two|three|four|five|days)",
    ),
    *PAIN_RULES,
)
"""Words of each sign. A rule is tried only at a word that it may begin with, so that searching a text stays cheap."""
