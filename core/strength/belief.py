"""The belief about one lift: mean and covariance of eight quantities, carried through time and revised by margins."""

from dataclasses import dataclass

LEVEL, GAIN, CURVE, SHAPE, BIAS, FATIGUE, UNTOLD, FORM = range(8)
"""Places of the eight quantities: log of the one-repetition maximum in kg [1]; its gain [1/week]; personal parameter of the
repetition curve [1]; its shape [1]; repetitions more than reported that are left [repetitions]; repetitions lost with
each earlier set [repetitions]; repetitions left in a first set by the load chosen for it [repetitions]; the day's form, as a
part of the load [1]."""

SIZE = 8

PAIRS = SIZE * (SIZE + 1) // 2
"""Covariances that are kept: each pair of quantities once."""

Vector = tuple[float, ...]

Slopes = tuple[float, float, float, float, float]
"""Derivatives of a margin by curve, shape, bias, fatigue and untold. Level and form count whole, the gain not at all."""

_STARTS = tuple([place * (2 * SIZE - place + 1) // 2 for place in range(SIZE)])


def place_of(one: int, other: int) -> int:
    """Where the covariance of two quantities stands among the pairs."""
    low, high = (one, other) if one <= other else (other, one)
    return _STARTS[low] + high - low


_FORM_PAIRS = tuple([place_of(place, FORM) for place in range(SIZE)])


@dataclass(frozen=True, slots=True)
class Belief:
    """A Gaussian over the eight quantities.

    Args:
        mean: In the order of the places.
        pairs: Covariances, row by row from the diagonal on: 36 numbers.

    """

    mean: Vector
    pairs: Vector

    def covariance(self, place: int, other: int) -> float:
        """Covariance of two quantities."""
        return self.pairs[place_of(place, other)]

    @property
    def level_variance(self) -> float:
        """Variance of the level. [1]"""
        return self.pairs[0]


def independent(mean: Vector, deviations: Vector) -> Belief:
    """Belief in which no quantity says anything about another."""
    return Belief(
        mean,
        tuple(
            [
                deviations[place] * deviations[place] if place == other else 0.0
                for place in range(SIZE)
                for other in range(place, SIZE)
            ]
        ),
    )


# The functions below are written out pair by pair, because this is where the time of a message goes. The letters are the
# places: l level, g gain, c curve, s shape, b bias, f fatigue, u untold, d form.


def carried(
    belief: Belief, *, step: float, lost: float, keep: Vector, rest: Vector, noise: Vector, form: float
) -> Belief:
    """Belief after a time in which nothing was seen, at the beginning of a session.

    Args:
        belief: Belief at the beginning.
        step: How much of the gain goes into the level. [weeks]
        lost: What the level loses. [1]
        keep: Part of each quantity's distance from its resting place that is left at the end; 1 for the level. [1]
        rest: Resting places.
        noise: Variance that each quantity takes up.
        form: Variance of the form, which is drawn anew. [1]

    """
    l, g, c, s, b, f, u, _ = belief.mean  # noqa: E741 - the letter of its place
    _, kg, kc, ks, kb, kf, ku, _ = keep
    _, rg, rc, rs, rb, rf, ru, _ = rest
    nl, ng, nc, ns, nb, nf, nu, _ = noise
    (
        ll, lg, lc, ls, lb, lf, lu, _,
        gg, gc, gs, gb, gf, gu, _,
        cc, cs, cb, cf, cu, _,
        ss, sb, sf, su, _,
        bb, bf, bu, _,
        ff, fu, _,
        uu, _,
        _,
    ) = belief.pairs  # fmt: skip
    return Belief(
        (
            l + step * g - lost,
            rg + kg * (g - rg),
            rc + kc * (c - rc),
            rs + ks * (s - rs),
            rb + kb * (b - rb),
            rf + kf * (f - rf),
            ru + ku * (u - ru),
            0.0,
        ),
        (
            ll + step * (2.0 * lg + step * gg) + nl,
            kg * (lg + step * gg),
            kc * (lc + step * gc),
            ks * (ls + step * gs),
            kb * (lb + step * gb),
            kf * (lf + step * gf),
            ku * (lu + step * gu),
            0.0,
            kg * kg * gg + ng, kg * kc * gc, kg * ks * gs, kg * kb * gb, kg * kf * gf, kg * ku * gu, 0.0,
            kc * kc * cc + nc, kc * ks * cs, kc * kb * cb, kc * kf * cf, kc * ku * cu, 0.0,
            ks * ks * ss + ns, ks * kb * sb, ks * kf * sf, ks * ku * su, 0.0,
            kb * kb * bb + nb, kb * kf * bf, kb * ku * bu, 0.0,
            kf * kf * ff + nf, kf * ku * fu, 0.0,
            ku * ku * uu + nu, 0.0,
            form,
        ),
    )  # fmt: skip


def with_form(belief: Belief, variance: float) -> Belief:
    """Belief at the start of a session: the day's form is drawn anew."""
    pairs = list(belief.pairs)
    for place in _FORM_PAIRS:
        pairs[place] = 0.0
    pairs[-1] = variance
    return Belief((*belief.mean[:FORM], 0.0), tuple(pairs))


def shared_with(belief: Belief, slopes: Slopes) -> tuple[float, Vector]:
    """Variance of a margin, and its covariance with each quantity."""
    c, s, b, f, u = slopes
    (
        ll, lg, lc, ls, lb, lf, lu, ld,
        _, gc, gs, gb, gf, gu, gd,
        cc, cs, cb, cf, cu, cd,
        ss, sb, sf, su, sd,
        bb, bf, bu, bd,
        ff, fu, fd,
        uu, ud,
        dd,
    ) = belief.pairs  # fmt: skip
    of_level = ll + c * lc + s * ls + b * lb + f * lf + u * lu + ld
    of_curve = lc + c * cc + s * cs + b * cb + f * cf + u * cu + cd
    of_shape = ls + c * cs + s * ss + b * sb + f * sf + u * su + sd
    of_bias = lb + c * cb + s * sb + b * bb + f * bf + u * bu + bd
    of_fatigue = lf + c * cf + s * sf + b * bf + f * ff + u * fu + fd
    of_untold = lu + c * cu + s * su + b * bu + f * fu + u * uu + ud
    of_form = ld + c * cd + s * sd + b * bd + f * fd + u * ud + dd
    return (
        of_level + c * of_curve + s * of_shape + b * of_bias + f * of_fatigue + u * of_untold + of_form,
        (
            of_level,
            lg + c * gc + s * gs + b * gb + f * gf + u * gu + gd,
            of_curve,
            of_shape,
            of_bias,
            of_fatigue,
            of_untold,
            of_form,
        ),
    )


def revised(belief: Belief, *, shared: Vector, away: float, kept: float, variance: float) -> Belief:
    """Belief after one margin was revised: all quantities follow it as far as they vary with it.

    Where one Gaussian view revised the margin this is the update of a Kalman filter.

    Args:
        belief: Belief before.
        shared: Covariance of each quantity with the margin.
        away: Mean of the margin after, less the mean before. [1]
        kept: Variance of the margin after. [1]
        variance: Variance of the margin before, positive. [1]

    """
    l, g, c, s, b, f, u, d = shared  # noqa: E741 - the letter of its place
    pull = away / variance
    change = (kept - variance) / (variance * variance)
    ml, mg, mc, ms, mb, mf, mu, md = belief.mean
    xl, xg, xc, xs, xb, xf, xu = change * l, change * g, change * c, change * s, change * b, change * f, change * u
    (
        ll, lg, lc, ls, lb, lf, lu, ld,
        gg, gc, gs, gb, gf, gu, gd,
        cc, cs, cb, cf, cu, cd,
        ss, sb, sf, su, sd,
        bb, bf, bu, bd,
        ff, fu, fd,
        uu, ud,
        dd,
    ) = belief.pairs  # fmt: skip
    return Belief(
        (
            ml + pull * l,
            mg + pull * g,
            mc + pull * c,
            ms + pull * s,
            mb + pull * b,
            mf + pull * f,
            mu + pull * u,
            md + pull * d,
        ),
        (
            ll + xl * l, lg + xl * g, lc + xl * c, ls + xl * s, lb + xl * b, lf + xl * f, lu + xl * u, ld + xl * d,
            gg + xg * g, gc + xg * c, gs + xg * s, gb + xg * b, gf + xg * f, gu + xg * u, gd + xg * d,
            cc + xc * c, cs + xc * s, cb + xc * b, cf + xc * f, cu + xc * u, cd + xc * d,
            ss + xs * s, sb + xs * b, sf + xs * f, su + xs * u, sd + xs * d,
            bb + xb * b, bf + xb * f, bu + xb * u, bd + xb * d,
            ff + xf * f, fu + xf * u, fd + xf * d,
            uu + xu * u, ud + xu * d,
            dd + change * d * d,
        ),
    )  # fmt: skip


def loosened(belief: Belief, deviations: Vector) -> Belief:
    """Belief with so much more spread in each quantity."""
    pairs = list(belief.pairs)
    for start, sd in zip(_STARTS, deviations, strict=True):
        pairs[start] += sd * sd
    return Belief(belief.mean, tuple(pairs))


def stretched(belief: Belief, factor: float) -> Belief:
    """Belief with the same middle and all variances so many times as large; only the day's form keeps its own."""
    pairs = [factor * pair for pair in belief.pairs]
    pairs[-1] = belief.pairs[-1]
    return Belief(belief.mean, tuple(pairs))


def explained(belief: Belief, place: int, others: tuple[int, ...]) -> float:
    """Part of the variance of one quantity that would go if some others were known exactly."""
    involved = (place, *others)
    rows = [[belief.covariance(one, other) for other in involved] for one in involved]
    gone = 0.0
    # Each of the others is taken out in turn, as by observing it without noise.
    for other in range(1, len(involved)):
        taken = list(rows[other])
        pivot = taken[other]
        if pivot <= 0.0:
            continue
        gone += taken[0] * taken[0] / pivot
        for row in rows:
            factor = row[other] / pivot
            for column in range(len(involved)):
                row[column] -= factor * taken[column]
    return gone
