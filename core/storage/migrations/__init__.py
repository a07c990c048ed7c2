"""Migrations: how the tables came to be what they are; they ship with the program."""
