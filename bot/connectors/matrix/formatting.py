"""Formatting: a message as the content of a Matrix event: plain text, the same as HTML, choices as lettered lines."""

import html
import json
import re
from collections.abc import Mapping

from bot.connectors.lines import shown
from bot.connectors.matrix.json_values import Json
from bot.messages import OutgoingMessage

MOST_BYTES = 40_000
"""Largest content, as it is encrypted. [bytes] Encrypted it grows by a third, and an event takes 65,536.

Source: the client-server specification, "Size limits", from memory.
"""

_CODE = re.compile(r"`([^`\n]+)`")
_CARETS = re.compile(r"[ ]*\^+[ ]*")
_TRY = re.compile(r"try: (.+)")
_CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")

FIRST_SIGN = 0x1F1E6
"""The sign REGIONAL INDICATOR SYMBOL LETTER A, by which an option can be taken in a reaction."""


def content(message: OutgoingMessage, *, thread: str = "") -> dict[str, Json]:
    """What to send for a message.

    Args:
        message: What it says.
        thread: Id of the event that began the thread to answer in; empty for none.

    """
    text = storable(shown(message))
    made: dict[str, Json] = {"msgtype": "m.notice", "body": text}
    if thread:
        # A client that knows no threads shows it as an answer to the thread's first message.
        made["m.relates_to"] = {
            "rel_type": "m.thread",
            "event_id": thread,
            "is_falling_back": True,
            "m.in_reply_to": {"event_id": thread},
        }
    marked = as_html(text)
    if marked != "<br>".join(html.escape(text, quote=False).split("\n")):
        formatted = {**made, "format": "org.matrix.custom.html", "formatted_body": marked}
        if size(formatted) <= MOST_BYTES:
            return formatted
    return made


def size(made: Mapping[str, Json]) -> int:
    """Size of a content before it is encrypted, every letter outside ASCII written as its number. [bytes]"""
    return len(json.dumps(made))


def storable(text: str) -> str:
    """A text that a homeserver takes: without control characters and lone surrogates."""
    text = _CONTROLS.sub("\N{REPLACEMENT CHARACTER}", text)
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def as_html(text: str) -> str:
    """The text as HTML of the subset that clients show: commands to copy, carets under what they point at.

    >>> as_html("`week` tells 80 < 82.5")
    '<code>week</code> tells 80 &lt; 82.5'

    """
    lines = text.split("\n")
    made = ""
    place = 0
    is_open = False
    while place < len(lines):
        if place + 1 < len(lines) and "^" in lines[place + 1] and _CARETS.fullmatch(lines[place + 1]):
            # Carets stand under their place only where all letters have one width.
            made += f"<pre><code>{_plain(lines[place])}\n{lines[place + 1]}</code></pre>"
            place += 2
            is_open = False
            continue
        made += ("<br>" if is_open else "") + _line(lines[place])
        is_open = True
        place += 1
    return made


def option_of(sign: str) -> int | None:
    """The option that a reaction stands for, from 0; None where it stands for none.

    >>> option_of("\U0001f1e7"), option_of("B"), option_of("\U0001f171\ufe0f"), option_of("\U0001f44d"), option_of("")
    (1, 1, 1, None, None)

    """
    letter = sign.replace("\ufe0f", "").strip().lower()
    if len(letter) != 1:
        return None
    for first in (ord("a"), FIRST_SIGN, 0x1F170):
        if first <= ord(letter) < first + 26:
            return ord(letter) - first
    return None


def sign_of(option: int) -> str:
    """The reaction that stands for an option, from 0.

    >>> option_of(sign_of(3))
    3

    """
    return chr(FIRST_SIGN + option)


def _line(line: str) -> str:
    found = _TRY.fullmatch(line)
    if found is not None:
        return f"try: <code>{_plain(found[1])}</code>"
    parts = _CODE.split(line)
    # Every second part stood between backticks.
    return "".join(f"<code>{_plain(part)}</code>" if n % 2 else _plain(part) for n, part in enumerate(parts))


def _plain(text: str) -> str:
    return html.escape(text, quote=False)
