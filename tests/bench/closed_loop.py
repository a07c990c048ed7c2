"""Two hundred lifters of the closed loop: where their weekly sets go in a year."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from statistics import median
from tempfile import gettempdir

from tests.closed_loop import KINDS, Week, lived, relieved_late, turns

LIFTERS = 200
"""How many lifters, the same number of each kind."""


def year(number: int) -> list[Week]:
    """One lifter's year."""
    return list(lived(KINDS[number % len(KINDS)], seed=1000 + number))


def main(lifters: int = LIFTERS) -> None:
    """Print one line a kind, and the median of the weekly sets over the year."""
    years: dict[str, list[list[Week]]] = defaultdict(list)
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        for number, weeks in enumerate(pool.map(year, range(lifters))):
            years[KINDS[number % len(KINDS)].name].append(weeks)
    kinds = {kind.name: kind for kind in KINDS}
    print(f"{'kind':36} {'n':>3} {'start':>5} {'end':>5} {'least':>5} {'most':>5} {'turns':>5} {'late':>4}")
    for name, each in years.items():
        targets = [week.target for weeks in each for week in weeks]
        print(
            f"{name:36} {len(each):3} {median(weeks[0].target for weeks in each):5g} "
            f"{median(weeks[-1].target for weeks in each):5g} {min(targets):5g} {max(targets):5g} "
            f"{max(map(turns, each)):5} {sum(relieved_late(kinds[name], weeks) for weeks in each):4}"
        )
    print(f"chart: {saved(years)}")
    for name, each in years.items():
        line = [median(weeks[place].target for weeks in each) for place in range(0, len(each[0]), 4)]
        print(f"{name:36} " + " ".join(f"{sets:4g}" for sets in line))


def saved(years: Mapping[str, Sequence[Sequence[Week]]]) -> Path:
    """Save a chart of the median of the weekly sets over the year, a line a kind of lifter; where it is."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(9, 6), dpi=120, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot(xlabel="week", ylabel="weekly chest sets, median [sets]", ylim=(0, 18))
    for number, (name, each) in enumerate(years.items()):
        line = [median(weeks[place].target for weeks in each) for place in range(len(each[0]))]
        axes.step(range(1, len(line) + 1), line, label=name, linestyle=("-", "--")[number % 2])
    axes.legend(fontsize=8, ncols=2)
    where = Path(gettempdir()) / "rackside-closed-loop.png"
    figure.savefig(where)
    return where


if __name__ == "__main__":
    main()
