"""Command line: every command of the program."""

from bot.cli import doctor, keep, look, serve, talk
from bot.cli.options import program

__all__ = ["doctor", "keep", "look", "program", "serve", "talk"]
