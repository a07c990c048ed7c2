"""Pieces: what the words and numbers of a text mean one by one, before they make sets."""

from dataclasses import dataclass
from enum import Enum, IntEnum, auto

from core.domain.units import Unit


class Role(Enum):
    """What a number counts, where its own words say so."""

    BARE = auto()
    LOAD = auto()
    REPS = auto()
    SETS = auto()
    SECONDS = auto()
    PAIR = auto()  # `40s`: seconds, or the dumbbells of 40


class Side(Enum):
    """What a number is told for, where it is for one side only."""

    BOTH = auto()
    SIDE = auto()
    LIMB = auto()  # an arm, a leg: never one half of a bar
    HAND = auto()


@dataclass(slots=True)
class Number:
    """A number with what its words say about it.

    Args:
        value: As typed.
        start: First place in the folded text.
        end: Place after the last.
        role: What it counts.
        unit: Unit of load, if typed.
        side: Told for one side.
        also: Further numbers in its place (`10/8/6`, `5-5-5`).
        more: Repetitions after short rests (`8+3+2`).
        at_least: A plus behind it (`5+`).
        failed: Written as a miss (`F` in place of repetitions), or with one.
        signed: `+` or `-` before it, as a sign of the load.
        bodyweight: Body mass, with `value` added.
        bar: The empty bar, with `value` added.
        bare_body: Body mass or the empty bar and nothing added: `value` says nothing.
        plates: Counts pairs of the largest disc.
        remarked: A remark, and nothing that parts, stands between it and the number before.
        left: Repetitions left, told behind a dash (`80x5-1`). [repetitions]
        shared: Told for both hands together (`60 total`).

    """

    value: float
    start: int
    end: int
    role: Role = Role.BARE
    unit: Unit | None = None
    side: Side = Side.BOTH
    also: tuple[float, ...] = ()
    more: tuple[int, ...] = ()
    at_least: bool = False
    failed: bool = False
    signed: str = ""
    bodyweight: bool = False
    bar: bool = False
    bare_body: bool = False
    plates: bool = False
    remarked: bool = False
    left: float | None = None
    shared: bool = False

    @property
    def whole(self) -> bool:
        """Whether it can count repetitions or sets."""
        return float(self.value).is_integer()


class Link(IntEnum):
    """What joins two numbers."""

    CROSS = auto()
    AT = auto()
    FOR = auto()
    OF = auto()
    WITH = auto()
    DASH = auto()
    SLASH = auto()
    EQUALS = auto()
    OR = auto()


@dataclass(slots=True)
class Join:
    """A word or sign that joins two numbers."""

    link: Link
    start: int
    end: int
    spaced: bool = False


class Gap(IntEnum):
    """What parts sets from each other, the stronger the later."""

    BLANK = auto()
    COMMA = auto()
    THEN = auto()
    STRONG = auto()
    LINE = auto()


@dataclass(slots=True)
class Break:
    """A sign that parts two sets."""

    gap: Gap
    start: int
    end: int


@dataclass(slots=True)
class Effort:
    """Repetitions left, or a rating, as told.

    Args:
        start: First place in the folded text.
        end: Place after the last.
        rir: Repetitions left. [repetitions]
        rpe: Rating of perceived exertion.
        at_least: A lower bound.
        alone: Said of one set only (`amrap`): it tells nothing about the sets before.
        further: Values of the further sets (`rir 3/2/1`).

    """

    start: int
    end: int
    rir: float | None = None
    rpe: float | None = None
    at_least: bool = False
    alone: bool = False
    further: tuple[float, ...] = ()


class Sort(IntEnum):
    """What a mark says about its set."""

    WARM_UP = auto()
    WORK = auto()
    FAILED = auto()
    FAILED_AT = auto()  # with the number of the repetition that was missed
    HELPED = auto()
    MEASURED = auto()
    REST_PAUSE = auto()
    DROP = auto()
    ASSISTED = auto()
    PER_SIDE = auto()
    SHARE = auto()  # told as a share of the maximum
    AGAIN = auto()  # the set before once more, or as often as the number says
    LAST_SET = auto()  # the number behind it is of the last of the sets before


BY_SIGN, DOWN_TO, GOING_ON = 3, 1, 2
"""Numbers of a mark for a drop: told by a sign (`>`), with the load it drops to, as a whole drop set."""

ONE_SET, GLUED, PARTED = 3, 2, 1
"""Numbers of a mark for a warm-up: of one set (`warm-up set 40x10, 80x5`), glued to it (`w40x5`), parted (`wu, 80x5`)."""

CLUSTERED = 1
"""Number of a mark for rests within a set whose parts may all be alike."""


@dataclass(slots=True)
class Mark:
    """A word that says something about the set it stands beside.

    Args:
        sort: What it says.
        start: First place in the folded text.
        end: Place after the last.
        number: What belongs to it: a repetition, how often, or how it is meant.

    """

    sort: Sort
    start: int
    end: int
    number: int = 0


@dataclass(slots=True)
class Words:
    """A run of words that are no quantities: an exercise, a remark, or neither.

    Args:
        words: Folded one by one, as names are.
        places: First place and place after the last of each, in the folded text.

    """

    words: list[str]
    places: list[tuple[int, int]]

    @property
    def start(self) -> int:
        """First place in the folded text."""
        return self.places[0][0]

    @property
    def end(self) -> int:
        """Place after the last."""
        return self.places[-1][1]


@dataclass(slots=True)
class Named:
    """An exercise that was named.

    Args:
        exercise: Catalogue name, the lifter's own, or the words as typed.
        known: It is an exercise that the lifter can name.
        start: First place in the folded text.
        end: Place after the last.
        varies: Variations (`paused`) of an exercise that was named elsewhere; `exercise` is only their words.
        typed: The words as typed.
        plain: What it is a variation of, where that was told apart.

    """

    exercise: str
    known: bool
    start: int
    end: int
    varies: tuple[str, ...] = ()
    typed: str = ""
    plain: "Named | None" = None


@dataclass(slots=True)
class Bracket:
    """A bracket that groups sets."""

    opens: bool
    start: int
    end: int


Piece = Number | Join | Break | Effort | Mark | Words | Named | Bracket
