"""Command line: exit codes, the shapes of JSON that scripts rely on, pipes, replay, and a real terminal."""

import os
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from io import StringIO
from pathlib import Path

import pexpect  # type: ignore[import-untyped]  # the package ships no types
import pytest
from click.testing import CliRunner
from pydantic import TypeAdapter

from bot.cli import program

READING_KEYS = {"kind", "command", "sets", "readings", "problem", "span"}

SET_KEYS = {
    *("exercise", "load", "unit", "reps", "rir", "rpe", "at_least", "failed", "warmup", "bodyweight", "bar"),
    *("per_side", "load_per_side", "seconds"),
}

ANSWER_KEYS = {"at", "in", "due", "texts", "choices", "data"}

START = "2027-01-04T18:00"

OBJECT: TypeAdapter[dict[str, object]] = TypeAdapter(dict[str, object])
"""Reads a line of JSON that is an object."""

OBJECTS: TypeAdapter[list[dict[str, object]]] = TypeAdapter(list[dict[str, object]])


@dataclass(frozen=True, slots=True)
class Done:
    """What a run of the program left."""

    code: int
    out: str
    err: str

    @property
    def objects(self) -> list[dict[str, object]]:
        return [OBJECT.validate_json(line) for line in self.out.splitlines()]


def run(*arguments: str, typed: str | bytes = "", home: Path | None = None) -> Done:
    """Run the program in this process, with its data folder in `home`."""
    environment = {} if home is None else {"XDG_DATA_HOME": str(home), "HOME": str(home)}
    done = CliRunner(env=environment).invoke(program, list(arguments), input=typed, prog_name="rackside")
    return Done(done.exit_code, done.stdout, done.stderr)


def url_in(folder: Path) -> str:
    return f"sqlite:///{folder}/rackside.db"


@pytest.mark.parametrize(
    "arguments",
    [["wibble"], ["read"], ["chat", "--wibble"], ["max"], ["replay", "no such file"], ["week", "--clock", "teatime"]],
    ids=" ".join,
)
def test_wrong_use_leaves_with_2(arguments: Sequence[str], tmp_path: Path) -> None:
    done = run(*arguments, home=tmp_path)

    assert done.code == 2
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    "arguments",
    [
        ["week", "--as", "nobody"],
        ["max", "bench", "--as", "nobody"],
        ["week", "--db", "wibble://"],
        ["week", "--db", "sqlite:////dev/null/rackside.db"],
    ],
    ids=" ".join,
)
def test_anything_else_that_goes_wrong_leaves_with_1_and_one_line(arguments: Sequence[str], tmp_path: Path) -> None:
    done = run(*arguments, home=tmp_path)

    assert done.code == 1
    assert done.err.startswith("Error: ")
    assert "Traceback" not in done.err


def test_a_replay_of_a_file_that_is_no_conversation_leaves_with_1_and_names_the_line(tmp_path: Path) -> None:
    file = tmp_path / "wrong.txt"
    file.write_text("# nothing\nwibble\n", encoding="utf-8")

    done = run("replay", str(file))

    assert done.code == 1
    assert "line 2" in done.err


def test_help_leaves_with_0() -> None:
    assert run("--help").code == 0


def test_read_prints_one_object_a_line_with_the_keys_that_scripts_rely_on() -> None:
    texts = ["bench 80x5 rir2", "squat 80gk x 5", "undo", "", "bench 80 3 5", "\u202e🏋️"]

    done = run("read", "-", "--json", typed="\n".join(texts) + "\n")

    assert done.code == 0
    assert len(done.objects) == len(texts)
    assert all(set(each) == READING_KEYS for each in done.objects)
    assert [each["kind"] for each in done.objects] == ["sets", "problem", "command", "problem", "question", "problem"]


def test_read_prints_a_set_with_the_keys_that_scripts_rely_on_and_values_as_typed() -> None:
    [found] = run("read", "bench 185 lb x 5 rir2", "--json").objects

    [read] = OBJECTS.validate_python(found["sets"])
    assert set(read) == SET_KEYS
    assert (read["exercise"], read["load"], read["unit"], read["reps"], read["rir"]) == ("bench press", 185, "lb", 5, 2)


def test_read_gives_the_place_of_a_problem_in_code_points() -> None:
    [found] = run("read", "🏋️ squat 80gk x 5", "--json").objects

    # The weight lifter is two code points (with its variation selector), then a blank and "squat ".
    assert found["kind"] == "problem"
    assert found["span"] == [9, 13]


def test_read_survives_bytes_that_are_no_text() -> None:
    done = run("read", "-", "--json", typed=b"bench 80x5\n\xff\xfe\x00\nundo\n")

    assert done.code == 0
    assert [each["kind"] for each in done.objects] == ["sets", "problem", "command"]


