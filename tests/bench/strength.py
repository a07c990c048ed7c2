"""Measures the estimate of strength on simulated lifters beside simple estimates, and what it costs."""

import statistics
import time
from collections.abc import Callable
from datetime import timedelta

from core.strength.estimate import FamilyState, advance, estimate, expected_left, initial, load_for, state_from
from core.strength.evidence import Evidence
from tests.other_lifters import OTHERS, OtherFamily
from tests.simulated_lifters import BENCH, FIRST_DAY, HELD_OUT, TUNED_ON, UNSEEN, Effort, Family
from tests.strength_figures import HELD_OUT_SEEDS, MEAN_OF_SIX, TUNING_SEEDS, UNSEEN_SEEDS, Case, case, together

SETS = 20_000

AIMS = {Effort.EVERY: 0.80, Effort.HALF: 0.75, Effort.FAILURE: 0.65}
"""Wanted error as a part of that of the best Epley of the day. [1]"""


def main() -> None:
    """Print the tables."""
    _print_costs()
    print("root mean square error of the log maximum [%], 16 weeks, two sessions a week")
    _print_table("families and seeds that the assumptions were chosen on", TUNED_ON, TUNING_SEEDS)
    _print_table("families and seeds held out", HELD_OUT, HELD_OUT_SEEDS)
    _print_table("families and seeds looked at once, at the end", UNSEEN, UNSEEN_SEEDS)
    _print_table("families made without sight of the estimate, curves far apart", OTHERS, UNSEEN_SEEDS)


def _print_table(title: str, families: tuple[Family | OtherFamily, ...], seeds: range) -> None:
    print(f"\n{title}: {len(families)} families, {len(seeds)} lifters each")
    for effort in Effort:
        cases = [case(family, effort, seeds) for family in families]
        whole = together(cases)
        _print_case(f"{effort}, all", whole)
        for name, simple in whole.simple.items():
            print(f"    {name:42} {100 * simple.rmse:5.2f}  bias {100 * simple.bias:+5.2f}")
        if effort in AIMS:
            print(f"    aim: at most {AIMS[effort]:.2f} of the best Epley of the day")
        for family, found in zip(families, cases, strict=True):
            _print_case(f"  {family.name}", found)


def _print_case(name: str, found: Case) -> None:
    print(
        f"{name:52} {100 * found.estimate.rmse:5.2f}  bias {100 * found.estimate.bias:+5.2f}"
        f"  of best Epley {found.ratio:4.2f}"
        f"  of mean of six {found.estimate.rmse / found.simple[MEAN_OF_SIX].rmse:4.2f}"
        f"  inside {100 * found.covered:3.0f} %"
    )


def _print_costs() -> None:
    log = [
        Evidence(
            lift=BENCH,
            at=FIRST_DAY + timedelta(days=3.5 * (number // 8), minutes=4 * (number % 8)),
            session=str(number // 8),
            load_kg=80.0 + number // 8 % 7,
            repetitions=5,
            reported_left=2.0 if number % 2 else None,
        )
        for number in range(SETS)
    ]
    bare, whole = [], []
    state = initial()
    for _ in range(3):
        bare.append(_seconds(_bare_work))
        begun = time.process_time()
        state = initial()
        for each in log:
            state = advance(state, each)
        whole.append(time.process_time() - begun)
    ratio = statistics.median(w / b for w, b in zip(whole, bare, strict=True))
    print(f"{SETS} sets again from the first: {min(whole):.2f} s, {ratio:.1f} times {SETS} sums of 300 numbers")
    at = log[-1].at
    for name, work in _works(state).items():
        times = sorted(_seconds(work) for _ in range(2000))
        print(f"  {name:28} {1e6 * times[len(times) // 2]:6.1f} us")
    text = state.text()
    print(f"  a state's text: {len(text)} characters; {estimate(state, BENCH, at)}")


def _works(state: FamilyState) -> dict[str, Callable[[], object]]:
    at = FIRST_DAY + timedelta(days=3.5 * SETS)
    text = state.text()
    each = Evidence(lift=BENCH, at=at, session="new", load_kg=80.0, repetitions=5, reported_left=2.0)
    return {
        "one set taken in": lambda: advance(state, each),
        "estimate": lambda: estimate(state, BENCH, at),
        "repetitions left expected": lambda: expected_left(state, BENCH, at, load_kg=80.0, repetitions=5),
        "load for repetitions": lambda: load_for(state, BENCH, at, repetitions=5, left=2.0, sets=5),
        "state to text": state.text,
        "text to state": lambda: state_from(text),
    }


def _bare_work() -> None:
    for _ in range(SETS):
        sum(range(300))


def _seconds(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun
