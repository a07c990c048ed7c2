"""A process that serves as the settings say until it is killed: what the storms kill and the bench measures."""

import os
from collections.abc import Mapping

from bot.cli import program


def serve(settings: Mapping[str, str]) -> None:
    """Run `rackside serve`."""
    os.environ.update(settings)
    program(["serve"], prog_name="rackside")
