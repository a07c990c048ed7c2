"""Integer programmes: small ones, solved to the same answer whenever they are the same."""

from collections.abc import Mapping, Sequence
from math import inf

GAP = 0.05
"""How far above the least cost values may be, beside the distance that is wished, as a part of the cost. [1]"""


OPTIONS: Mapping[str, bool | int | float | str] = {
    "output_flag": False,
    "threads": 1,
    "parallel": "off",
    "random_seed": 0,
    "mip_rel_gap": GAP,
    # A programme of a week is small and its relaxation far from whole: many cheap nodes find more than few dear ones. So
    # one smaller programme is solved at the root and none after it, cuts are few and stay there, and hardly a branch is
    # tried out before it is taken.
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_root_reduced_cost": True,
    "mip_allow_restart": False,
    "mip_allow_cut_separation_at_nodes": False,
    "mip_pscost_minreliable": 1,
    "mip_lp_age_limit": 1,
    "mip_pool_age_limit": 1,
    "mip_pool_soft_limit": 10,
}
"""How the solver searches: in one thread and from one seed, so that it finds the same on every run, and in small steps.
Chosen on sixty weeks, of which half cannot be done as wished."""


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

    def solved(self, *, nodes: int, within: float, start: Sequence[float] | None = None) -> list[float] | None:
        """Values whose cost is the least, or nearly; None if no values meet all rows.

        A limit on nodes and on the distance to the least cost, never on time: the same programme gives the same values
        on every run.

        Args:
            nodes: Most nodes of the search. When they are used up, the best values found count; if there are none yet,
                the search goes on without a limit.
            within: How far above the least cost the values may be, beside 5 % of the cost.
            start: Values that meet all rows, if some are known: the ones found cost no more.

        """
        for limit in (nodes, None):
            values, ended = self._search(self._costs, within=within, nodes=limit, start=start)
            if values is not None or not ended:
                return values
        return None

    def met(self, *, nodes: int) -> list[float] | None:
        """Values that meet all rows, whatever they cost; None where none are found within so many nodes."""
        values, _ = self._search([0.0] * len(self._costs), within=0.0, nodes=nodes)
        return values

    def _search(
        self, costs: list[float], *, within: float, nodes: int | None, start: Sequence[float] | None = None
    ) -> tuple[list[float] | None, bool]:
        """Values found, and whether the search ended at its limit. [nodes]"""
        # The solver and numpy take 0.2 s to import; only a plan needs them.
        from highspy import HighsLp, HighsModelStatus, HighsSolution, HighsVarType, MatrixFormat, SolutionStatus
        from highspy._core import _Highs as Solver  # `Highs` around it prints a line to stdout when it is made

        programme = HighsLp()
        programme.num_col_, programme.num_row_ = len(costs), len(self._rows)
        programme.col_cost_, programme.col_lower_, programme.col_upper_ = costs, self._lows, self._highs
        programme.row_lower_, programme.row_upper_ = self._row_lows, self._row_highs
        programme.integrality_ = [HighsVarType.kInteger if each else HighsVarType.kContinuous for each in self._whole]
        # The solver's gap is relative to the cost found. A fixed cost beside the others adds a distance to it.
        programme.offset_ = within / GAP
        starts, columns, factors = [0], list[int](), list[float]()
        for terms in self._rows:
            columns += terms.keys()
            factors += terms.values()
            starts.append(len(columns))
        programme.a_matrix_.format_ = MatrixFormat.kRowwise
        programme.a_matrix_.start_, programme.a_matrix_.index_, programme.a_matrix_.value_ = starts, columns, factors
        solver = Solver()
        for name, value in OPTIONS.items():
            solver.setOptionValue(name, value)
        if nodes is not None:
            solver.setOptionValue("mip_max_nodes", nodes)
        solver.passModel(programme)
        if start is not None:
            known = HighsSolution()
            known.col_value = list(start)
            solver.setSolution(known)
        solver.run()
        if solver.getInfo().primal_solution_status != SolutionStatus.kSolutionStatusFeasible:
            return None, solver.getModelStatus() is HighsModelStatus.kSolutionLimit
        found = solver.getSolution().col_value
        return [float(round(value)) if whole else value for value, whole in zip(found, self._whole, strict=True)], False
