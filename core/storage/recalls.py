"""Recalls: what the threads of one process recall of lifters whose rows they have locked."""

import secrets
from threading import Lock

from core.storage.recall import Recall

MOST_LIFTERS = 1024
"""Lifters of whom something is recalled, those longest ago forgotten first. [lifters]"""

MOST_SESSIONS = 4
"""Sessions of one lifter of which something is recalled. [sessions]"""

WATCHED = frozenset(
    {
        "due",
        "estimates",
        "own_exercises",
        "planned_days",
        "plans",
        "records",
        "reminders",
        "sessions",
        "sets",
        "setups",
    }
)
"""Tables that may be recalled: a trigger strikes out who recalls a lifter where somebody who does not hold that lifter
changes a row of theirs in one of them."""


class Recalls:
    """What is recalled of each lifter, between the transactions of a process that lock the lifter's row.

    Whoever locks a lifter finds in the row who recalls them. Is it this process, then nobody else has written since, and
    what it recalls holds; is it not, that is forgotten and the row is signed. So a process that has a lifter for itself
    writes nothing for it. Whoever changes rows of a lifter without having locked them, by this program or another one,
    strikes the signature out: triggers see to that.

    What is recalled of a lifter is out of here while a transaction holds them, and comes back once that is committed: of
    one that was rolled back, or of whose end nothing is known, nothing is left.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._signature = _new_signature()
        self._kept: dict[int, Recall] = {}
        self._out: dict[int, Recall] = {}

    def begin_anew(self) -> None:
        """Forget all, and sign otherwise: the rows may be older than what is recalled, as those of another server are."""
        with self._lock:
            self._signature = _new_signature()
            self._kept.clear()
            self._out.clear()

    def taken(self, lifter_id: int, signed: int | None) -> tuple[Recall, int | None]:
        """What is recalled of a lifter who was just locked, and with what to sign their row where it is not signed so."""
        with self._lock:
            signature = self._signature
            kept = self._kept.pop(lifter_id, None)
            if kept is None or signed != signature:
                kept = self._new()
            self._out[lifter_id] = kept
            return kept, None if signed == signature else signature

    def given_back(self, lifter_id: int, recall: Recall) -> None:
        """Keep what is recalled of a lifter, for the transaction is committed.

        By then another one may have locked the lifter, and changed what is recalled here: then it is not kept.
        """
        with self._lock:
            if self._out.get(lifter_id) is not recall:
                return
            del self._out[lifter_id]
            if len(self._kept) >= MOST_LIFTERS:
                del self._kept[next(iter(self._kept))]
            self._kept[lifter_id] = recall

    def dropped(self, lifter_id: int, recall: Recall) -> None:
        """Forget what is recalled of a lifter, for the transaction may not be committed."""
        with self._lock:
            if self._out.get(lifter_id) is recall:
                del self._out[lifter_id]

    def _new(self) -> Recall:
        return Recall(most=MOST_SESSIONS)


def _new_signature() -> int:
    return secrets.randbits(63)
