"""What is assumed of a lifter before their sets have told: the priors and noises of the estimate."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """Priors and noises of the estimate; tests set others to reach limiting cases.

    A prior is a mean and a standard deviation (`_sd`); what is learned fades back to it with a time constant (`_weeks`),
    for people change. Where no source stands, the number is the program's own choice, on the wide side.

    Args:
        level: Log of a maximum in kg, so wide that it says nothing. [1]
        level_sd: Its spread. [1]
        level_drift: What the maximum may move by in one week beside the gain. [1]
        gain: Gain of the log maximum a week; neither way is assumed. [1/week]
        gain_sd: Its spread: some 0.2 % a week is what trained lifters gain, beginners five times that and more. [1/week]
        gain_weeks: How long a gain lasts. [weeks]
        gain_lasts_weeks: A gain stops this long after the last set. [weeks]
        idle_after_weeks: From here on nothing logged is a pause. [weeks]
        idle_drift: Spread that each week of a pause adds, so that a month of it means some 3 %, three months 12 %. [1/week]
        idle_loss: Loss of the log maximum in each week of a pause (McMaster et al. 2013 for the direction). [1/week]
        idle_loss_weeks: How long it goes on; after that nobody knows. [weeks]
        curve_spread: Factor on the published spread of the personal parameter. [1]
        curve_weeks: Time constant of curve and shape. [weeks]
        shape_sd: Spread of the shape, which published curves differ in. [1]
        bias: Repetitions more than told that are left (Halperin et al. 2022: 0.95, less near failure). [repetitions]
        bias_sd: Its spread. [repetitions]
        bias_weeks: Its time constant. [weeks]
        bias_near: Part of the bias that is left at the end of a set. [1]
        bias_full_at: Repetitions left from which all of it counts. [repetitions]
        fatigue: Repetitions lost with each earlier set: from the first of five sets to the last about two. [repetitions]
        fatigue_sd: Its spread. [repetitions]
        fatigue_weeks: Its time constant. [weeks]
        untold: Repetitions left in a first set, by the load that was chosen for it. [repetitions]
        untold_sd: Its spread between lifters. [repetitions]
        untold_weeks: Its time constant. [weeks]
        untold_noise: Its spread between sets of one lifter. [repetitions]
        untold_near: Probability that such a set was work near the limit at all. [1]
        form_sd: Spread of the day's form. [1]
        base_noise: Error of a load. [1]
        counting_noise: Repetitions by which the same set differs from day to day at none. [repetitions]
        counting_noise_growth: Its growth a repetition (Mitter et al. 2022: 0.7 at 90 %, 1.1 at 70 %). [1]
        report_noise: Error of a report of none left. [repetitions]
        report_noise_growth: Its growth a repetition left (Hackett et al. 2017: over 2 at 7 to 10 left). [1]
        missed: Part of the missed repetition that was in the lifter. [repetitions]
        nothing_left: The same after a set to failure whose last repetition was made. [repetitions]
        failure_noise: Error of both. [repetitions]
        stray: Probability that a set is not what it says. [1]
        stray_sd: Spread of such a set. [1]
        weak_sd: Spread of strength on a day of illness or pain. [1]
        ratio_sd: Spread of a variation's usual ratio to its plain lift. [1]

    """

    level: float = 4.0
    level_sd: float = 2.0
    level_drift: float = 0.003
    gain: float = 0.001
    gain_sd: float = 0.006
    gain_weeks: float = 15.0
    gain_lasts_weeks: float = 2.0
    idle_after_weeks: float = 2.0
    idle_drift: float = 0.012
    idle_loss: float = 0.006
    idle_loss_weeks: float = 16.0
    curve_spread: float = 0.92
    curve_weeks: float = 150.0
    shape_sd: float = 0.45
    bias: float = 0.7
    bias_sd: float = 0.7
    bias_weeks: float = 100.0
    bias_near: float = 0.75
    bias_full_at: float = 2.0
    fatigue: float = 0.4
    fatigue_sd: float = 0.2
    fatigue_weeks: float = 50.0
    untold: float = 2.8
    untold_sd: float = 1.0
    untold_weeks: float = 20.0
    untold_noise: float = 1.3
    untold_near: float = 0.5
    form_sd: float = 0.02
    base_noise: float = 0.01
    counting_noise: float = 0.25
    counting_noise_growth: float = 0.03
    report_noise: float = 0.5
    report_noise_growth: float = 0.25
    missed: float = 0.5
    nothing_left: float = 0.35
    failure_noise: float = 0.4
    stray: float = 0.08
    stray_sd: float = 0.35
    weak_sd: float = 0.05
    ratio_sd: float = 0.08


ASSUMPTIONS = Assumptions()
"""The program's own."""