def test_chat_on_a_pipe_answers_each_line_and_steps_its_clock_by_a_second(tmp_path: Path) -> None:
    done = run(
        *("chat", "--json", "--db", url_in(tmp_path), "--clock", START, "--as", "tove"),
        typed="bench 80x5 rir2\n80x5\nweek\n",
    )

    assert done.code == 0
    assert all(set(each) == ANSWER_KEYS for each in done.objects)
    assert list(dict.fromkeys(str(each["in"]) for each in done.objects)) == ["bench 80x5 rir2", "80x5", "week"]
    seconds = [re.sub(r".*T\d\d:\d\d:(\d\d).*", r"\1", str(each["at"])) for each in done.objects]
    assert list(dict.fromkeys(seconds)) == ["00", "01", "02"]
    assert not any(each["due"] for each in done.objects)


def test_chat_on_a_pipe_shows_the_issues_example(tmp_path: Path) -> None:
    typed = "bench 80x5 rir2\n80x5\nfix 82.5x5\nweek\nmax bench\n"

    done = run("chat", "--db", url_in(tmp_path), "--clock", START, "--as", "tove", typed=typed)

    assert done.code == 0
    assert "bench press 80 kg × 5, 2 left" in done.out
    assert "now: bench press 82.5 kg × 5" in done.out
    assert "hard sets, Mon 4 Jan to Sun 10 Jan" in done.out
    assert "bench press: est. 1RM" in done.out


def test_options_stand_before_or_behind_the_command(tmp_path: Path) -> None:
    before = run("--db", url_in(tmp_path), "--as", "tove", "--clock", START, "chat", typed="bench 80x5\n")
    behind = run("week", "--json", "--db", url_in(tmp_path), "--as", "tove", "--clock", START)

    assert before.code == behind.code == 0
    assert len(behind.objects) == 1


def test_replaying_twice_changes_nothing(tmp_path: Path) -> None:
    file = tmp_path / "talk.txt"
    file.write_text(
        f"@{START}\ntove> bench 80x5 rir2\n@18:05\ntove> 80x5\ntove> edit 2: 82.5x5\ntove> bench 77.5x8\n",
        encoding="utf-8",
    )
    play = ("replay", str(file), "--json", "--db", url_in(tmp_path), "--as", "tove")
    look = ("max", "bench", "--json", "--db", url_in(tmp_path), "--as", "tove", "--clock", START)

    first, before = run(*play), run(*look)
    second, after = run(*play), run(*look)

    assert first.code == second.code == 0
    assert all(set(each) == ANSWER_KEYS for each in first.objects)
    assert second.out == first.out
    assert after.out == before.out


def test_a_file_of_bare_lines_is_replayed(tmp_path: Path) -> None:
    file = tmp_path / "bare.txt"
    file.write_text("2027-01-04T18:05 bench 80x5 rir2\n2027-01-04T18:09 80x5\n", encoding="utf-8")

    done = run("replay", str(file), "--json", "--as", "tove")

    assert done.code == 0
    assert list(dict.fromkeys(str(each["in"]) for each in done.objects)) == ["bench 80x5 rir2", "80x5"]


def test_max_has_the_shape_that_scripts_rely_on(tmp_path: Path) -> None:
    days = "@2027-01-04T18:00\ntove> bench 80x5 rir2\n@2027-01-06T18:00\ntove> bench 80x5 rir2\n"
    file = tmp_path / "talk.txt"
    file.write_text(days, encoding="utf-8")
    run("replay", str(file), "--db", url_in(tmp_path), "--as", "tove")

    [found] = run("max", "bench", "--json", "--db", url_in(tmp_path), "--as", "tove").objects

    history = OBJECTS.validate_python(found["history"])
    assert set(found) == {"exercise", "unit", "estimate", "low", "high", "level", "at", "history"}
    assert (found["exercise"], found["unit"]) == ("bench press", "kg")
    # One item a session, as it was estimated at that time; the last is about what stands now.
    assert len(history) == 2
    assert all(set(each) == {"at", "estimate", "low", "high"} for each in history)


def test_max_of_an_exercise_never_done_has_no_figures(tmp_path: Path) -> None:
    run("chat", "--db", url_in(tmp_path), "--as", "tove", typed="bench 80x5\n")

    [found] = run("max", "squat", "--json", "--db", url_in(tmp_path), "--as", "tove").objects

    assert [found[key] for key in ("estimate", "low", "high", "at", "history")] == [None, None, None, None, []]


