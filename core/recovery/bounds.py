"""Bounds of the advice: the figures that its rules hold weeks, lifts and sets against."""

FEWEST_DONE_TO_JUDGE = 0.5
"""Share of the planned sessions below which a week says nothing. [1] The program's own figure."""

FEWEST_DONE_TO_ADD = 0.8
"""Share of the planned sessions from which sets may be added: four in five. [1] The program's own figure."""

LIFTS_UNDER = 2
"""Lifts under expectation that bring a reduced week. One alone may be the lift; own figure."""

WEEKS_BELOW = 2
"""Weeks running below the own median that bring a reduced week. [weeks] A low feeling alone, once, is no reason: in one
study readiness fell while repetitions and speed held."""

WEEKS_BETWEEN_REDUCED = 3
"""Fewest weeks from one reduced week to the next. [weeks] Own figure; the usual distance is about 5.6 weeks (Rogerson
et al. 2024, from memory)."""

MOST_CHANGE = 2
"""Most sets that one piece of advice changes. [sets] Small enough that the next weeks can tell what it did; own."""

WEEKS_BETWEEN_CUTS = 2
"""Fewest weeks from one cut to the next. [weeks] The first has to show before it is judged; own figure."""

CLEARLY_RISING = 0.8
"""Probability from which strength counts as rising; below its complement as falling. [1] Own figure."""

TOGETHER = 5.5
"""Deviations that answers below the own usual, summed over weeks, and lifts under expectation come to together where work
piles up. [1] About two weeks by four points, or six by two, for who mostly varies by one. Own figure,
from simulated lifters who recover well and badly."""

SHORTFALL_TO_ADD = 3.0
"""Deviations that the answers alone may come to before sets are added. [1] About half of the above; own figure."""

LEAN = 0.0
"""Deviations from expectation above which lifts speak against piled-up work, however the weeks felt. [1] Own figure."""

LOST_BY = -1.0
"""Deviations below the lifter's own earlier estimate from which strength is lost. [1] One time in six by chance for who
stands still, far less often for who goes forward, as the deviations told are wider than what is seen; own figure."""

WEEKS_A_LOSS_TAKES = 12
"""Weeks over which strength is held against its own past. [weeks] Two blocks, so that both ends have had their weeks with
less work and what piles up slowly shows; an estimate from before a cut is answered by it. Own figure."""

TREND_WEEKS = 4
"""Shortest trend that is judged. [weeks] Own figure: with 2 % noise in the estimate a shorter one is mostly noise."""

TREND_EXPOSURES = 8
"""Fewest sessions with the lift in a flat trend. Two a week over four weeks; own figure."""

SETS_ENOUGH = 20
"""Weekly sets from which more are not the answer. [sets] Common practice, no source."""

MASS_LOSS_PER_WEEK = 0.005
"""Weekly loss of body mass from which holding strength is success. [1/week] Own figure."""

CHECK_INS_TO_ADD = 2
"""Check-in from which sets may be added: the first has no past to stand beside."""

LOW_ANSWER = 2
"""An answer this low or lower means not well recovered. [1] Own figure on the scale of McLean et al. 2010."""

BUILD_UP_TO = 10
"""Weekly sets up to which sets are built up from the start. [sets] 5 to 10, common practice, no source."""

MAY_BE_TRIED = 14
"""Weekly sets that may be tried at 10 to 12 and well recovered. [sets] Common practice, no source."""

WEEKS_TO_SEE_A_CHANGE = 3
"""Weeks after a change before a flat trend is answered with more, and after a cut before any set is added. [weeks]"""

WEEKS_A_DECLINE_HOLDS = 4
"""Weeks in which declined advice stays away unless its reasons grew. [weeks] After a whole trend all that speaks for it
is new; own figure."""

WEEKS_A_CUT_IS_REMEMBERED = 12
"""Weeks in which sets stay below the number that had to be cut. [weeks] Two blocks, or adding and cutting would take
turns for ever; own figure."""

WEEKS_A_SURE_CUT_IS_REMEMBERED = 26
"""The same for a cut that many weeks together brought, or the second within this time. [weeks] Neither is likely to be
one of chance; half a year, own figure."""
