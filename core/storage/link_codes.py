# ruff: noqa: FBT001 - a row's values are given by position
"""Codes by which one chat joins another, as rows."""

from collections.abc import Sequence
from datetime import datetime
from hashlib import blake2b

import sqlalchemy as sa

from core.application.link_codes import LinkCode
from core.domain.profile import Address
from core.storage.link_tables import link_codes, link_tries
from core.storage.statements import Change, Link, Query


class StoredLinkCodes:
    """Codes over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def give(self, code: LinkCode) -> None:
        """Store a code; those given to the same lifter before it end."""
        self._link.change(_END_OTHERS, lifter_id=code.lifter_id)
        self._link.change(
            _GIVE,
            code=code.code,
            lifter_id=code.lifter_id,
            connector=code.address.connector,
            chat=code.address.chat,
            given_at=code.given_at,
        )

    def get(self, code: str) -> LinkCode | None:
        """A code by its letters, whosever it is."""
        return self._link.first(_GET, code=code)

    def given_since(self, lifter_id: int, at: datetime) -> Sequence[datetime]:
        """When a lifter was given codes since an instant, oldest first."""
        return self._link.rows(_GIVEN_SINCE, lifter_id=lifter_id, at=at)

    def take(self, code: LinkCode) -> bool:
        """Write who took a code; whether nobody was quicker."""
        if code.taker is None or code.taker_id is None:
            raise ValueError("nobody takes it")
        return bool(
            self._link.rows(
                _TAKE,
                code=code.code,
                taker_id=code.taker_id,
                taker_connector=code.taker.connector,
                taker_chat=code.taker.chat,
                taken_at=code.taken_at,
                shares=code.shares,
            )
        )

    def end(self, code: str) -> None:
        """Put an end to a code."""
        self._link.change(_END, code=code)

    def tried(self, address: Address, *, at: datetime) -> None:
        """Note that a code that is none was typed in a chat."""
        self._link.change(_TRIED, chat_digest=_digest(address), tried_at=at)

    def tried_since(self, address: Address, at: datetime) -> Sequence[datetime]:
        """When codes that are none were typed in a chat since an instant, oldest first."""
        return self._link.rows(_TRIED_SINCE, chat_digest=_digest(address), at=at)

    def forget_before(self, at: datetime) -> None:
        """Delete what was given and tried before an instant."""
        self._link.change(_FORGET_CODES, at=at)
        self._link.change(_FORGET_TRIES, at=at)


def _digest(address: Address) -> str:
    return blake2b(f"{address.connector}\0{address.chat}".encode(errors="replace"), digest_size=16).hexdigest()


def _code(
    code: str,
    lifter_id: int,
    connector: str,
    chat: str,
    given_at: datetime,
    taker_id: int | None,
    taker_connector: str | None,
    taker_chat: str | None,
    taken_at: datetime | None,
    shares: bool,
    ended: bool,
) -> LinkCode:
    return LinkCode(
        code=code,
        lifter_id=lifter_id,
        address=Address(connector, chat),
        given_at=given_at,
        taker_id=taker_id,
        taker=None if taker_connector is None or taker_chat is None else Address(taker_connector, taker_chat),
        taken_at=taken_at,
        shares=shares,
        ended=ended,
    )


def _instant(at: datetime) -> datetime:
    return at


def _text(text: str) -> str:
    return text


_IS_CODE = link_codes.c.code == sa.bindparam("code")
_IS_OPEN = sa.and_(link_codes.c.taker_id.is_(None), ~link_codes.c.ended)
_END_OTHERS = Change(
    sa.update(link_codes)
    .where(link_codes.c.lifter_id == sa.bindparam("lifter_id"), ~link_codes.c.ended)
    .values(ended=sa.true())
)
_GIVE = Change(
    sa.insert(link_codes).values(
        code=sa.bindparam("code"),
        lifter_id=sa.bindparam("lifter_id"),
        connector=sa.bindparam("connector"),
        chat=sa.bindparam("chat"),
        given_at=sa.bindparam("given_at"),
        shares=sa.false(),
        ended=sa.false(),
    )
)
_GET = Query(sa.select(link_codes).where(_IS_CODE), _code)
_GIVEN_SINCE = Query(
    sa.select(link_codes.c.given_at)
    .where(link_codes.c.lifter_id == sa.bindparam("lifter_id"), link_codes.c.given_at > sa.bindparam("at"))
    .order_by(link_codes.c.given_at),
    _instant,
)
_TAKE = Query(
    sa.update(link_codes)
    .where(_IS_CODE, _IS_OPEN)
    .values(
        {column: sa.bindparam(column) for column in ("taker_id", "taker_connector", "taker_chat", "taken_at", "shares")}
    )
    .returning(link_codes.c.code),
    _text,
)
_END = Change(sa.update(link_codes).where(_IS_CODE).values(ended=sa.true()))
_FORGET_CODES = Change(sa.delete(link_codes).where(link_codes.c.given_at < sa.bindparam("at")))

_TRIED = Change(
    sa.insert(link_tries).values(chat_digest=sa.bindparam("chat_digest"), tried_at=sa.bindparam("tried_at"))
)
_TRIED_SINCE = Query(
    sa.select(link_tries.c.tried_at)
    .where(link_tries.c.chat_digest == sa.bindparam("chat_digest"), link_tries.c.tried_at > sa.bindparam("at"))
    .order_by(link_tries.c.tried_at),
    _instant,
)
_FORGET_TRIES = Change(sa.delete(link_tries).where(link_tries.c.tried_at < sa.bindparam("at")))
