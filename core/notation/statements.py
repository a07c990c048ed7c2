"""Statements: one text to one command, under what is settled about its doubts."""

from collections.abc import Sequence
from dataclasses import replace

from core.domain.commands import Command, Done, Doubt, Fix, LogSets, Respelt, Same
from core.domain.exercises import Exercise
from core.domain.plan_commands import RecentSets
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS, SetRead
from core.notation.asking import Asking
from core.notation.cells import Builder
from core.notation.closings import closing_in
from core.notation.commas import with_decimals
from core.notation.context import Context
from core.notation.corrections import Correction, correction_in
from core.notation.dates import day_told, refuse_second_day
from core.notation.doubts import Doubts, Refused
from core.notation.entries import Entry
from core.notation.expansion import Expansion, Told
from core.notation.kept import Kept, KeptLog, KeptParts, untouched
from core.notation.naming import Namer
from core.notation.parts import parts
from core.notation.pieces import Piece
from core.notation.plain_questions import only_asks
from core.notation.requests import COUNTED, counted_request_in, request_in
from core.notation.scanner import pieces_of
from core.notation.sense import Sense
from core.notation.setting_up import answered
from core.notation.tokens import Kind, Text, Token
from core.notation.units import with_units
from core.notation.vocabulary import LOAD_LABELS, REPS, UNITS
from core.notation.walk import fold_word
from core.notation.written_dates import Day