def test_week_has_the_shape_that_scripts_rely_on(tmp_path: Path) -> None:
    where = ("--db", url_in(tmp_path), "--as", "tove", "--clock", START)
    run("chat", *where, typed="bench 40x10 w\nbench 80x5 rir2\n80x5 rir1\n")

    [found] = run("week", "--json", *where).objects

    assert set(found) == {"from", "to", "muscles", "not_counted"}
    # 4 January 2027 is a Monday; the week ends on the 10th.
    assert (found["from"], found["to"]) == ("2027-01-04", "2027-01-10")
    # Two hard sets: the chest trains directly and counts 1 each, the triceps help and count 0.5 each (Pelland 2024).
    muscles = TypeAdapter(dict[str, dict[str, float]]).validate_python(found["muscles"])
    assert muscles["chest"] == {"sets": 2, "sessions": 1}
    assert muscles["triceps"] == {"sets": 1, "sessions": 1}
    assert found["not_counted"] == [{"set": "bench press warm-up 40 kg × 10", "why": "a warm-up"}]


def test_the_terminal_prompts_completes_and_leaves(tmp_path: Path) -> None:
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}
    child = pexpect.spawn(
        sys.executable,
        ["-m", "bot", "chat", "--db", url_in(tmp_path), "--as", "tove", "--clock", START],
        env=environment,
        encoding="utf-8",
        timeout=30,
        dimensions=(40, 100),
    )
    screen = StringIO()
    child.logfile_read = screen

    child.expect("tove>")
    child.send("hist\t")
    child.expect("ory")
    child.send("\x15bench 80x5 rir2\r")
    child.expect("est. 1RM")
    child.expect("tove>")
    child.send("quit\r")
    child.expect(pexpect.EOF)
    child.close()

    assert child.exitstatus == 0
    assert "Traceback" not in screen.getvalue()
    assert (tmp_path / "rackside" / "typed").stat().st_mode & 0o077 == 0


def test_a_rest_is_over_between_the_lines_of_a_pipe(tmp_path: Path) -> None:
    # The clock stands still and goes on by a second with each line.
    typed = "rest 0:10\nbench 80x5\n" + "\n" * 12

    done = run("chat", "--db", url_in(tmp_path), "--as", "tove", "--clock", START, "--json", typed=typed)

    [due] = [each for each in done.objects if each["due"]]
    assert due["texts"] == ["rest over, 0:10: next set"]
    assert due["in"] is None


def test_replay_tells_what_comes_by_the_clock_at_its_own_time(tmp_path: Path) -> None:
    file = tmp_path / "rest.txt"
    file.write_text("@2027-01-04T18:05\ntove> rest 2:30\ntove> bench 80x5\n@19:00\n", encoding="utf-8")

    done = run("replay", str(file), "--json", "--clock", "2027-01-04T18:00Z")

    [set_at] = [each["at"] for each in done.objects if each["in"] == "bench 80x5"]
    [due] = [each for each in done.objects if each["due"]]
    assert due["texts"] == ["rest over, 2:30: next set"]
    assert datetime.fromisoformat(str(due["at"])) - datetime.fromisoformat(str(set_at)) == timedelta(seconds=150)


def test_a_chat_with_a_clock_of_its_own_leaves_the_reminders_of_others_alone(tmp_path: Path) -> None:
    url = url_in(tmp_path)
    run("chat", "--db", url, "--as", "kim", "--clock", START, typed="rest 3:00\nbench 80x5\n")

    told = run("chat", "--db", url, "--as", "tove", "--clock", "2027-01-04T19:00", "--json", typed="week\n")
    theirs = run("chat", "--db", url, "--as", "kim", "--clock", "2027-01-04T18:03:10", "--json", typed="week\n")

    assert [each for each in told.objects if each["due"]] == []
    assert [each["texts"] for each in theirs.objects if each["due"]] == [["rest over, 3:00: next set"]]


def test_an_export_holds_all_that_is_kept_of_a_lifter_and_of_nobody_else(tmp_path: Path) -> None:
    url = url_in(tmp_path)
    told = "consent on\nscreening clear\nmy own mon: bench 5x5\nbench 80x5\nplank hold 40s\n1\ncheck-in 4 4 4 4 4\n"
    run("chat", "--db", url, "--as", "tove", "--clock", START, typed=told)
    run("chat", "--db", url, "--as", "other", "--clock", START, typed="squat 100x5\n")

    exported = run("export", "--db", url, "--as", "tove")

    kinds = [next(iter(each)) for each in exported.objects]
    assert exported.code == 0
    assert {"lifter", "setup", "reminders", "session", "set", "plan", "planned_day", "check_in"} <= set(kinds)
    assert "squat" not in "".join(line for line in exported.out.splitlines() if line.startswith('{"set"'))
