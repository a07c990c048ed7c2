"""Care: warning signs lead, the log is kept, suggestions stop until a clinician has looked."""

import pytest

from core.domain.commands import PainAnswer, Sign
from core.domain.replies import Ask, Asked, Emergency, Logged, PainAdvice
from tests.core.application.chats import Chat, the


def test_a_warning_sign_leads_the_answer_and_the_set_is_stored(chat: Chat) -> None:
    replies = chat.say("bench 80x5 (chest pain)")

    assert isinstance(replies[0], Emergency)
    assert replies[0].sign is Sign.CHEST
    assert [each.load for each in chat.sets] == [80.0]


def test_chest_pain_is_no_exercise_for_the_chest(chat: Chat) -> None:
    replies = chat.say("chest pain")

    assert [type(reply) for reply in replies] == [Emergency]
    assert chat.sets == []


def test_suggestions_stop_until_the_lifter_says_that_a_clinician_has_looked(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("can't breathe")
    stopped = chat.lifter
    during = the(Logged, chat.say("squat 100x5 rir2"))
    chat.say("cleared by clinician")
    cleared = chat.lifter
    after = the(Logged, chat.say("deadlift 120x5 rir2"))

    assert stopped is not None
    assert stopped.stopped_at == chat.now
    assert during.estimates == ()
    assert cleared is not None
    assert cleared.stopped_at is None
    assert len(after.estimates) == 1


@pytest.mark.parametrize("answer", list(PainAnswer))
def test_a_pain_is_asked_about_and_answered_by_kind(answer: PainAnswer, chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 80x5, shoulder hurts"))

    advice = the(PainAdvice, chat.tap(asked, list(PainAnswer).index(answer)))

    assert asked.about is Ask.PAIN
    assert advice.answer is answer
    assert len(chat.sets) == 1
