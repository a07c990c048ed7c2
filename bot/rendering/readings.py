"""Readings as JSON objects: what `rackside read` prints."""

from typing import TypedDict

from bot.rendering.problems import what_is_wrong
from core.domain.commands import Command, Fix, LogSets, Question, Reading
from core.domain.problems import Problem
from core.domain.sets import SetRead
from core.notation.messages import canonical


class SetObject(TypedDict):
    """One set as read, values as typed."""

    exercise: str | None
    load: float | None
    unit: str | None
    reps: int | None
    rir: float | None
    rpe: float | None
    at_least: bool
    failed: bool
    warmup: bool
    bodyweight: bool
    bar: bool
    per_side: bool
    load_per_side: bool
    seconds: float | None


class ReadingObject(TypedDict):
    """One reading; `span` in code points, `readings` most likely first."""

    kind: str
    command: str | None
    sets: list[SetObject]
    readings: list[list[SetObject]]
    problem: str | None
    span: list[int] | None


def in_short(reading: Reading) -> str:
    """What a text was read as, in one line for people."""
    match reading.outcome:
        case Problem() as problem:
            return f"problem: {what_is_wrong(problem)}"
        case Question() as question:
            return "question: " + "; ".join(canonical(choice.command) for choice in question.choices)
        case LogSets() as command:
            return f"sets: {canonical(command)}"
        case command:
            return f"command: {canonical(command)}"


def reading_object(reading: Reading) -> ReadingObject:
    """What a text was read as."""
    made = ReadingObject(kind="command", command=None, sets=[], readings=[], problem=None, span=None)
    match reading.outcome:
        case Problem() as problem:
            made["kind"] = "problem"
            made["problem"] = what_is_wrong(problem)
            made["span"] = [problem.span.start, problem.span.end]
        case Question() as question:
            made["kind"] = "question"
            made["span"] = [question.span.start, question.span.end]
            made["readings"] = [_sets(choice.command) for choice in question.choices]
        case LogSets() as command:
            made["kind"] = "sets"
            made["command"] = canonical(command)
            made["sets"] = _sets(command)
        case command:
            made["command"] = canonical(command)
            made["sets"] = _sets(command)
    return made


def _sets(command: Command) -> list[SetObject]:
    match command:
        case LogSets(sets=sets) | Fix(sets=sets):
            return [set_object(each) for each in sets]
        case _:
            return []


def set_object(each: SetRead) -> SetObject:
    """One set as read."""
    return SetObject(
        exercise=each.exercise,
        load=None if each.load is None else _number(each.load),
        unit=None if each.unit is None else each.unit.value,
        reps=each.reps,
        rir=None if each.rir is None else _number(each.rir),
        rpe=None if each.rpe is None else _number(each.rpe),
        at_least=each.at_least,
        failed=each.failed,
        warmup=each.warmup,
        bodyweight=each.bodyweight,
        bar=each.bar,
        per_side=each.per_side,
        load_per_side=each.load_per_side or each.plates,
        seconds=None if each.seconds is None else _number(each.seconds),
    )


def _number(value: float) -> float:
    """A whole number as one, so that 80 is printed as it was typed."""
    return int(value) if value == int(value) else value