class Statement:
    """One text on its way to a command.

    Args:
        text: The folded text.
        context: What reading may depend on.
        doubts: What is settled; takes what is not.
        ignored: Parts of the folded text that are no part of a set, as warning signs.
        kept: What an earlier attempt at a long text found; takes what the first one finds.

    """

    __slots__ = ("_context", "_doubts", "_ignored", "_kept", "_text", "respelt")

    def __init__(
        self,
        text: Text,
        context: Context,
        doubts: Doubts,
        ignored: Sequence[tuple[int, int]],
        kept: Kept | None = None,
    ) -> None:
        self._text = text
        self._context = context
        self._doubts = doubts
        self._ignored = ignored
        self._kept = kept
        self.respelt: list[Respelt] = []

    def command(self, found: Sequence[Token]) -> Command:
        """The command that these tokens are.

        Raises:
            Refused: they are none.

        """
        if found[0].kind is Kind.SLASH:
            found = found[1:]  # as platforms write commands: `/help`
        context = self._context
        found = _unquoted(found)
        whole = found = with_decimals(found, self._doubts, self._lift_before)
        asked = len(self._doubts.asked)
        if self._kept is not None and (log := self._kept.log_of(whole)) is not None:
            return self._logged(log.found, log.day, log.close)
        if context.asked is not None:
            lifting = context.exercise is not None
            asking = Asking(self._text, found, context.names, self._doubts, context.unit, self.respelt, lifting=lifting)
            if (command := answered(asking, context.asked)) is not None:
                return command
        if found[0].kind is not Kind.NUMBER or found[1].text == "rm":
            lift = context.names.known(context.exercise or "")
            barred = lift is not None and lift.body_share == 0
            asking = Asking(self._text, found, context.names, self._doubts, context.unit, self.respelt, barred=barred)
            if (command := request_in(asking)) is not None:
                return command
        elif (
            found[1].text in COUNTED
            or _converts(found)
            or (found[1].kind is Kind.CROSS and found[2].text in ("a", "per", "week"))
        ):
            asking = Asking(self._text, found, context.names, self._doubts, context.unit, self.respelt)
            lift = context.names.known(context.exercise or "")
            held = lift is not None and lift.timed  # `30 min` on the treadmill is what was done
            if not held and (command := counted_request_in(asking)) is not None:
                return command
        first = found[0].text
        if first == "recent":
            return RecentSets(tuple(each.read for each in self._complete(found, self._sets(found[1:]))))
        if (corrected := correction_in(found, context.names)) is not None:
            return self._corrected(corrected)
        if self._starred(found):
            return self._fix(found, 1)
        if first in _FIXES:
            behind = 1
            while (
                found[behind].text in ("that", "it", "last", "to", "with", "the", "set")
                or found[behind].kind is Kind.COLON
            ):
                behind += 1
            if found[behind].text in _COUNTED_TO and found[behind + 1].text == "to":
                found = [*found[: behind + 1], *found[behind + 2 :]]  # `fix load to 82.5`
            return self._fix(found, behind)
        if first in _REPEATS:
            return self._same(found)
        if only_asks(found):
            raise self._whole(found, ProblemKind.UNKNOWN)
        found, day, close = self._dated(found)
        if self._kept is not None and not self._kept.changed:
            self._kept.log = KeptLog(whole, frozenset(self._doubts.asked[asked:]), found, day, close)
        return self._logged(found, day, close)

    def _lift_before(self, found: Sequence[Token], at: int) -> Exercise | None:
        """The lift whose name ends before a token; the one that is being done where no word stands there."""
        names, first = self._context.names, at
        while first and found[first - 1].kind is Kind.WORD and at - first < names.longest:
            first -= 1
        if first == at:
            return names.known(self._context.exercise or "")
        words = [fold_word(token.text) for token in found[first:at]]
        named = (names.exact(" ".join(words[place:])) for place in range(len(words)))
        return next((names.known(name) for name in named if name is not None), None)

    def _corrected(self, corrected: Correction) -> Command:
        start, end = corrected.start, corrected.end
        values = ["fix"] if corrected.certain else ["fix", "set"]
        way = self._doubts.value(Doubt.OTHER, "corrects", values, start=start, end=end, taught=False)
        kept = corrected.tokens
        return self._fix([kept[0], *kept], 1) if way == "fix" else self._logged(*self._dated(kept))

    def _starred(self, found: Sequence[Token]) -> bool:
        """`*82.5x5`: in a chat a correction, at the start of a list a set like the others."""
        star, number = found[0], found[1]
        if star.text != "*" or number.kind is not Kind.NUMBER or number.spaced:
            return False
        values = ["fix", "set"]
        return self._doubts.value(Doubt.OTHER, "star", values, start=star.start, end=star.end, taught=False) == "fix"

    def _dated(self, found: Sequence[Token]) -> tuple[Sequence[Token], Day | None, Done | None]:
        """Tokens of the sets alone, their day, and what was told of the session's end."""
        dated = day_told(found, self._doubts)
        day: Day | None = None
        if dated is not None:
            day = dated.day
            found = [*found[: dated.first], *found[dated.behind :]]
        refuse_second_day(found, dated=dated is not None)
        found, close = closing_in(found)
        return found, day, close if day is None else None

    def _logged(self, found: Sequence[Token], day: Day | None, close: Done | None) -> Command:
        told = self._sets(found)
        sets = tuple(each.read for each in told)
        if len(sets) == 1 and _only_effort(sets[0]) and close is None:
            return Fix(sets)
        self._complete(found, told)
        return LogSets(sets, day, close)

    def _complete(self, found: Sequence[Token], told: list[Told]) -> list[Told]:
        for each in told:
            if _nothing_done(each.read):
                kind = ProblemKind.UNKNOWN if each.read.exercise is None else ProblemKind.REPS_MISSING
                raise self._whole(found, kind)
        return told

    def _fix(self, found: Sequence[Token], behind: int) -> Command:
        first = found[0]
        if found[behind].kind is Kind.END:
            instead = "fix 82.5x5"
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, found[behind - 1].end, instead=instead)
        told = self._sets(found[behind:], partial=True)
        sets = tuple([each.read for each in told])
        empty = len(sets) > 1 and any(map(_nothing_done, sets))
        if empty or any(each == SetRead() for each in sets):
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, first.end)
        return Fix(sets)

    def _same(self, found: Sequence[Token]) -> Command:
        at = 1
        times = 1
        while found[at].text in _REPEAT_FILLERS or found[at].kind is Kind.COMMA:
            at += 1
        if found[at - 1].text in ("weight", "load"):
            pass  # `same weight x 8` tells repetitions
        elif found[at].kind is Kind.CROSS and found[at + 1].text.isdigit() and found[at + 2].kind is not Kind.CROSS:
            times, at = _times(found[at + 1]), at + 2
        elif found[at].text.isdigit() and found[at + 1].text in _OFTEN and found[at + 2].kind is not Kind.NUMBER:
            times, at = _times(found[at]), at + 2
        elif found[at].text == "twice":
            times, at = 2, at + 1
        if found[at].kind is Kind.END:
            return Same(times)
        told = self._sets(_stepped(found[at:]), partial=True)
        if len(told) != 1:
            raise Refused(ProblemKind.WORD_LEFT_OVER, told[1].start, told[-1].end)
        if told[0].read.failed and told[0].read.reps is None:
            raise Refused(ProblemKind.REPS_MISSING, found[at].start, told[0].end)
        return Same(times, told[0].read)

    def _sets(self, found: Sequence[Token], *, partial: bool = False) -> list[Told]:
        context, kept = self._context, self._kept
        known = None if kept is None else kept.parts_of(found)
        parted = self._parts(found) if known is None else known
        self.respelt.extend(parted.respelt)
        keeping = kept is not None and kept.parts is parted
        told: list[Told] = []
        current = context.exercise
        named = None
        for place, part in enumerate(parted.parts):
            named = part.named or named
            name = named.exercise if named is not None else None
            read = kept.told_of(place) if kept is not None and keeping else None
            if read is None:
                lift = context.names.known(name or current or "")
                weighted = named is not None and named.typed.startswith("weighted")
                sense = Sense(lift, context.bar_kg, context.unit, weighted)
                asked = len(self._doubts.asked)
                read = self._read(untouched(part.pieces) if keeping else part.pieces, name, sense, partial=partial)
                if kept is not None and keeping and not kept.changed:
                    kept.told[place] = frozenset(self._doubts.asked[asked:]), read
            told.extend(read)
            if len(told) > MOST_SETS:
                raise Refused(ProblemKind.TOO_MANY_SETS, told[MOST_SETS].start, told[-1].end, detail=str(MOST_SETS))
            current = name or current
        if not told:
            if partial and named is not None:
                unknown = Sense(None, context.bar_kg, None)
                return [Told(SetRead(exercise=named.exercise), None, unknown, named.start, named.end)]
            if named is not None and named.known:
                raise Refused(ProblemKind.REPS_MISSING, named.start, named.end)
            raise self._whole(found, ProblemKind.UNKNOWN)
        return with_units(told, self._doubts, context.unit)

    def _parts(self, found: Sequence[Token]) -> KeptParts:
        context, doubts, kept = self._context, self._doubts, self._kept
        asked = len(doubts.asked)
        namer = Namer(self._text, context.names, doubts, context.exercise)
        namer.kept = None if kept is None else kept.named
        parted = parts(pieces_of(self._text, found, context.names, self._ignored), namer, doubts)
        made = KeptParts(found, frozenset(doubts.asked[asked:]), parted, tuple(namer.respelt))
        if kept is not None and not kept.changed:
            kept.parts = made
        return made

    def _read(self, pieces: Sequence[Piece], name: str | None, sense: Sense, *, partial: bool) -> list[Told]:
        """Sets of one part."""
        planned = self._context.planned_load or partial
        entry = Entry(sense, self._doubts, planned=planned, named=name is not None)
        return Expansion(name, sense, self._doubts, partial=partial).sets(entry.drafts(Builder().built(pieces)))

    def _whole(self, found: Sequence[Token], kind: ProblemKind) -> Refused:
        spoken = [token for token in found if token.kind not in (Kind.END, Kind.LINE)]
        start = spoken[0].start if spoken else 0
        end = spoken[-1].end if spoken else len(self._text.folded)
        return Refused(kind, start, end)


