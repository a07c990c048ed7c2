"""Looks: what is read of the store at the door: who is known, and where a question stands."""

import asyncio
from collections.abc import Collection, Sequence
from datetime import datetime

from core.application.ports import Store
from core.application.rows import AskedQuestion
from core.domain.profile import Address
from core.domain.replies import TapDidNothing, TapRefusal


class Looks:
    """Reads snapshots beside the running work; it writes nothing.

    Args:
        store: Where everything is kept.

    """

    def __init__(self, store: Store) -> None:
        self._store = store

    async def known(self, addresses: Collection[Address]) -> set[Address]:
        """Those from which a lifter writes, or of whom something that was taken waits to be handled."""
        return await asyncio.to_thread(self._known, addresses)

    def _known(self, addresses: Collection[Address]) -> set[Address]:
        with self._store.read() as work:
            return {
                each
                for each in addresses
                if work.lifters.at_address(each) is not None or work.inbox.next_for(each) is not None
            }

    async def refusals(self, presses: Sequence[tuple[Address, str, int]], now: datetime) -> list[TapDidNothing | None]:
        """Why each press of an option does nothing, as far as it is known yet; None for one that is to be taken."""
        return await asyncio.to_thread(self._refusals, presses, now)

    def _refusals(self, presses: Sequence[tuple[Address, str, int]], now: datetime) -> list[TapDidNothing | None]:
        with self._store.read() as work:
            made: list[TapDidNothing | None] = []
            for address, question_id, option in presses:
                question = work.questions.get(question_id)
                lifter = work.lifters.at_address(address)
                whose = None if lifter is None else lifter.id
                made.append(_refusal(question, option, lifter_id=whose, now=now))
            return made

    async def chosen(self, questions: Collection[str]) -> dict[str, int]:
        """The options taken, of those questions that are answered."""
        return await asyncio.to_thread(self._chosen, questions)

    def _chosen(self, questions: Collection[str]) -> dict[str, int]:
        with self._store.read() as work:
            found = [work.questions.get(each) for each in questions]
            return {each.id: each.chosen for each in found if each is not None and each.chosen is not None}


def _refusal(
    question: AskedQuestion | None, option: int, *, lifter_id: int | None, now: datetime
) -> TapDidNothing | None:
    if question is None or not 0 <= option < len(question.sends):
        return TapDidNothing(TapRefusal.UNKNOWN)
    if question.lifter_id != lifter_id:
        return TapDidNothing(TapRefusal.NOT_YOURS)
    if question.chosen is not None:
        return TapDidNothing(TapRefusal.ALREADY, question.sends[question.chosen])
    if now >= question.expires_at:
        return TapDidNothing(TapRefusal.TOO_LATE)
    return None
