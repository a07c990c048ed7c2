"""A lifter's own exercises, as rows."""

import json
from collections.abc import Sequence

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.domain.exercises import Basis, Equipment, Exercise, Muscle, Pattern
from core.storage.statements import Change, Link, Query
from core.storage.tables import own_exercises


class StoredExercises:
    """Own exercises over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def all(self, lifter_id: int) -> Sequence[Exercise]:
        """Every own exercise of a lifter, by name."""
        return self._link.rows(OWN_EXERCISES, lifter_id=lifter_id)

    def add(self, lifter_id: int, exercise: Exercise) -> None:
        """Store one; the same name again replaces it."""
        self._link.change(_ADD, lifter_id=lifter_id, name=exercise.name, exercise=_text(exercise))


def _text(exercise: Exercise) -> str:
    return json.dumps(
        {
            "name": exercise.name,
            "aliases": exercise.aliases,
            "equipment": exercise.equipment,
            "pattern": exercise.pattern,
            "direct": sorted(exercise.direct),
            "indirect": sorted(exercise.indirect),
            "multi_joint": exercise.multi_joint,
            "lower_body": exercise.lower_body,
            "basis": exercise.basis,
            "one_side": exercise.one_side,
            "per_hand": exercise.per_hand,
            "body_share": exercise.body_share,
            "step_kg": exercise.step_kg,
            "variation_of": exercise.variation_of,
            "ratio": exercise.ratio,
            "bar": exercise.bar,
            "timed": exercise.timed,
            "assisted": exercise.assisted,
        },
        ensure_ascii=False,
    )


def _exercise(text: str) -> Exercise:
    kept = json.loads(text)
    return Exercise(
        name=kept["name"],
        aliases=tuple(kept["aliases"]),
        equipment=Equipment(kept["equipment"]),
        pattern=Pattern(kept["pattern"]),
        direct=frozenset(map(Muscle, kept["direct"])),
        indirect=frozenset(map(Muscle, kept["indirect"])),
        multi_joint=kept["multi_joint"],
        lower_body=kept["lower_body"],
        basis=Basis(kept["basis"]),
        one_side=kept["one_side"],
        per_hand=kept["per_hand"],
        body_share=kept["body_share"],
        step_kg=kept["step_kg"],
        variation_of=kept["variation_of"],
        ratio=kept["ratio"],
        bar=kept["bar"],
        timed=kept["timed"],
        assisted=kept["assisted"],
    )


OWN_EXERCISES = Query(
    sa.select(own_exercises.c.exercise)
    .where(own_exercises.c.lifter_id == sa.bindparam("lifter_id"))
    .order_by(own_exercises.c.name),
    _exercise,
    scope="lifter_id",
)
_INSERTED = insert(own_exercises).values({column.name: sa.bindparam(column.name) for column in own_exercises.c})
_ADD = Change(
    _INSERTED.on_conflict_do_update(
        index_elements=["lifter_id", "name"], set_={"exercise": _INSERTED.excluded.exercise}
    )
)
