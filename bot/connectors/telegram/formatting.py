"""Formatting: a message as Telegram's HTML: commands to copy by a touch, carets under what they point at."""

import html
import re

_CODE = re.compile(r"`([^`\n]+)`")

_CARETS = re.compile(r"[ ]*\^+[ ]*")

_TRY = re.compile(r"(try: )(.+)")


def as_html(text: str) -> str:
    r"""The text as HTML that Telegram takes, whatever stands in it.

    >>> as_html("`week` tells 80 < 82.5")
    '<code>week</code> tells 80 &lt; 82.5'
    >>> as_html("  squat 80gk\n        ^^^^\ntry: squat 80kg x 5")
    '<pre>  squat 80gk\n        ^^^^</pre>\ntry: <code>squat 80kg x 5</code>'

    """
    lines = text.split("\n")
    made: list[str] = []
    place = 0
    while place < len(lines):
        line = lines[place]
        if place + 1 < len(lines) and "^" in lines[place + 1] and _CARETS.fullmatch(lines[place + 1]):
            # Carets stand under their place only where all letters have one width.
            made.append(f"<pre>{_plain(line)}\n{lines[place + 1]}</pre>")
            place += 2
            continue
        made.append(_line(line))
        place += 1
    return "\n".join(made)


def with_choice(told: str, label: str) -> str:
    """A question, as HTML, with the choice taken in place of its buttons."""
    return f"{told}\n→ {_plain(label)}"


def _line(line: str) -> str:
    found = _TRY.fullmatch(line)
    if found is not None:
        return f"{found[1]}<code>{_plain(found[2])}</code>"
    parts = _CODE.split(line)
    # Every second part stood between backticks.
    return "".join(f"<code>{_plain(part)}</code>" if n % 2 else _plain(part) for n, part in enumerate(parts))


def _plain(text: str) -> str:
    return html.escape(text, quote=False)
