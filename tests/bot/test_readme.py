"""The README: what it shows of a conversation is what the program answers."""

import re
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from bot.messages import Arrived
from core.domain.profile import Address
from core.storage.unit_of_work import open_store
from tests.conversations import dispatch_on

ROOT = Path(__file__).parent.parent.parent
SHOWN = [
    block for block in re.findall(r"```\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL) if "tove>" in block
]

HINTS = ("taken as kg;", "new here?")
"""What only the very first answer says beside what is asked; the README tells it elsewhere."""

MONDAY = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


def turns(block: str) -> list[tuple[str, list[str]]]:
    """What Tove types, each with the lines that answer it."""
    return [(said, answer.splitlines()) for said, answer in re.findall(r"tove> (.*)\n((?:(?!tove>).*\n)*)", block)]


def answered(texts: Sequence[str]) -> list[list[str]]:
    """The lines that answer each text of a new lifter, without the hints of a first day."""
    store = open_store("sqlite://")
    try:
        dispatch = dispatch_on(store, lambda: MONDAY)
        found: list[list[str]] = []
        for number, text in enumerate(texts):
            event = Arrived(
                address=Address("terminal", "tove"),
                event_key=f"{number}",
                sent_at=MONDAY,
                text=text,
                message_key=f"{number}",
            )
            lines = [line for each in dispatch.take(event, name="tove") for line in each.message.text.splitlines()]
            found.append([line for line in lines if not line.startswith(HINTS)])
        return found
    finally:
        store.close()


def test_the_first_conversation_answers_as_it_is_shown() -> None:
    shown = turns(SHOWN[0])

    assert len(shown) == 5
    assert answered([said for said, _ in shown]) == [lines for _, lines in shown]


def test_the_day_begins_as_it_is_shown() -> None:
    """As in the played first week, which the conversations' own test holds to the program."""
    [(said, lines)] = turns(SHOWN[1])
    played = (ROOT / "demo" / "first_week.txt").read_text()

    assert said == "today"
    assert "\n".join(lines) in played.replace("bot> ", "").replace("   | ", "")
