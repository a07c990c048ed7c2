"""Canonical: the one text of each command; reading it gives the command back."""

from core.domain.commands import Command


def canonical(command: Command) -> str:
    """The one text that stands for a command."""
    return repr(command)
