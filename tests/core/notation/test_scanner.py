"""Words are looked at once: those that can only be part of a name or a remark are taken as such."""

from collections.abc import Iterator

import pytest

from core.notation import vocabulary
from core.notation.asides import aside_at, setting_at
from core.notation.efforts import effort_at
from core.notation.keywords import keyword_at
from core.notation.pieces import Words
from core.notation.remarks import word_remark
from core.notation.scanner import SAY_MORE, pieces_of
from core.notation.tokens import folded, tokens
from core.notation.walk import KEYWORDS, Walk
from core.notation.words import catalogue_names


def plain_words() -> Iterator[str]:
    told: set[str] = set()
    for value in vars(vocabulary).values():
        if isinstance(value, frozenset | dict):
            told.update(word for word in value if isinstance(word, str))
    return (word for word in sorted(told - SAY_MORE) if tokens(folded(word))[0].text == word)


@pytest.mark.parametrize("around", ["{} 80x5", "bench 80x5 {}", "bench 80x5 {} 3", "bench 80 {} 5", "80x5, {} set 2"])
def test_a_word_that_says_no_more_is_neither_remark_nor_effort_nor_aside(around: str) -> None:
    for word in plain_words():
        text = folded(around.format(word))
        found = tokens(text)
        at = next(place for place, token in enumerate(found) if token.text == word)
        walk = Walk(text, found, catalogue_names())
        walk.pieces.extend(pieces_of(text, [*found[:at], *found[-8:]], catalogue_names()))
        walk.begins = at == 0

        # What they would make of it, were they asked.
        assert word not in KEYWORDS
        assert word_remark(walk, at) is None, word
        assert effort_at(found, at) is None, word
        assert setting_at(found, at) is None, word
        assert aside_at(found, at, begins=walk.begins, named=True) is None, word
        assert keyword_at(walk, at) is None, word


def test_words_that_say_no_more_make_one_run() -> None:
    text = folded("my elbows felt quite splendid")

    pieces = pieces_of(text, tokens(text), catalogue_names())

    assert [type(piece) for piece in pieces] == [Words]
