"""Lifts' costs: what each wish that is not met weighs beside the others when lifts are chosen.

All costs are the program's own; only their order matters.
"""

NO_MAIN_COST = 1000.0
"""Cost of a pressing day without the main lift."""

OVER_COST = 30.0
"""Cost of a set above the tolerance."""

NO_BACK_OFFS_COST = 400.0
"""Cost of leaving the back-off sets out."""

FEW_EXPOSURES_COST = 10.0
"""Cost of a muscle that is trained on fewer than two days, directly or indirectly."""

UNCOVERED_COST = 3.0
"""Cost of a muscle without a lift on a day that the first programme gave it."""

UNLIKED_COST = 15.0
"""Cost of a liked exercise that is not in the week."""

SESSION_CHANGED_COST = 6.0
"""Cost of a session that differs from the one of the week before."""

LIFT_CHANGED_COST = 1.0
"""Cost of each lift by which it differs."""

OFF_TARGET_COST = 0.5
"""Cost of a set off the target within the tolerance."""

LIFT_COST = 1.0
"""Cost of a lift in a session: changing takes time and attention."""

RANK_COST = 0.3
"""Cost of each place that an exercise stands behind the first candidate."""

USUAL_SETS_COST = 4.0
"""Cost of each set of the main lift more or fewer than usual."""

LATER_COST = 0.001
"""Cost of a later day: decides between weeks that are as good."""
