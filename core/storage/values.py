"""Values: nested frozen values of the domain as one line of JSON, and back."""

from functools import cache
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from cattrs.preconf.json import JsonConverter

Kept = TypeVar("Kept")


def text_of(value: object) -> str:
    """One line of JSON that `value_from` reads back.

    Raises:
        TypeError: something in the value is not one that JSON or this room knows.

    """
    return _converter().dumps(value, ensure_ascii=False, separators=(",", ":"))


def value_from(text: str, kind: type[Kept]) -> Kept:
    """The value of a kind that `text_of` wrote.

    Raises:
        Exception: a group of them, where the text is of another kind or says what the domain refuses.

    """
    return _converter().loads(text, kind)


@cache
def _converter() -> "JsonConverter":
    # Loaded with the first plan or set-up, not with the first message: a tenth of a second.
    from datetime import time

    from cattrs.preconf.json import make_converter
    from cattrs.strategies import configure_tagged_union

    from core.domain.check_in_replies import Chart
    from core.domain.checkins import Ache
    from core.domain.equipment import Listed, Steps
    from core.domain.prescriptions import Why

    converter = make_converter()
    converter.register_unstructure_hook(time, time.isoformat)
    converter.register_structure_hook(time, lambda text, _: time.fromisoformat(text))
    # Values of a union are told apart by their names.
    configure_tagged_union(Why, converter, tag_name="is")
    configure_tagged_union(Listed | Steps, converter, tag_name="is")
    configure_tagged_union(Chart, converter, tag_name="is")
    # A figure that advice looked at is what JSON holds anyway, or an ache.
    converter.register_structure_hook(
        float | bool | Ache | None, lambda told, _: Ache(told) if isinstance(told, str) else told
    )
    return converter
