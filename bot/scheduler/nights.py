"""Nights: the housekeeping, work by work, so that live answers go between."""

from collections.abc import Awaitable, Callable

from bot.dispatch import Dispatch, committed
from bot.logs import logger
from core.application.housekeeping import erase_old, zones_checked
from core.application.idle import looked_through
from core.application.ports import StoreUnavailable


async def housekeeping(dispatch: Dispatch, *, text_days: int, backup: Callable[[], Awaitable[None]] | None) -> None:
    """Erase what and who is to be erased, look at the zones again, and copy a SQLite database.

    Args:
        dispatch: The store and the clock.
        text_days: Days after which raw texts are erased. [days]
        backup: Copies the database; None where the engine has its own ways.

    """
    now = dispatch.clock()
    store = dispatch.store
    try:
        # Before what was settled is forgotten: it tells who was warned, and when.
        lifter: int | None = 0
        while lifter is not None:
            lifter = await committed(store.submit(looked_through(lifter, now), live=False))
        await committed(store.submit(lambda work: erase_old(work, now, text_days=text_days), live=False))
        after: int | None = 0
        while after is not None:
            after = await committed(store.submit(zones_checked(after), live=False))
        if backup is not None:
            await backup()
    except (StoreUnavailable, OSError) as refusal:
        # The next night does what this one could not.
        logger.error("housekeeping is not done: %s", refusal)
