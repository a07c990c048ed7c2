"""Clusters: numbers held together by slashes and dashes: `10/10`, `10/8/6`, `5-5-5`, `60/65/70`."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.doubts import Doubts, Refused
from core.notation.efforts import HIGHEST_RPE
from core.notation.pieces import Link, Number, Role, Side
from core.notation.runs import MOST_FEW_SETS
from core.notation.sense import SHORT_LIST, Order, Sense, Style

WIDEST_RANGE = 6.0
"""Widest range of repetitions: `6-12`. [repetitions]"""

MOST_LISTED_REPS = 30
"""Above it falling numbers of a barbell lift are loads. [repetitions] Sets of so many are not done on a bar."""

MOST_KEPT_BACK = 3.0
"""Up to here a number behind repetitions and a dash may be what was left. [repetitions]"""

STEADY_FALL = 1.0
"""Repetitions that a second set is short of the first, where nobody would think of anything else. [repetitions]"""

_HOLDING = (Link.SLASH, Link.DASH, Link.OR)


def clustered(
    numbers: Sequence[Number], links: Sequence[Link | None], sense: Sense, doubts: Doubts
) -> tuple[list[Number], list[Link | None]]:
    """Numbers of a cell with those that a slash or a dash holds together made one.

    Raises:
        Refused: they cannot be a set.

    """
    kept: list[Number] = []
    kept_links: list[Link | None] = []
    place = 0
    while place < len(numbers):
        end = place + 1
        while end < len(numbers) and links[end] in _HOLDING and not _turns(numbers[place], numbers[end]):
            end += 1
        lead = Link.CROSS if links[place] in _HOLDING else links[place]
        if end == place + 1:
            kept.append(numbers[place])
            kept_links.append(lead)
        else:
            run = list(numbers[place:end])
            behind = numbers[end] if end < len(numbers) and links[end] is Link.CROSS else None
            cluster = _Cluster(
                run,
                links[place + 1] or Link.SLASH,
                sense,
                doubts,
                first=not kept,
                after_at=lead is Link.AT,
                crossed=behind,
            )
            together = cluster.numbers()
            kept.extend(together)
            kept_links.extend([lead, *[Link.CROSS] * (len(together) - 1)])
        place = end
    return kept, kept_links


def _turns(head: Number, number: Number) -> bool:
    """Whether a dash parts repetitions and their load: `4x8 - 60kg`."""
    if Role.SETS in (head.role, number.role):
        return True  # `100kg - 5 sets - 5 reps`
    return number.role is Role.LOAD and head.role is not Role.LOAD


class _Cluster:
    """One run of numbers held together.

    Args:
        run: Two numbers or more.
        link: What holds them together.
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        first: Nothing of the cell stands before them.
        after_at: They stand behind @.
        crossed: Number behind them and a cross.

    """

    __slots__ = ("_after_at", "_crossed", "_doubts", "_first", "_link", "_run", "_sense")

    def __init__(
        self,
        run: list[Number],
        link: Link,
        sense: Sense,
        doubts: Doubts,
        *,
        first: bool,
        after_at: bool,
        crossed: Number | None = None,
    ) -> None:
        self._run = run
        self._link = link
        self._sense = sense
        self._doubts = doubts
        self._first = first
        self._after_at = after_at
        self._crossed = crossed

    def numbers(self) -> list[Number]:
        """What they are together."""
        run, sense = self._run, self._sense
        head, rest = run[0], run[1:]
        if self._link is Link.OR:
            return [self._either()]
        plain = all(number.role in (Role.BARE, Role.REPS) for number in run)
        if sense.timed and all(number.role is Role.BARE for number in run):
            return [self._held()]
        if self._after_at and plain and max(number.value for number in run) <= HIGHEST_RPE:
            return [self._ratings()]
        if self._loads():
            return [_merged(run, Role.LOAD)]
        if head.role is Role.LOAD or (self._first and head.role is Role.BARE and not sense.is_reps(head.value)):
            if all(number.role in (Role.BARE, Role.LOAD) and not sense.is_reps(number.value) for number in rest):
                return [_merged(run, Role.LOAD)]
            return self._load_and_rest()
        if self._link is Link.SLASH and plain and len(run) == 2 and head.value == rest[0].value and head.whole:
            return [self._each_hand() if self._may_be_hands() else self._twice_alike()]
        if self._first and sense.style is Style.BAR and head.role is Role.BARE and sense.is_load(head.value):
            return self._load_and_rest()
        if len(run) == 2:
            return self._two()
        heavy = head.value > SHORT_LIST or head.value >= 2 * max(number.value for number in rest)
        can_load = head.role is Role.BARE and sense.style is not Style.BODY and sense.is_load(head.value)
        if self._first and heavy and can_load:
            value = self._asked(Doubt.PAIR, "run", [Order.LIST.value, Order.LOAD_LIST.value])
            if value == Order.LOAD_LIST.value:
                return self._load_and_rest()
        return [_merged(run, Role.REPS)]

    def _either(self) -> Number:
        """`80x5 or 6`, `80x5 maybe 6`: one of them."""
        told = [f"{number.value:g}" for number in self._run[:2]]
        chosen = self._asked(Doubt.OTHER, "either", told)
        return self._run[told.index(chosen)]

    def _loads(self) -> bool:
        """`40/60/80 x 5`, `10/8/6 @ 60/70/80`: loads, all above the repetitions that follow, or behind @."""
        values = [number.value for number in self._run]
        if not all(number.role is Role.BARE and self._sense.is_load(number.value) for number in self._run):
            return False
        if self._after_at:
            return min(values) > HIGHEST_RPE
        behind = self._crossed
        falling = self._sense.style is Style.BAR and len(values) > 2 and min(values) > MOST_LISTED_REPS
        falling = falling and all(before > after for before, after in pairwise(values))
        if falling and self._first and (behind is None or behind.value < min(values)):
            return True  # `80/60/40 x 8`, a drop set
        if (
            not self._first
            or behind is None
            or behind.role not in (Role.BARE, Role.REPS)
            or behind.value >= min(values)
        ):
            return False
        rising = all(before < after for before, after in pairwise(values))
        return rising and (len(values) > 2 or self._sense.style is Style.BAR)

    def _may_be_hands(self) -> bool:
        """`40/40 x 10` of a lift with hand weights: the first may be the load in each hand, the other repetitions."""
        behind, head = self._crossed, self._run[0]
        bare = behind is not None and behind.role in (Role.BARE, Role.REPS) and behind.value <= head.value
        hands = self._sense.style in (Style.LIGHT, Style.UNKNOWN)
        return bare and self._first and hands and self._sense.is_load(head.value)

    @property
    def _barred(self) -> bool:
        """Whether both sides lift one bar."""
        lift = self._sense.exercise
        return self._sense.style is Style.BAR and lift is not None and not lift.one_side

    def _twice_alike(self) -> Number:
        """`10/10`: each side; of a lift on a bar, which has none, two sets, or all that were asked for."""
        head, lift, barred = self._run[0], self._sense.exercise, self._barred
        if (barred or lift is None) and head.value > MOST_LISTED_REPS:
            instead = f"{head.value:g} a side x5" if barred else f"{head.value:g} each side"
            raise Refused(ProblemKind.NOT_REPS, head.start, self._run[-1].end, instead=instead)
        if not barred:
            return _both_sides(self._run)
        if self._asked(Doubt.OTHER, "alike", [Order.LIST.value, "of"]) == "of":
            return replace(head, role=Role.REPS, end=self._run[-1].end)
        return _merged(self._run, Role.REPS)

    def _each_hand(self) -> Number:
        if self._asked(Doubt.PAIR, "hands", ["load", "sides"]) == "sides":
            return _both_sides(self._run)
        return replace(self._run[0], role=Role.LOAD, end=self._run[-1].end, also=())

    def _held(self) -> Number:
        """`60/45/30` of a lift that is held; `30/30` is each side."""
        run = self._run
        held = _merged(run, Role.SECONDS)
        if self._link is Link.SLASH and len(run) == 2 and run[0].value == run[1].value:
            held.also, held.side = (), Side.SIDE
        return held

    def _ratings(self) -> Number:
        """`@8-9` is the middle of a range; `@8/9` one for each set."""
        whole = _merged(self._run, Role.BARE)
        if self._link is Link.DASH:
            whole.value, whole.also = sum(number.value for number in self._run) / len(self._run), ()
        return whole

    def _load_and_rest(self) -> list[Number]:
        """`80-5`, `80/8/8/8`, `80/8/3`: a load and repetitions; three with slashes may be an order of their own."""
        head, rest = self._run[0], self._run[1:]
        if len(rest) == 1:
            return [head, rest[0]]
        if len(rest) == 2 and self._link is Link.DASH and head.role is Role.BARE:
            values = _kept_back(*rest)
            if 1 < min(number.value for number in rest) <= MOST_FEW_SETS:
                values.append("order")
            way = self._asked(Doubt.ORDER, "dashes", values)
            if way == "order":
                return list(self._run)  # `80-5-3`
            if way == "left":
                return [head, _with_left(*rest)]
        if len(rest) == 2 and self._link is Link.SLASH:
            alike = rest[0].value == rest[1].value and not self._barred
            values = ["list", "sides", "order"] if alike and head.role is Role.BARE else ["order", "list"]
            value = self._asked(Doubt.ORDER, "slashes", values)
            if value == "sides":
                return [head, _both_sides(rest)]
            if value == "order":
                return list(self._run)
        return [head, _merged(rest, Role.REPS)]

    def _two(self) -> list[Number]:
        """Two numbers of the size of repetitions: `8-6`, `3-8`, `8/6`, `3/5`, `8-10`."""
        low, high = self._run
        ranged = not self._first and self._link is Link.DASH and low.value < high.value
        if ranged and high.value - low.value > WIDEST_RANGE:
            return [low, high]  # `5x5 - 100`: the dash joins as a cross does
        doubt = Doubt.PAIR if self._first else Doubt.OTHER
        value = self._asked(doubt, f"two {self._link.name.lower()}", self._ways_of_two())
        if value in (Order.LOAD_REPS.value, Order.SETS_REPS.value):
            low.role = Role.LOAD if value == Order.LOAD_REPS.value else Role.SETS
            high.role = Role.REPS
            return [low, high]
        if value == "of":  # `3/5`: three of five
            low.role, low.failed, low.end = Role.REPS, True, high.end
            return [low]
        if value == "sides":
            side = _both_sides(self._run)
            side.value = min(low.value, high.value)
            return [side]
        if value == "left":  # `80x5-1`
            return [_with_left(low, high)]
        if value in ("lower", "higher"):
            told = low if value == "lower" else high
            told.role = Role.REPS
            return [told]
        return [_merged(self._run, Role.REPS)]

    def _ways_of_two(self) -> list[str]:
        low, high = self._run
        sense = self._sense
        if self._first:
            values = [Order.LIST.value]
            bare = low.role is Role.BARE and high.role is Role.BARE
            if self._link is Link.DASH and low.value < high.value and sense.is_scheme(low.value, high.value):
                values.insert(0, Order.SETS_REPS.value)
            if bare and sense.is_load(low.value):
                values.insert(0, Order.LOAD_REPS.value)
            return values
        if low.value >= high.value:
            if self._link is Link.SLASH:
                return [Order.LIST.value, "sides"]
            return _kept_back(low, high)
        return ["lower", "higher"] if self._link is Link.DASH else ["of", Order.LIST.value]

    def _asked(self, doubt: Doubt, key: str, values: Sequence[str]) -> str:
        start, end = self._run[0].start, self._run[-1].end
        return self._doubts.value(doubt, f"{key} {start}", values, start=start, end=end, taught=False)


def _kept_back(reps: Number, behind: Number) -> list[str]:
    """Whether a number behind repetitions and a dash is a further set, or what was left; likeliest first."""
    if behind.value > MOST_KEPT_BACK or reps.value - behind.value <= STEADY_FALL:
        return [Order.LIST.value]
    return ["left", Order.LIST.value] if behind.value == 1 else [Order.LIST.value, "left"]


def _with_left(reps: Number, left: Number) -> Number:
    return replace(reps, role=Role.REPS, left=left.value, end=left.end)


def _both_sides(run: Sequence[Number]) -> Number:
    both = _merged(run, Role.REPS)
    both.also, both.side = (), Side.SIDE
    return both


def _merged(run: Sequence[Number], role: Role) -> Number:
    if role is Role.REPS and len(run) > 2 and run[0].value and any(number.value == 0 for number in run):
        instead = "tempo " + "-".join(f"{number.value:g}" for number in run)  # `140x5 2-0-0`
        raise Refused(ProblemKind.NOT_REPS, run[0].start, run[-1].end, instead=instead)
    if len(run) > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, run[0].start, run[-1].end, detail=str(MOST_SETS))
    merged = replace(run[0], role=role, end=run[-1].end, also=tuple([number.value for number in run[1:]]))
    merged.unit = next((number.unit for number in run if number.unit is not None), None)
    merged.side = run[-1].side if run[-1].side is not Side.BOTH else run[0].side
    return merged
