"""Runs: numbers without any word that stand one after the other: `100 5 5 5`, `9, 7, 5`, `100, 105, 110`."""

from collections.abc import Sequence

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.pieces import Gap
from core.notation.sense import Order, Sense, Style

MOST_BARE_REPS = 30
"""Up to here a number alone is repetitions, whatever else it could be. [repetitions] A bare number always is."""

MOST_FEW_SETS = 5
"""Up to here a first number of two may be sets, if the second is larger, and one of three in a list. [sets]"""

LOADS = "loads"
REPS_LOADS = "reps loads"
PAIRS = "pairs"
CLAUSES = "clauses"
LIST_LOAD = "list load"


def order_of_run(cells: Sequence[Cell], sense: Sense, doubts: Doubts) -> str:
    """How a run of lone numbers is read: an order, `LOADS`, `REPS_LOADS` or `PAIRS`.

    Raises:
        Refused: they can be neither loads nor repetitions in any order.

    """
    values = _orders(cells, sense)
    three = len(cells) == 3
    return doubts.value(
        Doubt.ORDER if three else Doubt.PAIR,
        "three" if three else "run",
        values,
        start=cells[0].start,
        end=cells[-1].end,
    )


def _orders(cells: Sequence[Cell], sense: Sense) -> list[str]:
    values = [cell.numbers[0].value for cell in cells]
    first, rest = values[0], values[1:]
    blank = all(cell.gap is Gap.BLANK for cell in cells[1:])
    listed = all(cell.gap is Gap.COMMA for cell in cells[1:])
    load_first = sense.is_load(first) and all(sense.is_reps(value) for value in rest)
    short = all(sense.is_reps(value) and value <= MOST_BARE_REPS for value in values)
    orders: list[str] = []
    if sense.style is not Style.BODY and _are_loaded(clauses(cells), sense):
        return [CLAUSES, Order.LIST.value] if short and sense.style is not Style.BAR else [CLAUSES]
    if short and blank and len(set(values)) == 1 and sense.style is not Style.BAR and len(values) > 2:
        return [Order.LIST.value]  # `8 8 8`
    if blank and len(values) == 3:
        orders.extend(order.value for order in sense.triple(*values))
    elif listed and len(values) == 3 and sense.style is not Style.BODY and load_first and not short:
        # `bench, 80, 5, 3`: two sets of a list, or the columns of a table.
        orders.extend(order.value for order in sense.triple(*values) if _few_sets(order, *rest))
    if blank and len(values) == 2 and first <= MOST_FEW_SETS < rest[0] and sense.is_scheme(first, rest[0]):
        orders.append(Order.SETS_REPS.value)
    if sense.style is Style.BODY and sense.weighted and load_first:
        return [Order.LOAD_LIST.value]  # `weighted dips 20 8`
    if sense.style is Style.BODY and short:
        falls = len(values) > 2 and values == sorted(values, reverse=True)  # `pull ups 8 7 6`
        return [Order.LIST.value] if falls else [Order.LIST.value, *orders]
    if sense.style is Style.BODY and all(map(sense.is_reps, values)) and values == sorted(values, reverse=True):
        return [Order.LIST.value, Order.LOAD_LIST.value] if sense.hung else [Order.LIST.value]  # `push ups 34, 25, 20`
    schemes = sum(order.startswith(Order.SETS_REPS.value) for order in orders)
    if short:
        orders.insert(schemes, Order.LIST.value)
    if load_first and (blank or not short or sense.style is Style.BAR):
        last = sense.style is Style.BAR and short
        orders.insert(schemes + 1 if last else schemes, Order.LOAD_LIST.value)
    return orders or [_with_loads(cells, values, sense)]


def clauses(cells: Sequence[Cell]) -> list[list[Cell]]:
    """Cells with nothing but blanks between them, together: `40 8, 60 5, 80 5`."""
    found: list[list[Cell]] = []
    for cell in cells:
        if found and cell.gap is Gap.BLANK:
            found[-1].append(cell)
        else:
            found.append([cell])
    return found


def _are_loaded(told: Sequence[Sequence[Cell]], sense: Sense) -> bool:
    """Whether each of several clauses is a load and repetitions; of three numbers the last may be sets."""
    for clause in told if len(told) > 1 else ():
        load, *reps = (cell.numbers[0].value for cell in clause)
        if not reps or not sense.is_load(load) or not all(map(sense.is_reps, reps)) or load <= max(reps):
            return False
        if len(reps) == 2 and min(reps) <= MOST_FEW_SETS:
            return False
    return len(told) > 1


def _few_sets(order: Order, second: float, third: float) -> bool:
    sets = third if order is Order.LOAD_REPS_SETS else second
    return order in (Order.LOAD_REPS_SETS, Order.LOAD_SETS_REPS) and sets <= MOST_FEW_SETS


def _with_loads(cells: Sequence[Cell], values: Sequence[float], sense: Sense) -> str:
    first, rest = values[0], values[1:]
    if all(sense.is_load(value) for value in values):
        return LOADS
    if sense.is_reps(first) and all(sense.is_load(value) for value in rest):
        return REPS_LOADS
    if all(sense.is_reps(value) for value in values[:-1]) and sense.is_load(values[-1]):
        return LIST_LOAD
    pairs = zip(values[::2], values[1::2], strict=False)
    if len(values) % 2 == 0 and all(sense.is_load(load) and sense.is_reps(reps) for load, reps in pairs):
        return PAIRS
    wrong = next((place for place, value in enumerate(values) if place and not sense.is_reps(value)), len(values) - 1)
    number = cells[wrong].numbers[0]
    raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
