"""Charts: pictures for a phone, drawn from values alone, in a process of their own."""

import subprocess
import sys
from datetime import date, timedelta
from struct import unpack

import pytest

from bot.rendering.charts import Studio, drawn
from core.domain.check_in_replies import Chart, CheckInChart, EstimateChart, EstimatePoint, SetsChart
from core.domain.checkins import Item
from core.domain.exercises import Muscle
from core.domain.units import Unit

FIRST = date(2027, 1, 4)

WEEKS = tuple(FIRST + timedelta(weeks=number) for number in range(6))

ESTIMATE = EstimateChart(
    exercise="bench press",
    unit=Unit.KG,
    points=tuple(EstimatePoint(week, 100 + place, 95 + place, 105 + place) for place, week in enumerate(WEEKS)),
)

SETS = SetsChart(weeks=WEEKS, muscles=((Muscle.CHEST, (8.0, 8.0, 9.0, 9.0, 10.0, 5.0)), (Muscle.LATS, (6.0,) * 6)))

CHECK_INS = CheckInChart(weeks=WEEKS, items=tuple((item, (4, 3, None, 5, 4, 2)) for item in Item))

CHARTS = [ESTIMATE, SETS, CHECK_INS]


def size(picture: bytes) -> tuple[int, int]:
    """Width and height of a PNG picture: its first chunk (PNG specification, section 11.2.1). [dots]"""
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = unpack(">II", picture[16:24])
    return width, height


@pytest.mark.parametrize("chart", CHARTS, ids=lambda each: type(each).__name__)
def test_a_picture_is_as_large_as_a_phone_shows_well_and_small_to_send(chart: Chart) -> None:
    picture = drawn(chart)

    # A phone is 720 to 1440 dots wide (common practice); a platform takes 10 MB and makes less of it itself.
    assert size(picture) == (800, 720)
    assert len(picture) < 200_000


@pytest.mark.parametrize("chart", CHARTS, ids=lambda each: type(each).__name__)
def test_the_same_values_give_the_same_picture(chart: Chart) -> None:
    assert drawn(chart) == drawn(chart)


def test_other_values_give_another_picture() -> None:
    assert drawn(SETS) != drawn(SetsChart(weeks=WEEKS, muscles=SETS.muscles[:1]))


@pytest.mark.parametrize(
    "chart",
    [
        SetsChart(weeks=WEEKS[:1], muscles=((Muscle.CHEST, (0.0,)),)),
        CheckInChart(weeks=WEEKS[:2], items=tuple((item, (None, None)) for item in Item)),
        EstimateChart(exercise="a" * 120, unit=Unit.LB, points=ESTIMATE.points[:2]),
    ],
    ids=["one empty week", "no answers", "a long name"],
)
def test_little_to_draw_is_a_picture_of_the_same_size(chart: Chart) -> None:
    assert size(drawn(chart)) == (800, 720)


def test_a_studio_draws_the_same_in_a_process_of_its_own() -> None:
    studio = Studio()

    picture = studio.draw(SETS).result(timeout=60)
    studio.close()
    again = studio.draw(SETS).result(timeout=60)
    studio.close()

    assert picture == again == drawn(SETS)


def test_what_pictures_are_drawn_with_is_not_loaded_at_the_start() -> None:
    told = "import sys, bot.cli, bot.scheduler.service; print(sorted({'matplotlib', 'PIL'} & set(sys.modules)))"

    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, timeout=60, check=True)

    assert done.stdout == "[]\n"
