"""Zones: the IANA list by name, by place, by offset, and by a close spelling."""

import re
from collections.abc import Mapping
from functools import cache
from zoneinfo import available_timezones

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

MOST_CLOSE = 4
"""Most zones offered for one unclear name: more are no help on a phone."""

MOST_SLIPS = 2
"""Most letters that differ from the name of a place that is offered. [letters]"""

_OFFSET = re.compile(r"(?:utc|gmt)?([+-])(\d{1,2})(?::?00)?")
_FARTHEST_EAST, _FARTHEST_WEST = 14, 12
"""Largest whole offsets from UTC that are in use. [h]"""


def zone_named(told: str) -> str | None:
    """The zone of a name, of a place that only one zone has, or of a whole offset as `+2`; None if there is none."""
    folded = told.casefold().replace(" ", "_")
    offset = _OFFSET.fullmatch(folded)
    if offset is None:
        return _zones().get(folded)
    hours = int(offset[2])
    if hours > (_FARTHEST_EAST if offset[1] == "+" else _FARTHEST_WEST):
        return None
    # The list's own names have the sign the other way round: west of Greenwich is plus.
    return f"Etc/GMT{'-' if offset[1] == '+' else '+'}{hours}" if hours else "Etc/GMT"


def zones_close(told: str) -> tuple[str, ...]:
    """Zones whose name or place is spelt nearly like this, the closest first."""
    folded = told.casefold().replace(" ", "_")
    if len(folded) <= MOST_SLIPS:
        return ()
    places = _places()
    within = [name for place, names in sorted(places.items()) if place == folded for name in names]
    slips = 1 if len(folded) < 2 * MOST_CLOSE else MOST_SLIPS
    close = extract(folded, sorted(places), scorer=OSA.distance, limit=MOST_CLOSE, score_cutoff=slips)
    found = dict.fromkeys([*within, *(name for place, _, _ in close for name in places[place])])
    return tuple(found)[:MOST_CLOSE]


@cache
def _places() -> Mapping[str, tuple[str, ...]]:
    """Names of zones by the place in them, both without case."""
    found: dict[str, list[str]] = {}
    for name in sorted(available_timezones()):
        if "/" in name and not name.startswith(("Etc/", "SystemV/", "posix/", "right/")):
            found.setdefault(name.rpartition("/")[2].casefold(), []).append(name)
    return {place: tuple(names) for place, names in found.items()}


@cache
def _zones() -> Mapping[str, str]:
    told = {place: names[0] for place, names in _places().items() if len(names) == 1}
    return {**told, **{name.casefold(): name for name in sorted(available_timezones())}}
