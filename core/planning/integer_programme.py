"""Integer programmes: small ones, solved to the same answer whenever they are the same."""

from collections.abc import Mapping, Sequence
from math import inf

GAP = 0.05
"""How far above the least cost values may be, beside the distance that is wished, as a part of the cost. [1]"""


AT_ITS_LIMIT = 1
"""What the solver says where a limit ended its search."""


class Programme:
    """Variables with costs and bounds, and rows that bound sums of them; the least cost is looked for."""

    def __init__(self) -> None:
        """Begin with no variables and no rows."""
        self._costs: list[float] = []
        self._lows: list[float] = []
        self._highs: list[float] = []
        self._whole: list[int] = []
        self._rows: list[Mapping[int, float]] = []
        self._row_lows: list[float] = []
        self._row_highs: list[float] = []

    def variable(self, *, cost: float = 0.0, low: float = 0.0, high: float = inf, whole: bool = False) -> int:
        """Add a variable; returned is its place."""
        self._costs.append(cost)
        self._lows.append(low)
        self._highs.append(high)
        self._whole.append(int(whole))
        return len(self._costs) - 1

    def choice(self, *, cost: float = 0.0) -> int:
        """Add a variable that is 0 or 1."""
        return self.variable(cost=cost, high=1.0, whole=True)

    def row(self, terms: Mapping[int, float], *, low: float = -inf, high: float = inf) -> None:
        """Bound a sum of variables, each taken so many times."""
        self._rows.append(terms)
        self._row_lows.append(low)
        self._row_highs.append(high)

    def distance(self, terms: Mapping[int, float], *, to: float, cost: float, cost_above: float | None = None) -> None:
        """Let each unit by which a sum lies below (or above) a number cost something."""
        below = self.variable(cost=cost)
        above = self.variable(cost=cost if cost_above is None else cost_above)
        self.row({**terms, below: 1.0, above: -1.0}, low=to, high=to)

    def fix(self, place: int, value: float) -> None:
        """Give a variable one value."""
        self._lows[place] = self._highs[place] = value

    def cost(self, values: Sequence[float]) -> float:
        """Cost of some values."""
        return sum(cost * value for cost, value in zip(self._costs, values, strict=True))

    @property
    def size(self) -> tuple[int, int]:
        """Number of variables and of rows."""
        return len(self._costs), len(self._rows)

    def solved(self, *, nodes: int, within: float) -> list[float] | None:
        """Values whose cost is the least, or nearly; None if no values meet all rows.

        A limit on nodes and on the distance to the least cost, never on time: the same programme gives the same values
        on every run.

        Args:
            nodes: Most nodes of the search. When they are used up, the best values found count; if there are none yet,
                the search goes on without a limit.
            within: How far above the least cost the values may be, beside 5 % of the cost.

        """
        for limit in (nodes, None):
            values, ended = self._search(self._costs, within=within, nodes=limit)
            if values is not None or not ended:
                return values
        return None

    def met(self, *, nodes: int) -> list[float] | None:
        """Values that meet all rows, whatever they cost; None where none are found within so many nodes."""
        values, _ = self._search([0.0] * len(self._costs), within=0.0, nodes=nodes)
        return values

    def _search(self, costs: Sequence[float], *, within: float, nodes: int | None) -> tuple[list[float] | None, bool]:
        """Values found, and whether the search ended at its limit. [nodes]"""
        # scipy and numpy take 0.3 s to import; only a plan needs them.
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        starts = [0]
        columns: list[int] = []
        values: list[float] = []
        for terms in self._rows:
            columns += terms.keys()
            values += terms.values()
            starts.append(len(columns))
        matrix = csr_array((values, columns, starts), shape=(len(self._rows), len(self._costs) + 1))
        # The solver's gap is relative to the cost found. A fixed cost beside the others adds a distance to it.
        fixed = within / GAP
        result = milp(
            [*costs, fixed],
            integrality=np.array([*self._whole, 0]),
            bounds=Bounds([*self._lows, 1.0], [*self._highs, 1.0]),
            constraints=LinearConstraint(matrix, self._row_lows, self._row_highs),
            options={"mip_rel_gap": GAP} if nodes is None else {"node_limit": nodes, "mip_rel_gap": GAP},
        )
        if result.x is None:
            return None, result.status == AT_ITS_LIMIT
        return [
            float(round(value)) if whole else float(value)
            for value, whole in zip(result.x[:-1], self._whole, strict=True)
        ], False
