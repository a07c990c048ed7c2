"""Measures: a lifter's unit, bar, body mass and time zone, as they tell them."""

from collections.abc import Sequence

from core.domain.commands import BodyMass, Doubt, LogSets, UseBar, UseUnit, UseZone
from core.domain.problems import ProblemKind
from core.domain.sets import SetRead
from core.domain.units import Load, Unit
from core.notation.asking import Answer, Asking
from core.notation.doubts import Refused
from core.notation.keywords import LIGHTEST_LIFTER
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import UNITS

HEAVIEST_BAR_KG = 30.0
"""Heaviest bar that a number without a unit means in kilograms; more is pounds. [kg] Bars weigh 5 to 30 kg."""

BAR_OR_REPS = 12.0
"""Up to here `bar 10` may as well be repetitions with the bar. [repetitions]"""

HEAVIEST_BODY_KG = 400.0
"""Largest body mass that is read. [kg] Adults on record, with room."""

MOST_BODY_REPS = 60.0
"""From here `bw 81` is body mass and nothing else. [kg, lb or repetitions]"""

POUNDS_FROM = 100.0
"""From here a body mass without a unit may as well be pounds. [kg or lb]"""


def units_told(_asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`units lb`, `use pounds`, `switch to kg`."""
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


def body_mass_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
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
    bare = unit is None and first in ("bw", "bodyweight") and len(spoken) == 2 and amount.is_integer()
    if bare and amount < MOST_BODY_REPS:
        likely = ["reps", "mass"] if amount < LIGHTEST_LIFTER else ["mass", "reps"]
        if asking.barred or amount < 1:
            likely.remove("reps")
        way = asking.doubts.value(Doubt.BODY, "bw", likely, start=spoken[0].start, end=number.end)
        if way == "reps":
            return LogSets((SetRead(bodyweight=True, reps=int(amount)),))
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


def bar_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
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
    if unit is None and 1 <= amount <= BAR_OR_REPS and amount.is_integer() and len(spoken) == 2:
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


def zone_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
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
