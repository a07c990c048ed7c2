"""What is assumed of a lifter before their sets have told: the priors and noises of the estimate."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """Priors and noises of the estimate. The defaults are the program's; tests set others to reach limiting cases."""

    level: float = 4.0
    level_sd: float = 2.0
    level_drift: float = 0.0045
    gain: float = 0.0015
    gain_sd: float = 0.0035
    gain_weeks: float = 10.0
    gain_lasts_weeks: float = 2.0
    idle_after_weeks: float = 2.0
    idle_drift: float = 0.01
    curve_spread: float = 1.0
    curve_weeks: float = 150.0
    shape_sd: float = 0.3
    bias: float = 0.7
    bias_sd: float = 0.65
    bias_weeks: float = 100.0
    bias_low: float = 0.5
    bias_full_at: float = 2.0
    fatigue: float = 0.4
    fatigue_sd: float = 0.25
    fatigue_weeks: float = 50.0
    untold: float = 2.8
    untold_sd: float = 1.0
    untold_weeks: float = 20.0
    untold_noise: float = 1.3
    untold_plain: float = 0.6
    form_sd: float = 0.016
    base_noise: float = 0.01
    counting_noise: float = 0.3
    counting_noise_growth: float = 0.04
    report_noise: float = 0.5
    report_noise_growth: float = 0.25
    missed: float = 0.5
    nothing_left: float = 0.35
    failure_noise: float = 0.5
    stray: float = 0.04
    stray_sd: float = 0.35
    weak_sd: float = 0.05
    ratio_sd: float = 0.08
    ratio_drift: float = 0.003
    mode: int = 0


ASSUMPTIONS = Assumptions()
