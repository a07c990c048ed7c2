"""Sets of the log, as rows."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from core.application.rows import CountedRow
from core.domain.sets import Counted, LoggedSet
from core.storage import set_statements as on_sets
from core.storage.set_rows import as_read, in_order, row_of, with_counted, with_verdicts
from core.storage.statements import Link, Value
from core.storage.traces import Traces
from core.strength.records import Record

ROWS_A_SESSION = 32
"""Rows of an exercise looked through for each session wanted; few sessions have more sets of one. [sets]"""


class StoredSets:
    """Sets over an open connection.

    Args:
        link: The connection.
        traces: Told what was erased.

    """

    def __init__(self, link: Link, *, traces: Traces) -> None:
        self._link = link
        self._traces = traces

    def add(
        self, lifter_id: int, sets: Sequence[LoggedSet], *, days: Sequence[date], change: int
    ) -> Sequence[LoggedSet]:
        """Store sets under the inbox row that brought them; returned with their numbers."""
        known = _Known(self._link, lifter_id, sets)
        numbers = self._link.added(
            on_sets.ADD,
            [
                {**row_of(each, day=day), "lifter_id": lifter_id, "added_by": change}
                for each, day in zip(sets, days, strict=True)
            ],
        )
        added = [replace(each, id=number) for each, number in zip(sets, numbers, strict=True)]
        known.keep(added, days)
        return added

    def take_back(self, lifter_id: int, sets: Sequence[LoggedSet], *, change: int) -> None:
        """Take sets out of the log; `change` is the inbox row that did."""
        self._link.changes(on_sets.TAKE_BACK, [{**_told(lifter_id, each), "change": change} for each in sets])

    def last_change(self, lifter_id: int) -> int | None:
        """The newest inbox row that added or took back sets that still stand so."""
        added = self._link.first(on_sets.LAST_ADDED, lifter_id=lifter_id)
        taken_back = self._link.first(on_sets.LAST_TAKEN_BACK, lifter_id=lifter_id)
        return max((change for change in (added, taken_back) if change is not None), default=None)

    def added_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets in the log that a change added, in order of position."""
        return self._link.rows(on_sets.ADDED_BY, lifter_id=lifter_id, change=change)

    def taken_back_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets that a change took out of the log, in order of position."""
        return self._link.rows(on_sets.TAKEN_BACK_BY, lifter_id=lifter_id, change=change)

    def restore(self, ids: Sequence[int]) -> None:
        """Put sets that were taken back into the log again, and their sessions with them."""
        self._link.changes(on_sets.RESTORE, [{"set": each} for each in ids])
        self._link.changes(on_sets.RESTORE_SESSION, [{"set": each} for each in ids])

    def erase(self, ids: Sequence[int]) -> None:
        """Delete sets for good; a session that had left the log goes with the last of its sets."""
        self._link.changes(on_sets.ERASE_SESSION, [{"set": each} for each in ids])
        self._link.changes(on_sets.ERASE, [{"set": each} for each in ids])

    def erase_taken_back(self, lifter_id: int, root_key: str) -> None:
        """Delete for good what a message told and a correction took back."""
        self.erase(self._link.rows(on_sets.TAKEN_BACK_OF_ROOT, lifter_id=lifter_id, root_key=root_key))

    def forget_body_mass(self, lifter_id: int) -> Sequence[str]:
        """Erase what body mass was part of, in the log and out of it; the exercises that it was erased from."""
        self._traces.erased = True
        return list(dict.fromkeys(self._link.rows(on_sets.FORGET_BODY_MASS, lifter_id=lifter_id)))

    def of_root(self, lifter_id: int, root_key: str) -> Sequence[LoggedSet]:
        """Sets that one message told, in order of place; corrections of them included."""
        return self._link.rows(on_sets.OF_ROOT, lifter_id=lifter_id, root_key=root_key)

    def of_session(self, session_id: int, *, exercise: str | None = None) -> Sequence[LoggedSet]:
        """Sets of a session, of one exercise or of all, in order of position."""
        if exercise is None:
            return self._link.rows(on_sets.OF_SESSION, session_id=session_id)
        return self._link.rows(on_sets.OF_EXERCISE_IN_SESSION, session_id=session_id, exercise=exercise)

    def of_exercises(
        self, lifter_id: int, exercises: Sequence[str], *, since: datetime | None = None
    ) -> Sequence[LoggedSet]:
        """Sets of some exercises in order of position, from an instant on."""
        since = on_sets.EVER if since is None else since
        names = list(dict.fromkeys(exercises))
        if len(names) == 1:
            return self._link.rows(on_sets.OF_EXERCISE, lifter_id=lifter_id, exercise=names[0], since=since)
        found: list[LoggedSet] = []
        for start in range(0, len(names), on_sets.NAMES_AT_ONCE):
            asked = names[start : start + on_sets.NAMES_AT_ONCE]
            asked += asked[-1:] * (on_sets.NAMES_AT_ONCE - len(asked))
            values = {f"exercise_{place}": name for place, name in enumerate(asked)}
            found += self._link.rows(on_sets.OF_EXERCISES, lifter_id=lifter_id, since=since, **values)
        return found if len(names) <= on_sets.NAMES_AT_ONCE else sorted(found, key=lambda each: each.position)

    def between(self, lifter_id: int, first: date, last: date) -> Sequence[LoggedSet]:
        """Sets of training days from `first` to `last`, both included, in order of position."""
        return self._link.rows(on_sets.BETWEEN, lifter_id=lifter_id, first=first, last=last)

    def judge(self, lifter_id: int, judged: Sequence[tuple[LoggedSet, Counted]]) -> None:
        """Write what some sets of the log count as."""
        known = _Known(self._link, lifter_id, [each for each, _ in judged])
        self._link.changes(on_sets.JUDGE, [{**_told(lifter_id, each), "counted": verdict} for each, verdict in judged])
        known.judge({each.id: verdict for each, verdict in judged})

    def imply(self, lifter_id: int, implied: Sequence[tuple[LoggedSet, float | None]]) -> None:
        """Write the reps left that the estimate from before each of some sets implies."""
        self._link.changes(on_sets.IMPLY, [{**_told(lifter_id, each), "left": left} for each, left in implied])

    def made(self, lifter_id: int, exercise: str) -> Sequence[Record]:
        """What was made of an exercise, each load and repetitions once, in order of their first set."""
        return self._link.rows(on_sets.MADE, lifter_id=lifter_id, exercise=exercise)

    def counted(self, lifter_id: int, first: date, last: date) -> Sequence[CountedRow]:
        """How many sets of each verdict there are, by session and exercise, on the days from first to last."""
        return self._link.rows(on_sets.COUNTED, lifter_id=lifter_id, first=first, last=last)

    def recent_sessions(
        self, lifter_id: int, exercise: str, *, limit: int
    ) -> Sequence[tuple[date, Sequence[LoggedSet]]]:
        """The last sessions that had an exercise, newest first, each with its day and its sets of it."""
        rows = max(1, limit) * ROWS_A_SESSION
        while True:
            found = self._link.rows(on_sets.NEWEST, lifter_id=lifter_id, exercise=exercise, rows=rows)
            session_ids = list(dict.fromkeys(found))
            if len(session_ids) > limit or len(found) < rows:
                break
            rows *= 4
        sessions_told: list[tuple[date, Sequence[LoggedSet]]] = []
        for session_id in session_ids[:limit]:
            told = self._link.rows(on_sets.OF_SESSION_AND_EXERCISE, session_id=session_id, exercise=exercise)
            sessions_told.append((told[0][0], [each for _, each in told]))
        return sessions_told


def _told(lifter_id: int, each: LoggedSet) -> dict[str, Value]:
    """Which set a change is of; told so that what is recalled of other lifters and sessions stays."""
    return {"set": each.id, "session_id": each.session_id, "lifter_id": lifter_id}


class _Known:
    """What is known of some sessions' sets and of a lifter's weeks before sets are added or judged, kept up after it."""

    __slots__ = ("_lifter_id", "_link", "_of_exercises", "_of_sessions", "_weeks")

    def __init__(self, link: Link, lifter_id: int, sets: Sequence[LoggedSet]) -> None:
        self._link = link
        self._lifter_id = lifter_id
        session_ids = {each.session_id for each in sets} if link.recalls else ()
        self._of_sessions = {each: dict(link.kept(on_sets.OF_SESSION, each)) for each in session_ids}
        self._of_exercises = {each: dict(link.kept(on_sets.OF_EXERCISE_IN_SESSION, each)) for each in session_ids}
        self._weeks = dict(link.kept(on_sets.COUNTED, lifter_id)) if link.recalls else {}

    def judge(self, verdicts: Mapping[int, Counted]) -> None:
        """Take in what sets count as now; weeks are counted again when they are asked for."""
        for session_id, known in self._of_sessions.items():
            for there in known.values():
                self._link.now(on_sets.OF_SESSION, with_verdicts(there, verdicts), session_id=session_id)
        for session_id, by_exercise in self._of_exercises.items():
            for (_, name), there in by_exercise.items():
                told = {"session_id": session_id, "exercise": name}
                self._link.now(on_sets.OF_EXERCISE_IN_SESSION, with_verdicts(there, verdicts), **told)

    def keep(self, added: Sequence[LoggedSet], days: Sequence[date]) -> None:
        """Take sets in that were added."""
        if not self._link.recalls:
            return
        stored = [(day, as_read(each)) for each, day in zip(added, days, strict=True)]
        for session_id, known in self._of_sessions.items():
            for there in known.values():
                mine = [each for _, each in stored if each.session_id == session_id]
                self._link.now(on_sets.OF_SESSION, in_order(there, mine), session_id=session_id)
        for session_id, by_exercise in self._of_exercises.items():
            for (_, name), there in by_exercise.items():
                mine = [each for _, each in stored if each.session_id == session_id and each.exercise == name]
                told = {"session_id": session_id, "exercise": name}
                self._link.now(on_sets.OF_EXERCISE_IN_SESSION, in_order(there, mine), **told)
        for (_, first, last), rows in self._weeks.items():
            if not (isinstance(first, date) and isinstance(last, date)):
                continue
            mine_then = [(day, each) for day, each in stored if first <= day <= last]
            # Other weeks are seldom asked for again, and are read then.
            if mine_then:
                self._link.now(
                    on_sets.COUNTED, with_counted(rows, mine_then), lifter_id=self._lifter_id, first=first, last=last
                )
