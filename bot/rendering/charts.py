"""Charts: pictures of the estimate, the weekly sets and the check-ins, for a small screen, dark or light."""

from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from datetime import date
from io import BytesIO
from multiprocessing import get_context
from typing import TYPE_CHECKING, assert_never

from core.domain.check_in_replies import Chart, CheckInChart, EstimateChart, SetsChart
from core.domain.units import from_kg

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INCHES = (4.0, 3.6)
"""Size of a picture: a phone's width, a little lower than wide. [inch]"""

DOTS_PER_INCH = 200
"""Dots, so that text is sharp on a phone. [1/inch]"""

PAPER, INK, FAINT = "#f4f4f2", "#222222", "#b9b9b4"
"""Ground, text and grid: light grey, which neither blinds on a dark screen nor fades on a light one."""

LINES = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00")
"""Colours of lines: Okabe and Ito's, which are told apart with any colour vision. From memory."""

MARKS = ("o", "s", "^", "D", "v", "P")
"""Marks of lines, so that colour is never the only difference."""


def drawn(chart: Chart) -> bytes:
    """A chart as a PNG picture; the same values give the same picture."""
    # Loaded where it is used: half a second. A figure without pyplot has no state of its own to leak.
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=INCHES, dpi=DOTS_PER_INCH, facecolor=PAPER, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot(facecolor=PAPER)
    match chart:
        case EstimateChart():
            _estimate(axes, chart)
        case SetsChart():
            _sets(axes, chart)
        case CheckInChart():
            _check_ins(figure, axes, chart)
        case _:
            assert_never(chart)
    _plain(axes)
    picture = BytesIO()
    figure.savefig(picture, format="png", facecolor=PAPER, metadata={"Software": None})
    return picture.getvalue()


class Studio:
    """Draws in a process of its own, so that answers do not wait for pictures."""

    def __init__(self) -> None:
        self._pool: ProcessPoolExecutor | None = None

    def draw(self, chart: Chart) -> Future[bytes]:
        """Begin to draw; the process is spawned with the first picture."""
        if self._pool is None:
            self._pool = ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn"))
        job: Callable[[Chart], bytes] = drawn
        return self._pool.submit(job, chart)

    def close(self) -> None:
        """Let the process go once it has drawn what it began."""
        if self._pool is not None:
            self._pool.shutdown()
            self._pool = None


def _estimate(axes: "Axes", chart: EstimateChart) -> None:
    days = [each.day for each in chart.points]
    unit = chart.unit
    low = [from_kg(each.low_kg, unit) for each in chart.points]
    high = [from_kg(each.high_kg, unit) for each in chart.points]
    middle = [from_kg(each.estimate_kg, unit) for each in chart.points]
    axes.fill_between(days, low, high, color=LINES[0], alpha=0.22, linewidth=0, label=f"{chart.level:.0%} sure")
    axes.plot(days, middle, color=LINES[0], linewidth=2, marker=MARKS[0], markersize=4, label="estimate")
    axes.set_title(f"{chart.exercise}: estimated 1RM [{unit}]", color=INK, fontsize=11, loc="left")
    _days(axes, days)
    axes.legend(loc="best", fontsize=9, frameon=False, labelcolor=INK)


def _sets(axes: "Axes", chart: SetsChart) -> None:
    for place, (muscle, sets) in enumerate(chart.muscles):
        axes.plot(
            list(chart.weeks),
            list(sets),
            color=LINES[place],
            marker=MARKS[place],
            markersize=5,
            linewidth=2,
            label=muscle,
        )
    axes.set_ylim(bottom=0.0)
    axes.set_title("hard sets a week", color=INK, fontsize=11, loc="left")
    axes.set_xlabel("week from", color=INK, fontsize=9)
    _days(axes, list(chart.weeks))
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.22), ncols=2, fontsize=9, frameon=False, labelcolor=INK)


def _check_ins(figure: "Figure", axes: "Axes", chart: CheckInChart) -> None:
    # Five lines on five steps would lie on each other: each question has a row of its own.
    figure.delaxes(axes)
    rows = figure.subplots(len(chart.items), 1, sharex=True)
    for place, (row, (item, answers)) in enumerate(zip(rows, chart.items, strict=True)):
        told = [(week, each) for week, each in zip(chart.weeks, answers, strict=True) if each is not None]
        row.plot(
            [week for week, _ in told],
            [each for _, each in told],
            color=LINES[0],
            marker=MARKS[0],
            markersize=4,
            linewidth=1.5,
        )
        row.set_ylim(0.5, 5.5)
        row.set_yticks([1, 3, 5])
        row.set_facecolor(PAPER)
        row.set_ylabel(item, color=INK, fontsize=9, rotation=0, ha="right", va="center")
        if not place:
            row.set_title("check-ins, 5 is the best", color=INK, fontsize=11, loc="left")
        _plain(row)
    rows[-1].set_xlabel("week from", color=INK, fontsize=9)
    _days(rows[-1], list(chart.weeks))


def _days(axes: "Axes", days: list[date]) -> None:
    """At most four dates below the line, the first and the last among them."""
    count = min(4, len(set(days)))
    places = sorted({round(number * (len(days) - 1) / max(count - 1, 1)) for number in range(count)})
    axes.set_xticks([days[place] for place in places], [f"{days[place].day} {days[place]:%b}" for place in places])  # type: ignore[arg-type]  # dates are numbers to matplotlib
    axes.margins(x=0.06)


def _plain(axes: "Axes") -> None:
    axes.grid(axis="y", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.tick_params(colors=INK, labelsize=9, length=0)
    for side, spine in axes.spines.items():
        spine.set_visible(side == "bottom")
        spine.set_color(FAINT)
