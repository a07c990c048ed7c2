"""Keyboards: the choices of a message as buttons under it."""

from telegram import InlineKeyboardButton, InlineKeyboardMarkup

from bot.connectors.telegram.updates import data_of
from bot.messages import OutgoingMessage

ROW_CHARACTERS = 24
"""Characters of labels that stand beside each other on a narrow phone; a longer label has a row of its own."""

ROW_BUTTONS = 5
"""Buttons side by side that a thumb still tells apart; `0 1 2 3 4+` makes one row."""


def keyboard(message: OutgoingMessage) -> InlineKeyboardMarkup | None:
    """The buttons of a message's choices; None where it asks nothing."""
    if message.question is None or not message.choices:
        return None
    rows: list[list[InlineKeyboardButton]] = []
    taken = ROW_CHARACTERS + 1
    for option, choice in enumerate(message.choices):
        button = InlineKeyboardButton(choice.label, callback_data=data_of(message.question, option))
        # A blank's width on either side belongs to a label.
        width = len(choice.label) + 2
        if rows and taken + width <= ROW_CHARACTERS and len(rows[-1]) < ROW_BUTTONS:
            rows[-1].append(button)
            taken += width
        else:
            rows.append([button])
            taken = width
    return InlineKeyboardMarkup(rows)
