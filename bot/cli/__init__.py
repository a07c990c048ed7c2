"""Command line: every command of the program."""

from bot.cli import keep, look, talk
from bot.cli.options import program

__all__ = ["keep", "look", "program", "talk"]
