"""Gear: equipment, bars, plates and dumbbells, as a lifter tells them."""

import re
from collections.abc import Mapping

from core.domain.equipment import MOST_KINDS, MOST_PAIRS, Discs, Listed, Steps
from core.domain.exercises import Equipment
from core.domain.plan_commands import PlatesFor, UseBars, UseDiscs, UseDumbbells, UseEquipment
from core.domain.problems import ProblemKind
from core.domain.units import MOST_LOAD_KG, Load, Unit
from core.notation.asking import Answer, Asking, beyond
from core.notation.vocabulary import UNITS

MOST_LOADS = 30
"""Most loads that are listed one by one. [loads] More are told as steps."""

USUAL_DUMBBELL_STEPS = {Unit.KG: 2.5, Unit.LB: 5.0}
"""Step of a rack of dumbbells of which only the ends were told; common practice, no source."""

_NUMBER = r"\d{1,4}(?:\.\d{1,4})?"
_UNIT = r"kgs?|kilos?|lbs?|pounds?"
_DISC = re.compile(rf"({_NUMBER}) ?({_UNIT})?(?: ?x ?(\d{{1,2}}) ?({_UNIT})?)?")
_LIST = re.compile(rf"({_NUMBER}) ?({_UNIT})?")
_STEPS = re.compile(
    rf"({_NUMBER}) ?({_UNIT})? ?(?:-|to|up to) ?({_NUMBER}) ?({_UNIT})?(?: (?:by|in|every|step|steps of) ({_NUMBER}) ?({_UNIT})?)?"
)
_BETWEEN_NUMBERS = re.compile(r"[ ,;&+]*(?:and )?")


def equipment_in(_asking: Asking, rest: str) -> Answer:
    """`barbell dumbbells cable`, `gym`."""
    unit = None
    last = rest.rpartition(" ")[2]
    if last in UNITS and last != "k":
        unit, rest = UNITS[last], rest[: -len(last)].strip(" ,")
    if rest in ("gym", "full gym", "a gym", "everything", "all", "commercial gym", "usual gym"):
        return UseEquipment(None, unit)
    found: set[Equipment] = set()
    words = [word for word in re.split(r"[ ,;&/+]+", rest) if word and word not in _EQUIPMENT_FILLERS]
    place = 0
    while place < len(words):
        pair = " ".join(words[place : place + 2])
        for told, size in ((pair, 2), (words[place], 1)):
            kind = _EQUIPMENT.get(told) or _EQUIPMENT.get(told.removesuffix("s"))
            if kind is not None and (size == 1 or " " in told):
                found.add(kind)
                place += size
                break
        else:
            return None
    return UseEquipment(frozenset(found), unit) if found else None


_EQUIPMENT_FILLERS = frozenset(
    {"and", "a", "an", "with", "only", "just", "rack", "bench", "my", "some", "at", "home", "plates"}
)
_EQUIPMENT: Mapping[str, Equipment] = {
    **{str(kind): kind for kind in Equipment},
    **dict.fromkeys(("bar", "bb", "barbell"), Equipment.BARBELL),
    **dict.fromkeys(("db", "dbs", "dumbbell"), Equipment.DUMBBELL),
    **dict.fromkeys(("kb", "kbs", "kettlebell"), Equipment.KETTLEBELL),
    **dict.fromkeys(("cable", "cables", "pulley"), Equipment.CABLE),
    **dict.fromkeys(("body", "body mass", "body weight"), Equipment.BODYWEIGHT),
    **dict.fromkeys(("ring", "rings"), Equipment.RINGS),
    **dict.fromkeys(("ab wheel",), Equipment.WHEEL),
}


def plates_in(asking: Asking, rest: str) -> Answer:
    """`92.5`, a load to make; or the plates there are, in pairs: `20 10 5 x2`."""
    rest = rest.removeprefix("for ")
    alone = _LIST.fullmatch(rest)
    if alone is not None:
        load = Load(float(alone[1]), _unit_of(asking, alone[2]))
        if not 0 < load.kg <= MOST_LOAD_KG:
            raise beyond(asking, alone[1], f"{MOST_LOAD_KG:,.0f} kg", instead="92.5", kind=ProblemKind.LOAD_TOO_LARGE)
        return PlatesFor(load)
    return _discs(asking, rest)


def _discs(asking: Asking, rest: str) -> Answer:
    found = _matches(_DISC, rest)
    if found is None:
        return None
    pairs = [match[3] for match in found]
    # A number of pairs behind the last kind alone is meant for all of them.
    usual = pairs[-1] if pairs[-1] is not None and not any(pairs[:-1]) else "1"
    told = next((match[2] or match[4] for match in found if match[2] or match[4]), None)
    discs = []
    for match in found:
        count = int(match[3] or usual)
        mass = Load(float(match[1]), _unit_of(asking, match[2] or match[4] or told))
        if not 1 <= count <= MOST_PAIRS or not mass.amount:
            raise beyond(asking, match[0].strip(), f"1 to {MOST_PAIRS} pairs of each", instead="20 x2")
        discs.append(Discs(mass, count))
    if len(discs) > MOST_KINDS or len({disc.mass for disc in discs}) < len(discs):
        return None
    return UseDiscs(tuple(discs))


def bars_in(asking: Asking, rest: str) -> Answer:
    """`20`, `20 10 kg`."""
    found = _matches(_LIST, rest)
    if found is None or len(found) > MOST_KINDS:
        return None
    told = next((match[2] for match in found if match[2]), None)
    return UseBars(tuple(dict.fromkeys(Load(float(each[1]), _unit_of(asking, each[2] or told)) for each in found)))


def dumbbells_in(asking: Asking, rest: str) -> Answer:
    """`5-40 by 2.5`, `10 12.5 15`."""
    steps = _STEPS.fullmatch(rest)
    if steps is not None:
        told = next((steps[place] for place in (2, 4, 6) if steps[place]), None)
        unit = _unit_of(asking, told)
        low, high = Load(float(steps[1]), unit), Load(float(steps[3]), unit)
        step = Load(float(steps[5]) if steps[5] else USUAL_DUMBBELL_STEPS[unit], unit)
        if low.amount > high.amount or not step.amount or high.kg > MOST_LOAD_KG:
            raise beyond(asking, rest, "dumbbells from light to heavy", instead="5-40 by 2.5")
        if (high.amount - low.amount) / step.amount >= MOST_LOADS * 10:
            raise beyond(asking, rest, "dumbbells in steps", instead="5-40 by 2.5")
        return UseDumbbells(Steps(low, high, step))
    found = _matches(_LIST, rest)
    if found is None or not 1 <= len(found) <= MOST_LOADS:
        return None
    told = next((match[2] for match in found if match[2]), None)
    loads = {Load(float(match[1]), _unit_of(asking, match[2] or told)) for match in found}
    return UseDumbbells(Listed(tuple(sorted(loads, key=lambda load: load.kg))))


def _matches(pattern: re.Pattern[str], rest: str) -> list[re.Match[str]] | None:
    """What a pattern matches from one end of a text to the other; None if something else is in it."""
    found: list[re.Match[str]] = []
    place = 0
    while place < len(rest):
        match = pattern.match(rest, place)
        if match is None or len(found) > MOST_LOADS:
            return None
        found.append(match)
        between = _BETWEEN_NUMBERS.match(rest, match.end())
        end = match.end() if between is None else between.end()
        if end == match.end() < len(rest) and not match[0].endswith(" "):
            return None
        place = end
    return found or None


def _unit_of(asking: Asking, word: str | None) -> Unit:
    return UNITS[word] if word else asking.unit or Unit.KG
