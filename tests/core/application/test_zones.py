"""Time zones by name, by place, by offset, and by a close spelling."""

import pytest

from core.application.zones import zone_named, zones_close
from core.domain.commands import UseZone
from core.domain.replies import Ask, Asked
from tests.core.application.chats import Chat, the


@pytest.mark.parametrize(
    ("told", "zone"),
    [
        ("Europe/Oslo", "Europe/Oslo"),
        ("europe/oslo", "Europe/Oslo"),
        ("oslo", "Europe/Oslo"),
        ("new york", "America/New_York"),
        # The IANA names of plain offsets have the sign the other way round.
        ("+2", "Etc/GMT-2"),
        ("utc-5", "Etc/GMT+5"),
        ("gmt+0", "Etc/GMT"),
        ("+15", None),
        ("nowhere", None),
    ],
)
def test_a_zone_is_found_by_name_place_and_offset(told: str, zone: str | None) -> None:
    assert zone_named(told) == zone


def test_a_misspelt_place_is_offered_and_nonsense_is_not() -> None:
    assert "Europe/Oslo" in zones_close("osloo")
    assert "Europe/Copenhagen" in zones_close("kopenhagen")
    assert zones_close("xqzwv") == ()


def test_a_misspelt_place_is_asked_about_and_one_tap_settles_it(chat: Chat) -> None:
    asked = the(Asked, chat.say("zone kopenhagen"))
    assert asked.about is Ask.ZONE
    place = next(
        number for number, option in enumerate(asked.options) if option.command == UseZone("Europe/Copenhagen")
    )

    chat.tap(asked, place)

    assert chat.lifter is not None
    assert chat.lifter.zone == "Europe/Copenhagen"
