"""The day that sets are told for."""

from datetime import date

import pytest

from core.domain.commands import DayOfYear, DaysAgo
from core.domain.problems import ProblemKind
from core.notation.dates import day_told, refuse_second_day
from core.notation.doubts import Doubts, Refused
from core.notation.tokens import folded, tokens


def day(typed: str, *, settled: dict[str, str] | None = None) -> date | DaysAgo | DayOfYear | None:
    found = day_told(tokens(folded(typed)), Doubts(settled or {}))
    return None if found is None else found.day


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("yesterday bench 80x5", DaysAgo(1)),
        ("bench 80x5 yesterday", DaysAgo(1)),
        ("2 days ago bench 80x5", DaysAgo(2)),
        ("mon bench 80x5", DaysAgo(weekday=0)),
        ("last sunday: bench 80x5", DaysAgo(weekday=6)),
        ("bench 80x5 on friday", DaysAgo(weekday=4)),
        ("2027-01-03 bench 80x5", date(2027, 1, 3)),
        ("3 Jan bench 80x5", DayOfYear(month=1, day=3)),
        ("january 3rd, 2027 bench 80x5", date(2027, 1, 3)),
        ("25/12 bench 80x5", DayOfYear(month=12, day=25)),
        ("12/25 bench 80x5", DayOfYear(month=12, day=25)),
        ("12.11. bench 80x5", DayOfYear(month=11, day=12)),
        ("29 feb bench 80x5", DayOfYear(month=2, day=29)),
        ("bench 80x5 3 feb", DayOfYear(month=2, day=3)),
        ("bench 80x5 rir2 on the 3rd of february", DayOfYear(month=2, day=3)),
        ("bench 80x5 feb 3", DayOfYear(month=2, day=3)),
        ("bench 80x5, 80x4 3 feb 2027", date(2027, 2, 3)),
    ],
)
def test_a_day_is_read(typed: str, expected: date | DaysAgo | DayOfYear) -> None:
    assert day(typed) == expected


@pytest.mark.parametrize(
    "typed", ["bench 80x5", "10/10 lunges", "12/10 20kg", "80/5", "5/3/1 bench 80x5", "today bench 80x5"]
)
def test_other_numbers_are_no_day(typed: str) -> None:
    assert day(typed) is None


def test_a_day_and_a_month_that_may_be_either_are_settled_by_habit() -> None:
    assert day("12/11 bench 80x5", settled={"date": "day first"}) == DayOfYear(month=11, day=12)
    assert day("12/11 bench 80x5", settled={"date": "month first"}) == DayOfYear(month=12, day=11)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("31/4 bench 80x5", ProblemKind.DATE_IMPOSSIBLE),
        ("2027-02-29 bench 80x5", ProblemKind.DATE_IMPOSSIBLE),
        ("30 feb bench 80x5", ProblemKind.DATE_IMPOSSIBLE),
        ("tomorrow bench 80x5", ProblemKind.DATE_AHEAD),
    ],
)
def test_error_a_day_that_cannot_be_is_refused(typed: str, kind: ProblemKind) -> None:
    with pytest.raises(Refused) as refused:
        day(typed)

    assert refused.value.kind is kind


@pytest.mark.parametrize("typed", ["bench 80x5 feb", "bench 80 for 5 feb", "bench 80x5 rir 2 feb", "bench x 3 feb"])
def test_error_the_number_of_a_set_is_no_day_of_the_month_behind_it(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        day(typed)

    assert (refused.value.kind, refused.value.instead) == (ProblemKind.WORD_LEFT_OVER, "(feb)")


@pytest.mark.parametrize(
    "typed", ["bench 80x5 12.5.", "12.5 curl x 10", "bench 80x5, 82.5", "bench 80x5 wed love this"]
)
def test_a_load_or_a_remark_is_no_day(typed: str) -> None:
    assert day(typed) is None


@pytest.mark.parametrize(
    "typed", ["mon bench 80x5, wed bench 80x3", "bench 80x5\nwed bench 80x3", "bench 80x5 yesterday: 80x3"]
)
def test_error_a_second_day_in_one_text(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        refuse_second_day(tokens(folded(typed)), dated=False)

    assert (refused.value.kind, refused.value.end) == (ProblemKind.WORD_LEFT_OVER, len(typed))


@pytest.mark.parametrize("typed", ["bench 80x5 30 feb", "bench 80x5 31 apr", "bench 80x5 feb 30"])
def test_error_a_day_behind_that_no_year_has(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        day(typed)

    assert refused.value.kind is ProblemKind.DATE_IMPOSSIBLE
