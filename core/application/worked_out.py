"""Worked out: weeks laid out between two transactions, for they take longer than one may."""

from dataclasses import dataclass, replace
from functools import lru_cache

from core.domain.equipment import Owned
from core.domain.exercises import catalogue
from core.domain.plans import Conflict, WeekPlan, Wishes
from core.planning.conflicts import conflicts
from core.planning.offers import Offer, offers
from core.planning.week_layout import week_layout

MOST_ROUNDS = 8
"""Most times that one message is begun anew. [rounds] One asks for a layout or two; more is a fault of ours."""

KEPT = 64
"""Answers that are kept for whoever asks the same again. [answers]"""


@dataclass(frozen=True, slots=True)
class LayoutAsked:
    """A week to lay out, changing a week before as little as can be; the wishes that conflict are named if asked for."""

    wishes: Wishes
    owned: Owned
    previous: WeekPlan | None = None
    with_conflicts: bool = True


@dataclass(frozen=True, slots=True)
class OffersAsked:
    """Two weeks that differ, to choose from."""

    wishes: Wishes
    owned: Owned


Asked = LayoutAsked | OffersAsked


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A week, and the wishes that stand against a better one."""

    week: WeekPlan
    conflicts: tuple[Conflict, ...]


class NotWorkedOut(Exception):  # noqa: N818 - no error: the way out of a transaction that needs an answer first
    """A message cannot be handled before something is worked out."""

    def __init__(self, asked: Asked) -> None:
        super().__init__(type(asked).__name__)
        self.asked = asked


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """Answers that are there for a message.

    Each is found by all that it was worked out from. So what a lifter changed in the meantime asks for another answer,
    and nothing is written that rests on what no longer holds.
    """

    layouts: tuple[tuple[LayoutAsked, LaidOut], ...] = ()
    offers: tuple[tuple[OffersAsked, tuple[Offer, ...]], ...] = ()

    def layout(self, asked: LayoutAsked) -> LaidOut:
        """The week that was laid out.

        Raises:
            NotWorkedOut: it was not yet.

        """
        found = next((laid_out for known, laid_out in self.layouts if known == asked), None)
        if found is None:
            raise NotWorkedOut(asked)
        return found

    def offered(self, asked: OffersAsked) -> tuple[Offer, ...]:
        """The weeks to choose from.

        Raises:
            NotWorkedOut: they are not there yet.

        """
        found = next((offered for known, offered in self.offers if known == asked), None)
        if found is None:
            raise NotWorkedOut(asked)
        return found

    def after(self, missing: NotWorkedOut) -> "WorkedOut":
        """These with one answer more, worked out now.

        Raises:
            NotWorkedOut: there are so many that the same must be asked for over and over.

        """
        if len(self.layouts) + len(self.offers) >= MOST_ROUNDS:
            raise missing
        if isinstance(missing.asked, LayoutAsked):
            return replace(self, layouts=(*self.layouts, (missing.asked, _layout(missing.asked))))
        return replace(self, offers=(*self.offers, (missing.asked, _offers(missing.asked))))


NOTHING_WORKED_OUT = WorkedOut()
"""No answers yet."""


@lru_cache(maxsize=KEPT)
def _layout(asked: LayoutAsked) -> LaidOut:
    week = week_layout(asked.wishes, asked.owned, catalogue(), previous=asked.previous)
    if not asked.with_conflicts:
        return LaidOut(week, ())
    return LaidOut(week, conflicts(asked.wishes, asked.owned, catalogue(), week, until_enough=True))


@lru_cache(maxsize=KEPT)
def _offers(asked: OffersAsked) -> tuple[Offer, ...]:
    return offers(asked.wishes, asked.owned, catalogue())
