"""Charts: pictures of the estimate, the weekly sets and the check-ins, for a small screen, dark or light."""

from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, Future
from datetime import date, timedelta
from io import BytesIO
from math import ceil, nan
from textwrap import wrap
from typing import TYPE_CHECKING, assert_never

from bot.rendering.phone import MONTHS
from core.domain.check_in_replies import Chart, CheckInChart, EstimateChart, SetsChart
from core.domain.units import from_kg

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INCHES = (4.0, 3.6)
"""Size of a picture: a phone's width, a little lower than wide. [inch]"""

DOTS_PER_INCH = 200
"""Dots, so that text is sharp on a phone. [1/inch]"""

PAPER, INK, FAINT = "#f4f4f2", "#222222", "#b9b9b4"
"""Ground, text and grid: light grey, which neither blinds on a dark screen nor fades on a light one."""

LINE = "#0072b2"
"""Colour of what is drawn: Okabe and Ito's blue, dark enough on this ground with any colour vision. From memory."""

TITLE_WIDTH = 36
"""Characters of a title's line. [characters]"""

MOST_DATES = 4
"""Dates below a line: more would stand on each other on a phone."""

MOST_ROWS_WITH_MIDDLE = 4
"""Rows of one picture up to which each has a number in the middle of its scale, too."""

WEEK_DAYS = 7
"""Days of a week. [d]"""


def drawn(chart: Chart) -> bytes:
    """A chart as a PNG picture; the same values give the same picture."""
    # Loaded where it is used: half a second. A figure without pyplot has no state of its own to leak.
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=INCHES, dpi=DOTS_PER_INCH, facecolor=PAPER, layout="constrained")
    FigureCanvasAgg(figure)
    match chart:
        case EstimateChart():
            _estimate(figure.add_subplot(facecolor=PAPER), chart)
        case SetsChart():
            _sets(figure, chart)
        case CheckInChart():
            _check_ins(figure, chart)
        case _:
            assert_never(chart)
    picture = BytesIO()
    figure.savefig(picture, format="png", facecolor=PAPER, metadata={"Software": None})
    return picture.getvalue()


class Studio:
    """Draws in a process of its own, so that answers do not wait for pictures."""

    def __init__(self) -> None:
        self._pool: ProcessPoolExecutor | None = None

    def draw(self, chart: Chart) -> Future[bytes]:
        """Begin to draw; the process is spawned with the first picture."""
        job: Callable[[Chart], bytes] = drawn
        try:
            return self._drawing().submit(job, chart)
        except BrokenExecutor:
            # It was killed over an earlier picture; a new one draws this one.
            self.close()
            return self._drawing().submit(job, chart)

    def _drawing(self) -> "ProcessPoolExecutor":
        # With the first picture only, as what it is drawn with.
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        if self._pool is None:
            self._pool = ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn"))
        return self._pool

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
    axes.fill_between(days, low, high, color=LINE, alpha=0.22, linewidth=0, label=f"{chart.level:.0%} sure")  # type: ignore[arg-type]  # dates are numbers to matplotlib
    axes.plot(days, middle, color=LINE, linewidth=2, marker="o", markersize=4, label="estimate")  # type: ignore[arg-type]  # dates are numbers to matplotlib
    _titled(axes, f"{chart.exercise}: est. 1RM [{unit}]")
    _days(axes, days[0], days[-1])
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.1), ncols=2, fontsize=9, frameon=False, labelcolor=INK)
    _plain(axes)


def _sets(figure: "Figure", chart: SetsChart) -> None:
    # Six lines across each other would be told apart by their colours alone: each muscle has a row of its own.
    rows = _rows(figure, [muscle for muscle, _ in chart.muscles], title="hard sets a week", weeks=chart.weeks)
    top = max((each for _, sets in chart.muscles for each in sets), default=0.0)
    for row, (_, sets) in zip(rows, chart.muscles, strict=True):
        row.bar(list(chart.weeks), list(sets), width=WEEK_DAYS * 0.7, color=LINE)  # type: ignore[arg-type]  # dates are numbers to matplotlib
        row.set_ylim(0.0, max(2.0, top) * 1.15)
        # In low rows a third number would stand on the others.
        middle = [] if len(rows) > MOST_ROWS_WITH_MIDDLE else [round(max(2.0, top) / 2)]
        row.set_yticks([0, *middle, round(max(2.0, top))])


def _check_ins(figure: "Figure", chart: CheckInChart) -> None:
    rows = _rows(figure, [item for item, _ in chart.items], title="check-ins, 1 to 5, 5 is the best", weeks=chart.weeks)
    for row, (_, answers) in zip(rows, chart.items, strict=True):
        # No line leads over a week without an answer: nothing is known of it.
        points = [nan if each is None else float(each) for each in answers]
        row.plot(list(chart.weeks), points, color=LINE, marker="o", markersize=4, linewidth=1.5)  # type: ignore[arg-type]  # dates are numbers to matplotlib
        row.set_ylim(0.5, 5.5)
        row.set_yticks([1, 3, 5])


def _rows(figure: "Figure", names: Sequence[str], *, title: str, weeks: Sequence[date]) -> "list[Axes]":
    """A row each of what is drawn, one below the other over the same weeks."""
    rows: list[Axes] = list(figure.subplots(len(names), 1, sharex=True, squeeze=False).flat)
    for row, name in zip(rows, names, strict=True):
        row.set_facecolor(PAPER)
        row.set_ylabel(name, color=INK, fontsize=9, rotation=0, ha="right", va="center")
        _plain(row)
    _titled(rows[0], title)
    rows[-1].set_xlabel("week from", color=INK, fontsize=9)
    _days(rows[-1], weeks[0], weeks[-1], apart=WEEK_DAYS)
    # Bars of one week alone would fill the picture.
    half = timedelta(days=WEEK_DAYS / 2 + (WEEK_DAYS * 3 if len(weeks) == 1 else 0))
    rows[-1].set_xlim(weeks[0] - half, weeks[-1] + half)  # type: ignore[arg-type]  # dates are numbers to matplotlib
    return rows


def _titled(axes: "Axes", title: str) -> None:
    axes.set_title("\n".join(wrap(title, TITLE_WIDTH)), color=INK, fontsize=11, loc="left")


def _days(axes: "Axes", first: date, last: date, *, apart: int = 1) -> None:
    """At most four dates below the line, evenly spaced and the last among them.

    Args:
        axes: What they stand below.
        first: Where the line begins.
        last: Where it ends.
        apart: They are so many days, or a multiple of it, from each other. [d]

    """
    step = max(1, ceil((last - first).days / apart / (MOST_DATES - 1))) * apart
    ticks = [last - timedelta(days=back) for back in range(0, (last - first).days + 1, step)][::-1]
    axes.set_xticks(ticks, [f"{each.day} {MONTHS[each.month - 1]}" for each in ticks])  # type: ignore[arg-type]  # dates are numbers to matplotlib
    axes.margins(x=0.06)


def _plain(axes: "Axes") -> None:
    axes.grid(axis="y", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.tick_params(colors=INK, labelsize=9, length=0)
    for side, spine in axes.spines.items():
        spine.set_visible(side == "bottom")
        spine.set_color(FAINT)
