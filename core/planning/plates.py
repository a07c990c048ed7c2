"""Plates: which discs make a load, the fewest that do, exactly in both units."""

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache

from core.domain.equipment import Discs, mass_ng
from core.domain.units import Load, Unit


class DiscSums:
    """Every load that some discs make on one side (or, for a belt, all together), each with the fewest discs.

    Kilograms and pounds are kept in a table each and combined only when a load is asked for: together they make many
    times more loads than apart.
    """

    def __init__(self, discs: tuple[Discs, ...], *, one_by_one: bool = False) -> None:
        """Take discs in pairs, one of each pair a side; or, `one_by_one`, both discs of a pair for the same place."""
        times = 2 if one_by_one else 1
        self._tables = tuple(_sums([each for each in discs if each.mass.unit is unit], times=times) for unit in Unit)
        self._pounds = sorted(self._tables[1])
        self.most_ng = sum(max(table) for table in self._tables)

    def at_most(self, ng: int) -> int | None:
        """Heaviest load that is not above a mass; None below nothing. [ng]"""
        if ng < 0:
            return None
        pounds = self._pounds
        fitting = [one for one in self._tables[0] if one <= ng]
        return max(one + pounds[bisect_right(pounds, ng - one) - 1] for one in fitting)

    def above(self, ng: int) -> int | None:
        """Lightest load that is above a mass; None if there is none. [ng]"""
        pounds, best = self._pounds, None
        for one in self._tables[0]:
            place = bisect_right(pounds, ng - one)
            if place < len(pounds) and (best is None or one + pounds[place] < best):
                best = one + pounds[place]
        return best

    def discs(self, ng: int) -> tuple[Load, ...] | None:
        """Fewest discs that make exactly this load, heaviest first; None if none do.

        Of two ways with as many discs the one with the heavier discs is taken.
        """
        kilograms, pounds = self._tables
        ways: list[list[Load]] = [
            sorted((*discs, *pounds[ng - one]), key=mass_ng, reverse=True)
            for one, discs in kilograms.items()
            if ng - one in pounds
        ]
        if not ways:
            return None
        ways.sort(key=_rank)
        return tuple(ways[0])


@lru_cache(maxsize=64)
def disc_sums(discs: tuple[Discs, ...], *, one_by_one: bool = False) -> DiscSums:
    """The loads of some discs, kept: the same discs are asked about over and over."""
    return DiscSums(discs, one_by_one=one_by_one)


def _rank(way: list[Load]) -> tuple[int, list[int]]:
    return len(way), [-mass_ng(disc) for disc in way]


def _sums(discs: Sequence[Discs], *, times: int) -> dict[int, tuple[Load, ...]]:
    kinds = sorted(discs, key=lambda each: mass_ng(each.mass), reverse=True)
    best: dict[int, tuple[int, ...]] = {0: ()}
    for kind in kinds:
        mass = mass_ng(kind.mass)
        grown: dict[int, tuple[int, ...]] = {}
        for ng, used in best.items():
            for count in range(kind.pairs * times + 1):
                way, total = (*used, count), ng + count * mass
                known = grown.get(total)
                # As many of the heavier kinds as possible, where the number of discs is the same.
                if known is None or (sum(way), known) < (sum(known), way):
                    grown[total] = way
        best = grown
    return {
        ng: tuple(kind.mass for kind, count in zip(kinds, way, strict=True) for _ in range(count))
        for ng, way in best.items()
    }
