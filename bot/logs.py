"""Logs: faults with their reference and trace, never what a lifter wrote, never a secret."""

import logging
import sys
from types import TracebackType

from typing_extensions import override

logger = logging.getLogger("rackside")

CHATTY = ("aiohttp", "httpx", "httpcore", "nio", "telegram")
"""Libraries whose own log lines hold addresses with a token in them, or what was written; what matters we log ourselves."""

_secrets: set[str] = set()


def hide(secret: str) -> None:
    """Never let a secret into a log line or a trace."""
    if secret:
        _secrets.add(secret)
        # The half behind the colon of a bot's token is the secret one, and may stand alone.
        _secrets.add(secret.rpartition(":")[2])


def without_secrets(text: str) -> str:
    """A text with every secret taken out."""
    for secret in sorted(_secrets, key=len, reverse=True):
        text = text.replace(secret, "(hidden)")
    return text


class Hiding(logging.Formatter):
    """Lines and traces with secrets taken out, wherever they came from."""

    @override
    def format(self, record: logging.LogRecord) -> str:
        """The line of a record."""
        return without_secrets(super().format(record))

    @override
    def formatException(
        self, ei: tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
    ) -> str:
        """The trace of a fault."""
        return without_secrets(super().formatException(ei))


def to_stderr(level: int = logging.WARNING) -> None:
    """Write the log to standard error, from a level on."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(Hiding("%(asctime)s %(levelname)s %(name)s %(message)s"))
    logger.addHandler(handler)
    logger.setLevel(level)
    for name in CHATTY:
        logging.getLogger(name).setLevel(logging.CRITICAL)
    sys.excepthook = _excepthook


def _excepthook(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
    sys.stderr.write(Hiding().formatException((kind, fault, trace)) + "\n")
