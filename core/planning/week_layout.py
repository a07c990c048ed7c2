"""The week's layout: sessions that meet the wishes, or the nearest week that can be done."""

from collections.abc import Iterator, Mapping

from core.domain.equipment import Owned
from core.domain.exercises import Catalogue, Exercise, Muscle
from core.domain.plans import DayKind, Miss, PlannedLift, PlannedSession, Role, WeekPlan, Wishes
from core.planning.day_sets import Room, day_sets
from core.planning.lift_choice import Choice, Chosen, choice_programme
from core.planning.minutes import USUAL_PACE, Pace, lift_s, session_s
from core.planning.session_lifts import Terms, back_offs, hard, role_of
from core.planning.targets import TOLERANCE_ABOVE, TOLERANCE_BELOW, Target, allowed, candidates, credit, targets
from core.planning.undulation import SCHEMES, USUAL_SETS, VOLUME, day_kinds, pressing_days, scheme, variation_day

MOST_VARIATIONS = 3
"""Variations of the main lift that may stand in for it. [exercises]"""

NODES = 150
"""Most nodes of the search. [nodes] Where the wishes fit, most weeks need a few."""

WITHIN = 1.5
"""How far above the least cost the answer may lie; less than a wish weighs."""


def week_layout(
    wishes: Wishes,
    owned: Owned,
    catalogue: Catalogue,
    *,
    previous: WeekPlan | None = None,
    pace: Pace = USUAL_PACE,
) -> WeekPlan:
    """A week for these wishes; the same input gives the same week, and a week before is changed as little as can be.

    Raises:
        ValueError: The main lift is not in the catalogue, or its equipment is not at hand.

    """
    terms = _terms(wishes, owned, catalogue, previous, pace)
    return _week(terms, lift_choice(terms))


def all_fits(wishes: Wishes, owned: Owned, catalogue: Catalogue, *, pace: Pace = USUAL_PACE) -> bool:
    """Whether a week is found that meets all targets, in much less time than a layout takes where none does.

    Raises:
        ValueError: The main lift is not in the catalogue, or its equipment is not at hand.

    """
    return choice_programme(_terms(wishes, owned, catalogue, None, pace), main_is_sure=True).meeting_all() is not None


def lift_choice(terms: Terms) -> Chosen:
    """The lifts of each day and their sets.

    Never broken: at most 8 direct hard sets of a muscle a session, three days of direct sets a muscle, the minutes, the
    ceiling, horizontal pulls at least as many as presses. The main lift is on its days unless these leave no room for
    it. Everything else has a cost, and the least cost is taken.
    """
    kept = _with_kept_sessions(terms)
    if kept is not None and not kept[0].short(kept[1]):
        return kept[0].chosen(kept[1])
    for choice, start in _choices(terms):
        values = choice.programme.solved(nodes=NODES, within=WITHIN, start=start)
        if values is not None:
            if kept is not None and kept[0].programme.cost(kept[1]) <= choice.programme.cost(values):
                return kept[0].chosen(kept[1])
            return choice.chosen(values)
    return Chosen({}, with_back_offs=False)


def _choices(terms: Terms) -> Iterator[tuple[Choice, list[float] | None]]:
    """Programmes to solve one after the other until one has a week, those to prefer first, with a week known to be one."""
    choice = choice_programme(terms, main_is_sure=True)
    meeting_all = choice.meeting_all()
    if meeting_all is not None:
        yield choice, meeting_all
    yield choice_programme(terms, main_is_sure=True), None
    yield choice_programme(terms, main_is_sure=False), None


def _with_kept_sessions(terms: Terms) -> tuple["Choice", list[float]] | None:
    """The best week that keeps every session of the week before that is still possible; None if there is none."""
    if terms.previous is None:
        return None
    choice = choice_programme(terms, main_is_sure=True)
    for day in terms.days:
        before = {name: sets for (when, name), sets in terms.previous.items() if when == day}
        if before and choice.possible(day, before):
            choice.keep_session(day, before)
    values = choice.programme.solved(nodes=NODES, within=WITHIN)
    return None if values is None else (choice, values)


def _terms(wishes: Wishes, owned: Owned, catalogue: Catalogue, previous: WeekPlan | None, pace: Pace) -> Terms:
    main = catalogue.get(wishes.main)
    if main is None or not owned.offers(main.equipment):
        raise ValueError(f"{wishes.main}: not a main lift that can be done")
    wanted = targets(wishes)
    days = wishes.training_days
    pressing = pressing_days(wishes)
    kinds, standing_in = day_kinds(pressing), variation_day(pressing)
    before = None if previous is None else _sets_of(previous)
    keep = () if before is None else sorted({name for _, name in before})
    choice = candidates(wanted, wishes, owned, catalogue, keep=keep)
    main_kinds = {day: kind for day, kind in kinds.items() if day != standing_in}
    room = Room(
        days=days,
        seconds={day: wishes.minutes * 60 - _main_s(main, main_kinds.get(day), pace) for day in days},
        main_sets={day: USUAL_SETS[kind] for day, kind in main_kinds.items() if kind is not DayKind.POWER},
        main=main,
    )
    guide = day_sets(
        wanted, room, choice, previous=None if previous is None else _direct(previous, catalogue), pace=pace
    )
    return Terms(
        days=days,
        kinds=kinds,
        variation_day=standing_in,
        main=main,
        variations=_variations(main, wishes, owned, catalogue, keep=frozenset(keep)),
        wanted=wanted,
        candidates=choice,
        guide=guide,
        seconds=wishes.minutes * 60,
        ceiling=wishes.ceiling,
        liked=wishes.liked,
        previous=before,
        pace=pace,
    )


