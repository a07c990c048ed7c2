"""Terminal: a chat in one's own terminal, or line by line through a pipe."""

import json
import sys
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TextIO

from bot.connectors.lines import completions, numbered_keys, shown
from bot.dispatch import Answer, Clock, Dispatch
from bot.messages import Arrived
from core.domain.profile import Address

CONNECTOR = "terminal"
"""Name of this connector in addresses."""

LEAVE = frozenset({"exit", "quit", "bye"})
"""Words that leave the chat; what is logged stays."""


class Terminal:
    """The chat of one lifter on a terminal or a pipe.

    Args:
        dispatch: The way of a message.
        name: The lifter.
        clock: The time; aware.
        run: A word that no other run of the program has: it makes this run's event keys.
        as_json: One JSON object an answer.
        out: Where answers go.

    """

    def __init__(
        self,
        dispatch: Dispatch,
        *,
        name: str,
        clock: Clock,
        run: str,
        as_json: bool,
        out: TextIO,
    ) -> None:
        self.dispatch = dispatch
        self.name = name
        self.address = Address(CONNECTOR, name)
        self.clock = clock
        self.as_json = as_json
        self.out = out
        self.keys: Iterator[str] = numbered_keys(run)

    def say(self, text: str) -> None:
        """Take one message and print its answers."""
        key = next(self.keys)
        now = self.clock()
        event = Arrived(address=self.address, event_key=key, sent_at=now, text=text, message_key=key)
        answers = self.dispatch.take(event, name=self.name)
        self.print(answers, said=text)

    def print(self, answers: Iterable[Answer], *, said: str) -> None:
        """Print answers and mark them as sent."""
        done = list(answers)
        self.dispatch.observer("before sending")
        if self.as_json:
            for each in done:
                self.out.write(json.dumps(answer_object(each, at=self.clock(), said=said), ensure_ascii=False) + "\n")
        else:
            for each in done:
                self.out.write(shown(each.message) + "\n")
        self.out.flush()
        self.dispatch.observer("after sending")
        self.dispatch.sent(done)

    def lines(self, source: Iterable[str], *, step: Callable[[], None]) -> None:
        """Read one message a line until the source ends."""
        for line in source:
            text = line.rstrip("\r\n")
            if text.strip():
                self.say(text)
            step()

    def prompt(self, history: Path) -> None:
        """Talk at a prompt with line editing, history and completion, until the lifter leaves."""
        # A fifth of the start, which a pipe and the other commands do without.
        from prompt_toolkit import PromptSession
        from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
        from prompt_toolkit.completion import WordCompleter
        from prompt_toolkit.history import FileHistory

        history.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        history.touch(mode=0o600)
        session: PromptSession[str] = PromptSession(
            history=FileHistory(str(history)),
            auto_suggest=AutoSuggestFromHistory(),
            completer=WordCompleter(completions(), ignore_case=True, sentence=True),
            complete_while_typing=False,
        )
        self.out.write("text a set, `help`, or `quit`\n")
        while True:
            try:
                text = session.prompt(f"{self.name}> ")
            except KeyboardInterrupt:
                continue
            except EOFError:
                break
            if text.strip().lower() in LEAVE:
                break
            if text.strip():
                self.say(text)


def answer_object(answer: Answer, *, at: datetime, said: str | None, due: bool = False) -> dict[str, object]:
    """One answer as the JSON object that `chat --json` and `replay --json` print."""
    message = answer.message
    return {
        "at": at.isoformat(),
        "in": said,
        "due": due,
        "texts": [message.text],
        "choices": [{"label": each.label, "send": each.send} for each in message.choices],
        "data": json.loads(message.data),
    }


def is_terminal() -> bool:
    """Whether somebody types at a terminal."""
    return sys.stdin.isatty()
