"""Linking, the whole way: two chats on two platforms, with the words that each of them reads."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from io import StringIO
from itertools import count

import pytest

from bot.connectors.lines import shown
from bot.connectors.terminal import Terminal
from bot.dispatch import Dispatch
from bot.messages import Arrived
from bot.rows import stored_message
from core.application.ports import Store, UnitOfWork
from core.domain.profile import Address
from tests.conversations import dispatch_on

TELEGRAM = Address("telegram", "1234567")

MATRIX = Address("matrix", "@tove:example.org")

NOW = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

KEYS = count(1)


@dataclass(slots=True)
class House:
    """A bot on several platforms, whose messages are taken out of the outbox by hand."""

    dispatch: Dispatch
    read: dict[Address, list[str]] = field(default_factory=dict)

    def write(self, address: Address, *texts: str) -> None:
        """Have texts received, and nothing more."""
        events = [
            Arrived(address=address, event_key=key, sent_at=NOW, text=text, message_key=key)
            for text, key in ((text, f"e{next(KEYS):04d}") for text in texts)
        ]
        self.dispatch.receive(events).result()

    def handle(self, address: Address) -> None:
        while self.dispatch.handle_next(address, name=address.chat) is not None:
            pass

    def say(self, address: Address, text: str) -> list[str]:
        """Write something and have it handled; what that chat reads then."""
        self.write(address, text)
        self.handle(address)
        return self.reads(address)

    def reads(self, address: Address) -> list[str]:
        """What was sent to a chat since this was last asked."""

        def sent(work: UnitOfWork) -> list[str]:
            rows = [each for each in work.outbox.waiting(address.connector, limit=99) if each.address == address]
            for each in rows:
                work.outbox.sent(each.id, at=NOW)
            return [shown(stored_message(each)) for each in rows]

        return self.dispatch.store.submit(sent).result()


@pytest.fixture
def house(store: Store) -> House:
    return House(dispatch_on(store, lambda: NOW))


def the_code(answer: str) -> str:
    """The command to copy out of an answer."""
    return answer.split("`")[1]


def test_a_lifter_on_telegram_goes_on_on_matrix(house: House) -> None:
    house.say(TELEGRAM, "bench 80x5 rir2")

    [given] = house.say(TELEGRAM, "link")
    awaited, _welcome = house.say(MATRIX, the_code(given))
    [asked] = house.reads(TELEGRAM)
    [linked] = house.say(TELEGRAM, "b")
    [told] = house.reads(MATRIX)

    assert given.splitlines() == [
        "text this in your other chat with me, within 10 minutes:",
        f"`{the_code(given)}`",
        "then I ask here whether that was you. Show the code to nobody",
    ]
    assert (
        awaited
        == "right. I asked in Telegram (1234567) whether that was you: say yes there, and both chats share one log"
    )
    assert asked.splitlines() == [
        "somebody typed your code in Matrix (@tove:example.org). Was that you? Then both chats share one log",
        "  a) no, not me",
        "  b) yes, that was me",
    ]
    assert linked == "linked: Matrix (@tove:example.org) shares this log now. `unlink` ends that"
    assert told == "linked: what you text here goes into the log of Telegram (1234567) from now on. Not yours? `unlink`"
    [logged] = house.say(MATRIX, "82.5x5")
    assert logged.startswith("bench press 82.5 kg × 5 · set 2")


def test_what_was_written_while_a_yes_was_waited_for_counts_in_the_log_that_is_shared(house: House) -> None:
    house.say(TELEGRAM, "bench 80x5 rir2")
    [given] = house.say(TELEGRAM, "link")
    house.say(MATRIX, the_code(given))
    house.reads(TELEGRAM)

    # when a set is received, and the yes is handled before it
    house.write(MATRIX, "82.5x5")
    house.say(TELEGRAM, "b")
    house.handle(MATRIX)

    told, logged = house.reads(MATRIX)
    assert told.startswith("linked:")
    assert logged.startswith("bench press 82.5 kg × 5 · set 2")


def test_a_chat_that_is_taken_out_reads_nothing_more_of_the_log(house: House) -> None:
    house.say(TELEGRAM, "bench 80x5 rir2")
    [given] = house.say(TELEGRAM, "link")
    house.say(MATRIX, the_code(given))
    house.say(TELEGRAM, "b")
    house.reads(MATRIX)
    # An answer about the log waits for that chat, which nobody may read there any more.
    house.write(MATRIX, "history bench")
    house.handle(MATRIX)

    [asked] = house.say(TELEGRAM, "unlink")
    [out] = house.say(TELEGRAM, "a")

    assert asked.splitlines() == [
        "which chat is to leave? The log stays with the others",
        "  a) Matrix (@tove:example.org)",
        "  b) this chat",
        "  c) never mind",
    ]
    assert out == "Matrix (@tove:example.org) is out: it shares this log no more"
    assert house.reads(MATRIX) == ["this chat is out: the log stays with the other one, and here a new one begins"]
    assert house.say(MATRIX, "history bench") == ["no bench press in the log yet"]


def test_a_name_that_is_made_to_deceive_is_shown_without_its_tricks(house: House) -> None:
    house.say(TELEGRAM, "bench 80x5 rir2")
    [given] = house.say(TELEGRAM, "link")

    house.say(Address("matrix", "@tove:example.org\u202e`b`\n  b) yes"), the_code(given))

    [asked] = house.reads(TELEGRAM)
    assert asked.count("\n") == 2
    assert "\u202e" not in asked
    assert "`" not in asked


def test_forgetting_on_one_platform_is_told_on_the_other(house: House) -> None:
    house.say(TELEGRAM, "bench 80x5 rir2")
    [given] = house.say(TELEGRAM, "link")
    house.say(MATRIX, the_code(given))
    house.say(TELEGRAM, "b")
    house.reads(MATRIX)

    [asked] = house.say(MATRIX, "forget me")
    house.say(MATRIX, "a")

    assert asked.splitlines()[0] == "erase everything of yours for good? It goes from all 2 chats that share it"
    assert house.reads(TELEGRAM) == [
        "in Matrix (@tove:example.org) you had everything of yours erased, which is gone here, too. All the best"
    ]


def test_the_terminal_shows_what_another_chat_asked(house: House) -> None:
    out = StringIO()
    terminal = Terminal(house.dispatch, name="tove", clock=lambda: NOW, run="run", as_json=False, out=out)
    terminal.lines(["bench 80x5 rir2", "link"], step=lambda: None)
    code = the_code(out.getvalue().split("within 10 minutes:")[1])

    house.say(TELEGRAM, code)
    terminal.lines(["b"], step=lambda: None)

    assert "somebody typed your code in Telegram (1234567)" in out.getvalue()
    assert "linked: Telegram (1234567) shares this log now" in out.getvalue()