def _variations(
    main: Exercise, wishes: Wishes, owned: Owned, catalogue: Catalogue, *, keep: frozenset[str]
) -> tuple[Exercise, ...]:
    family = main.variation_of or main.name
    others = [each for each in catalogue if each.name != main.name and allowed(each, wishes, owned)]
    found = [each for each in others if family in (each.name, each.variation_of)]
    # A main lift without variations gives way to another lift of the same movement.
    found = found or [each for each in others if each.pattern is main.pattern]
    found.sort(key=lambda each: (each.name not in wishes.liked, each.name not in keep))
    return tuple(found[:MOST_VARIATIONS])


def _main_s(main: Exercise, kind: DayKind | None, pace: Pace) -> int:
    if kind is None:
        return 0
    return lift_s(Role.MAIN, main, sets=USUAL_SETS[kind], reps=SCHEMES[kind].top, pace=pace)


def _week(terms: Terms, chosen: Chosen) -> WeekPlan:
    lifts = {each.name: each for group in terms.candidates.values() for each in group}
    lifts.update({each.name: each for each in (terms.main, *terms.variations)})
    sessions = []
    muscles: dict[Muscle, float] = {}
    for day in terms.days:
        kind = terms.kinds.get(day, DayKind.VOLUME)
        planned = []
        for (when, name), sets in chosen.sets.items():
            if when != day:
                continue
            each = lifts[name]
            role = role_of(terms, each, day)
            planned.append(PlannedLift(exercise=name, role=role, sets=sets, scheme=scheme(role, kind, each)))
            more = back_offs(terms) if role is Role.MAIN and chosen.with_back_offs else 0
            if more:
                planned.append(PlannedLift(exercise=name, role=Role.BACK_OFF, sets=more, scheme=VOLUME))
            if hard(terms, each, day):
                for muscle in each.direct | each.indirect:
                    muscles[muscle] = muscles.get(muscle, 0.0) + credit(each, muscle) * (sets + more)
        planned.sort(key=lambda item: _place(item, lifts[item.exercise]))
        seconds = session_s(((item, lifts[item.exercise]) for item in planned), terms.pace)
        sessions.append(PlannedSession(day=day, kind=kind, lifts=tuple(planned), seconds=seconds))
    return WeekPlan(
        sessions=tuple(sessions),
        muscles=tuple((muscle, muscles[muscle]) for muscle in Muscle if muscle in muscles),
        targets=tuple((each.muscle, each.sets) for each in terms.wanted),
        misses=tuple(_misses(terms.wanted, muscles)),
        without_main=tuple(day for day in terms.kinds if not _has_main(terms, chosen.sets, day)),
    )


def _place(item: PlannedLift, exercise: Exercise) -> tuple[int, bool, bool, str]:
    return list(Role).index(item.role), not exercise.multi_joint, exercise.lower_body is False, item.exercise


def _misses(wanted: tuple[Target, ...], muscles: Mapping[Muscle, float]) -> list[Miss]:
    found = []
    for each in wanted:
        planned = muscles.get(each.muscle, 0.0)
        if not each.sets - TOLERANCE_BELOW <= planned <= each.sets + TOLERANCE_ABOVE:
            found.append(Miss(each.muscle, each.sets, planned))
    return found


def _has_main(terms: Terms, chosen: Mapping[tuple[int, str], int], day: int) -> bool:
    names = [each.name for each in terms.variations] if day == terms.variation_day else [terms.main.name]
    return any((day, name) in chosen for name in names)


def _sets_of(week: WeekPlan) -> dict[tuple[int, str], int]:
    return {
        (session.day, lift.exercise): lift.sets
        for session in week.sessions
        for lift in session.lifts
        if lift.role is not Role.BACK_OFF
    }


def _direct(week: WeekPlan, catalogue: Catalogue) -> dict[tuple[Muscle, int], int]:
    found: dict[tuple[Muscle, int], int] = {}
    for session in week.sessions:
        for lift in session.lifts:
            exercise = catalogue.get(lift.exercise)
            if exercise is not None and lift.scheme.left is not None:
                for muscle in exercise.direct:
                    found[muscle, session.day] = found.get((muscle, session.day), 0) + lift.sets
    return found