_COUNTED_TO = LOAD_LABELS | REPS
_FIXES = frozenset({"fix", "correct", "correction", "change", "edit", "update", "replace", "fx", "fixx", "fiix", "fxi"})
_OFTEN = frozenset({"x", "times", "more", "sets"})
_REPEATS = frozenset({"same", "again", "ditto", "repeat"})
_REPEAT_FILLERS = frozenset(
    {"again", "set", "but", "with", "weight", "load", "as", "last", "before", "at", "for", "same", "now", "only"}
)


def _converts(found: Sequence[Token]) -> bool:
    """Whether a text that begins with a load asks for it in another unit: `225 lb in kg`."""
    return found[1].text in UNITS and found[2].text in ("in", "to", "into") and found[3].text in UNITS


def _stepped(found: Sequence[Token]) -> Sequence[Token]:
    """`5 kg more`, `2.5 heavier`, of a set that is done once more, as `+5 kg`; the same tokens where nothing is added."""
    more = 2 if found[0].kind is Kind.NUMBER and found[1].text in UNITS else 1
    added = found[0].kind is Kind.NUMBER and found[more].text in ("more", "heavier", "up")
    if not added or found[more + 1].kind is not Kind.END:
        return found
    plus = Token(Kind.PLUS, "+", found[0].start, found[0].start, spaced=True)
    return [plus, found[0]._replace(spaced=False), *found[1:more], *found[more + 1 :]]


def _unquoted(found: Sequence[Token]) -> Sequence[Token]:
    """A whole text in quotes without them; elsewhere they are inches and minutes."""
    last = next(place for place in range(len(found) - 1, -1, -1) if found[place].kind is not Kind.END or place == 0)
    quotes = (Kind.DOUBLE_QUOTE, Kind.QUOTE)
    if last > 1 and found[0].kind in quotes and found[last].kind is found[0].kind:
        quoted = [token for token in found if token.kind is found[0].kind]
        if len(quoted) > 2 and len(quoted) % 2 == 0:
            return [token for token in found if token.kind is not found[0].kind]  # `"bench","80","5"`
        return [*found[1:last], *found[last + 1 :]]
    return found


def _times(token: Token) -> int:
    if not 1 <= float(token.text) <= MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, token.start, token.end, detail=str(MOST_SETS))
    return int(token.text)


def _nothing_done(one: SetRead) -> bool:
    return one.reps is None and one.seconds is None and one.load is None and not one.bar


def _only_effort(one: SetRead) -> bool:
    if one.reps is not None or one.load is not None:
        return False
    told = one.rir is not None or one.rpe is not None
    return told and replace(one, rir=None, rpe=None, at_least=False) == SetRead()
