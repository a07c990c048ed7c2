"""Closings: sets with the word behind them that the session is over: `80x5, done`, `80x5. that's it for today`."""

from collections.abc import Sequence

from core.domain.commands import Done
from core.notation.tokens import Kind, Token

MOST_EFFORT = 10.0
"""Upper end of the scale of session effort. Foster et al. 2001."""

LONGEST_CLOSING = 6
"""Most words of a closing: `i'm all done for the day`. [words]"""

_PARTED = frozenset({"done", "finished", "fin"})
"""Close a session only where a sign parts them from the sets: `80x5 done` is a set that is done."""

_SESSION = ("", "im", "i am", "session", "workout", "training", "all", "im all")
_CLOSINGS = frozenset(
    [
        " ".join(filter(None, (who, word, until)))
        for who in _SESSION
        for word in ("done", "finished")
        for until in ("", "for today", "for the day", "for now", "here", "today")
        if who or until
    ]
    + ["thats it", "thats all", "that was it", "that was all", "thats it for today", "thats all for today"]
    + ["thats me done", "thats me", "calling it a day", "call it a day", "going home", "heading home"]
)
_PARTING = frozenset({Kind.COMMA, Kind.SEMICOLON, Kind.LINE, Kind.AND, Kind.DASH})
_JOINING = frozenset({"and", "then", "so", "now", "ok", "okay"})


def closing_in(found: Sequence[Token]) -> tuple[Sequence[Token], Done | None]:
    """The tokens of sets without the closing behind them, and what it asks for; None where there is none.

    Args:
        found: The text's tokens, ENDs behind the last.

    """
    ends = len(found)
    while ends and (found[ends - 1].kind is Kind.END or found[ends - 1].text in (".", "!")):
        ends -= 1
    words, effort = _rated(found, ends)
    first = words
    while first and found[first - 1].kind is Kind.WORD and words - first < LONGEST_CLOSING:
        first -= 1
    if first == words:
        return found, None
    texts = [token.text.replace("'", "") for token in found[first:words]]
    cut = next((place for place in range(len(texts)) if " ".join(texts[place:]) in _CLOSINGS), None)
    if cut is None:
        if texts[-1] not in _PARTED or not _parts(found, words - 2):
            return found, None
        cut = len(texts) - 1
    cut += first
    if not any(token.kind is Kind.NUMBER for token in found[:cut]):
        return found, None
    while cut and _parts(found, cut - 1):
        cut -= 1
    end = next(token for token in reversed(found) if token.kind is Kind.END)
    return [*found[:cut], *[end] * (len(found) - cut)], Done(effort)


def _rated(found: Sequence[Token], ends: int) -> tuple[int, float | None]:
    """Index behind the words of a closing, and the effort told behind them: `done 7`, `done 7/10`."""
    behind = ends
    if behind > 2 and found[behind - 1].text == "10" and found[behind - 2].kind is Kind.SLASH:
        behind -= 2
    number = found[behind - 1]
    if behind < 2 or number.kind is not Kind.NUMBER or found[behind - 2].text not in _PARTED:
        return ends, None
    effort = float(number.text)
    return (behind - 1, effort) if effort <= MOST_EFFORT else (ends, None)


def _parts(found: Sequence[Token], at: int) -> bool:
    return at >= 0 and (found[at].kind in _PARTING or found[at].text in _JOINING or found[at].text == ".")
