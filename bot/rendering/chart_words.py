"""Charts in words: the text line that says what a picture shows."""

from typing import assert_never

from bot.messages import OutgoingMessage
from bot.rendering.phone import count, day, estimated, figure
from core.domain.check_in_replies import Chart, ChartTold, CheckInChart, EstimateChart, EstimatePoint, SetsChart
from core.domain.replies import Reply


def chart(drawn: Chart) -> str:
    """What a picture shows, in a few short lines, for those who do not see it."""
    match drawn:
        case EstimateChart():
            return _estimate(drawn)
        case SetsChart():
            return _sets(drawn)
        case CheckInChart():
            return _check_ins(drawn)
        case _:
            assert_never(drawn)


def picture(reply: Reply) -> OutgoingMessage | None:
    """The message with the picture that goes behind a reply in words; None for one that has none."""
    if not isinstance(reply, ChartTold):
        return None
    return OutgoingMessage(text=caption(reply.chart), chart=reply.chart)


def caption(drawn: Chart) -> str:
    """What a picture is of, in the line under it: the first one of its words."""
    return chart(drawn).partition("\n")[0]


def saved(where: str) -> str:
    """Where a picture was put."""
    return f"picture: {where}"


def _estimate(drawn: EstimateChart) -> str:
    heading = f"{drawn.exercise}, est. 1RM over {count(len(drawn.points), 'session')}"
    return "\n".join([heading, _point(drawn, drawn.points[0]), _point(drawn, drawn.points[-1])])


def _point(drawn: EstimateChart, point: EstimatePoint) -> str:
    low, high = estimated(point.low_kg, drawn.unit), estimated(point.high_kg, drawn.unit)
    return f"{day(point.day)}: {estimated(point.estimate_kg, drawn.unit)} {drawn.unit}, {low} to {high}"


def _sets(drawn: SetsChart) -> str:
    lines = [f"hard sets a week, {count(len(drawn.weeks), 'week')} from {day(drawn.weeks[0])}"]
    lines += [f"{muscle} " + " ".join(figure(each) for each in sets) for muscle, sets in drawn.muscles]
    return "\n".join(lines)


def _check_ins(drawn: CheckInChart) -> str:
    lines = [f"check-ins, {count(len(drawn.weeks), 'week')} from {day(drawn.weeks[0])} (5 is the best)"]
    lines += [f"{item} " + " ".join("-" if each is None else str(each) for each in told) for item, told in drawn.items]
    return "\n".join(lines)
