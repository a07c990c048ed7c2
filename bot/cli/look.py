"""Commands that look: the maximum and the week that the store holds."""

import json

import click

from bot.cli.options import Stopped, looked, opened, options, program, told
from bot.rendering.replies import House, text
from bot.rendering.stored import max_object, week_object
from bot.rendering.stored_plans import plan_object
from core.application import block_plans, review
from core.application.plan_ahead import plan_ahead
from core.domain.plan_replies import PlanRefusal, PlanRefused
from core.domain.replies import NothingThere
from core.notation.words import names_with


@program.command("max")
@click.argument("exercise")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@options
def max_command(
    context: click.Context, exercise: str, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Tell the estimated maximum of EXERCISE from the store."""
    db, name, clock = told(context, db, name, clock)
    with opened(db) as (store, _), looked(store, name, clock) as turn:
        found = names_with(turn.own_exercises().values()).named(exercise)
        if found is None:
            raise Stopped(f"{exercise}: no such exercise")
        answer = review.max_told(turn, found.name)
        if as_json:
            click.echo(json.dumps(max_object(found.name, turn.unit, answer, zone=turn.lifter.zone)))
        else:
            click.echo(text(answer or NothingThere(review.no_estimate(turn, found.name), found.name), house=House()))


@program.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@options
def week(context: click.Context, db: str | None, name: str | None, clock: str | None, *, as_json: bool) -> None:
    """Tell the week's hard sets from the store."""
    db, name, clock = told(context, db, name, clock)
    with opened(db) as (store, _), looked(store, name, clock) as turn:
        answer = review.week_told(turn, turn.today)
        click.echo(json.dumps(week_object(answer)) if as_json else text(answer, house=House()))


@program.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@options
def plan(context: click.Context, db: str | None, name: str | None, clock: str | None, *, as_json: bool) -> None:
    """Tell the plan from the store."""
    db, name, clock = told(context, db, name, clock)
    with opened(db) as (store, _), looked(store, name, clock) as turn:
        if as_json:
            click.echo(json.dumps(plan_object(plan_ahead(turn), turn.unit)))
        elif turn.plan is None:
            click.echo(text(PlanRefused(PlanRefusal.NO_PLAN), house=House()))
        else:
            click.echo(text(block_plans.told(turn, turn.plan), house=House()))
