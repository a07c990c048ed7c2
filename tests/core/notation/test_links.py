"""Links in texts: a code is read as it is copied, and never as anything else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.application.linking import code_from
from core.domain.link_commands import CODE_LETTERS, GiveCode, TakeCode, Unlink, parted
from core.domain.problems import Problem, ProblemKind
from core.domain.profile import Address
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

CONTEXT = Context(names=catalogue_names())


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("link", GiveCode()),
        ("/link", GiveCode()),
        ("Link my other phone", GiveCode()),
        ("link telegram", GiveCode()),
        ("link bcdg-hjkl-mnpq", TakeCode("bcdghjklmnpq")),
        ("LINK BCDG-HJKL-MNPQ", TakeCode("bcdghjklmnpq")),
        ("link: `bcdg hjkl mnpq`.", TakeCode("bcdghjklmnpq")),
        ("/link bcdghjklmnpq", TakeCode("bcdghjklmnpq")),
        ("unlink", Unlink()),
        ("unlink this chat", Unlink()),
        ("unlink matrix @Tove:example.org", Unlink(Address("matrix", "@Tove:example.org"))),
    ],
)
def test_links_are_read_as_they_are_typed(text: str, command: object) -> None:
    assert read(text, CONTEXT).outcome == command


@given(st.text(alphabet=CODE_LETTERS, min_size=12, max_size=12), st.sampled_from(["", "4 left", "bench press"]))
def test_every_code_is_a_code_whatever_the_lifter_is_doing(code: str, doing: str) -> None:
    context = Context(names=catalogue_names(), exercise=doing or None)

    assert read(f"link {parted(code)}", context).outcome == TakeCode(code)


@given(st.text(max_size=30))
def test_every_word_makes_a_code_that_can_be_read_back(word: str) -> None:
    assert read(f"link {code_from(word.encode('utf-8', 'replace').decode())}", CONTEXT).outcome == TakeCode(
        code_from(word.encode("utf-8", "replace").decode())
    )


@pytest.mark.parametrize(
    ("text", "word"),
    [("link bcdg-hjkl", "bcdg-hjkl"), ("link bcdg-hjkl-mnp4", "bcdg-hjkl-mnp4"), ("link 80x5", "80x5")],
)
def test_error_what_is_no_code_is_pointed_at(text: str, word: str) -> None:
    outcome = read(text, CONTEXT).outcome

    assert isinstance(outcome, Problem)
    assert outcome.kind is ProblemKind.NOT_A_CODE
    assert outcome.word == word
