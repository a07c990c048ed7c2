"""Logs: faults with their reference and trace, never what a lifter wrote."""

import logging
import sys

logger = logging.getLogger("rackside")


def to_stderr(level: int = logging.WARNING) -> None:
    """Write the log to standard error, from a level on."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s"))
    logger.addHandler(handler)
    logger.setLevel(level)
