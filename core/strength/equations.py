"""The seven older equations for a one-repetition maximum, by name, for comparison beside the estimate."""

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

FURTHEST_REPETITIONS = 30.0
"""Most repetitions an equation takes: far past all published ranges and before the poles of Brzycki (37) and
Lander (37.9). [repetitions]"""


def epley(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Epley, with r/30.

    Args:
        load_kg: Load moved. [kg]
        repetitions: Repetitions to failure, 1 to 30; published for at most 10. [repetitions]

    Returns:
        One-repetition maximum; at one repetition the load itself, which the equation alone does not give. [kg]

    Raises:
        ValueError: A load that is not positive and finite, or repetitions out of range.

    Source:
        Epley 1985, the form printed with r/30.

    >>> round(epley(80.0, 7.0), 2)
    98.67

    """
    return _maximum(load_kg, repetitions, lambda r: 1.0 + r / 30.0)


def brzycki(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Brzycki; arguments, result and refusals as for `epley`.

    Source:
        Brzycki 1993, JOPERD 64(1):88-90; published for fewer than 10 repetitions.

    >>> round(brzycki(80.0, 7.0), 2)
    96.02

    """
    return _maximum(load_kg, repetitions, lambda r: 1.0 / (1.0278 - 0.0278 * r))


def lander(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Lander; arguments, result and refusals as for `epley`.

    Source:
        Lander 1985, NSCA J 6(6):60-61; published for at most 10 repetitions.

    >>> round(lander(80.0, 7.0), 2)
    96.85

    """
    return _maximum(load_kg, repetitions, lambda r: 100.0 / (101.3 - 2.67123 * r))


def lombardi(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Lombardi; arguments, result and refusals as for `epley`.

    Source:
        Lombardi 1989.

    >>> round(lombardi(80.0, 7.0), 2)
    97.19

    """
    return _maximum(load_kg, repetitions, lambda r: r**0.10)


def mayhew(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Mayhew and others; arguments, result and refusals as for `epley`.

    Source:
        Mayhew et al. 1992, J Appl Sport Sci Res 6(4):200-206.

    >>> round(mayhew(80.0, 7.0), 2)
    99.12

    """
    return _maximum(load_kg, repetitions, lambda r: 100.0 / (52.2 + 41.9 * math.exp(-0.055 * r)))


def oconner(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by O'Conner and others; arguments, result and refusals as for `epley`.

    Source:
        O'Conner, Simmons, O'Shea 1989.

    >>> round(oconner(80.0, 7.0), 2)
    94.0

    """
    return _maximum(load_kg, repetitions, lambda r: 1.0 + 0.025 * r)


def wathan(load_kg: float, repetitions: float) -> float:
    """One-repetition maximum by Wathan; arguments, result and refusals as for `epley`.

    Source:
        Wathan 1994, in Essentials of Strength Training and Conditioning.

    >>> round(wathan(80.0, 7.0), 2)
    99.22

    """
    return _maximum(load_kg, repetitions, lambda r: 100.0 / (48.8 + 53.8 * math.exp(-0.075 * r)))


EQUATIONS: Mapping[str, Callable[[float, float], float]] = MappingProxyType(
    {
        "epley": epley,
        "brzycki": brzycki,
        "lander": lander,
        "lombardi": lombardi,
        "mayhew": mayhew,
        "oconner": oconner,
        "wathan": wathan,
    }
)
"""Equations by name, in the order in which they are shown: (load_kg, repetitions) -> one-repetition maximum. [kg]"""


def _maximum(load_kg: float, repetitions: float, factor: Callable[[float], float]) -> float:
    if not 1.0 <= repetitions <= FURTHEST_REPETITIONS:
        raise ValueError(f"an equation takes 1 to {FURTHEST_REPETITIONS:.0f} repetitions, not {repetitions}")
    if not 0.0 < load_kg < math.inf:
        raise ValueError(f"an equation takes a positive load in kg, not {load_kg}")
    return load_kg if repetitions == 1.0 else load_kg * factor(repetitions)
