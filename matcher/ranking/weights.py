"""Every number of the ranking that a consultant could dispute, with its reason. All are assumptions unless a source is
named.

What fights with what (the wheel of undertones, near-miss whites, clean beside muted) is set in
matcher/harmony/agreement.py and near_miss.py; here is how much each finding counts. Lightness figures are LRV, 0..100.
"""

from __future__ import annotations

from dataclasses import dataclass

ROLES = ("walls", "trim", "ceiling", "cabinets", "island", "accent", "door")


@dataclass(frozen=True, slots=True)
class TermWeights:
    """How much each term counts in a role; the five sum to 1."""

    harmony: float
    undertone: float
    contrast: float
    light: float
    wishes: float


# Undertone leads wherever large areas touch the givens: it is what clients call wrong. Published harmony is a second
# opinion with a small say: apart from lightness it mostly rewards likeness, so it would pass over the green that calms
# an orange timber. For an accent or a door the colour is meant to stand out, so contrast counts more.
TERM_WEIGHTS: dict[str, TermWeights] = {
    "walls": TermWeights(0.08, 0.50, 0.16, 0.12, 0.14),
    "trim": TermWeights(0.08, 0.52, 0.20, 0.08, 0.12),
    "ceiling": TermWeights(0.08, 0.48, 0.20, 0.12, 0.12),
    "cabinets": TermWeights(0.08, 0.50, 0.20, 0.10, 0.12),
    "island": TermWeights(0.10, 0.44, 0.24, 0.10, 0.12),
    "accent": TermWeights(0.12, 0.36, 0.34, 0.06, 0.12),
    "door": TermWeights(0.12, 0.42, 0.28, 0.06, 0.12),
}


@dataclass(frozen=True, slots=True)
class Expectation:
    """What a role asks of a paint by itself. Four corners of a plateau: unfit below the first and above the last.

    ``separation``: share of the contrast term that asks for a visible step from the givens beside it.
    ``least_fit``: the fit that the score counts for a paint far off the plateau, and ``least_loud`` for one that is
    shrill besides (LOUD_CHROMA).
    """

    lrv: tuple[float, float, float, float]
    chroma: tuple[float, float, float, float]
    separation: float
    least_fit: float = 0.0
    least_loud: float = 0.0


# Corners below 0 or above 100 leave that side open. Wide plateaus on purpose: within them lightness decides nothing.
EXPECTATIONS: dict[str, Expectation] = {
    # Light to mid and quiet: four walls look lighter and stronger than the chip (CIE 208:2014, as a tendency). But any
    # colour may be a wall, where a beige trim is no trim: a clearly dark or strong one is a choice, and once bold, more
    # so costs no more. So lightness chooses between walls that suit the room, and does not lift a pale one that fights
    # it over a sage or a navy that was meant. Four walls of a shrill colour are no choice that a consultant offers.
    "walls": Expectation((10, 50, 90, 104), (-2, -1, 5, 16), 0.30, least_fit=0.8, least_loud=0.4),
    # A clean or creamy white, LRV 80 and more; what it may carry of chroma stands in WHITE_CHROMA, of which these are
    # shares (common practice, no source).
    "trim": Expectation((62, 80, 101, 102), (-2, -1, 1.0, 2.4), 0.0),
    "ceiling": Expectation((56, 76, 101, 102), (-2, -1, 1.0, 2.4), 0.0),
    # Any lightness; strong colour on a whole run of doors tires.
    "cabinets": Expectation((-2, -1, 101, 102), (-2, -1, 12, 46), 0.45),
    "island": Expectation((-2, -1, 101, 102), (-2, -1, 28, 60), 0.50),
    # An accent has to be a colour, if a muted one; a near-black does as well (ACCENT_DARK_LRV).
    "accent": Expectation((-2, -1, 32, 68), (5, 14, 40, 75), 0.60),
    "door": Expectation((-2, -1, 101, 102), (-2, -1, 42, 75), 0.35),
}
ACCENT_DARK_LRV = (12.0, 6.0)
# CIELAB chroma from which a colour on a large area turns shrill, and where it is so fully.
LOUD_CHROMA = (36.0, 60.0)
# How much chroma a white may carry, by CIELAB hue angle: a cream's of yellow; of any other hue it stays below where it
# shows as a tint (tint boundary of harmony/tint.py), or it is a green, a blue or a pink and no white.
WHITES = frozenset({"trim", "ceiling"})
WHITE_HUE_DEG = (0.0, 30.0, 55.0, 70.0, 80.0, 100.0, 112.0, 130.0, 160.0, 185.0, 220.0, 265.0, 310.0, 360.0)
WHITE_CHROMA = (1.3, 1.7, 2.6, 4.5, 6.0, 6.5, 5.0, 3.2, 2.4, 2.1, 1.6, 1.2, 1.2, 1.3)

# A paint fits its role from this fitness on, 0..1.
FIT_ENOUGH = 0.5
# A paint unfit for its role keeps this share of its score, so that it sinks below fit ones but can still be scored.
UNFIT_SHARE = 0.3

# Inside a surface: colours count by share to this power, so that a vein of 5 % counts as 14 % ("sit with the vein"),
SHARE_POWER = 0.6
# and the worst colour this much beside the mean; flecks below the first share are not seen, from the second fully.
WORST_COLOUR = 0.4
COLOUR_SEEN = (0.01, 0.06)
# Over surfaces: by visibility, and the worst surface this much beside the mean.
WORST_SURFACE = 0.4
SURFACE_SEEN = (0.02, 0.12)
# Published harmony is a mean by nature (two-colour scores average well over several colours), so its worst pair counts
# less.
WORST_HARMONY = 0.2

# Ou & Luo's model likes blues and pale yellows beside anything; that tells which colours people like, not what goes
# with this stone, so little of it counts.
HUE_LIKING_SHARE = 0.3

# What a near miss takes off the agreement of a pair (-0.75..0.6).
NEAR_MISS_WHITE = 0.45
CLEANNESS = 0.40

# From agreement to a term of 0..1: no opinion is 0.5, kin undertones 0.95, a full fight 0.
AGREEMENT_SLOPE = 0.75
# From relative harmony to 0..1, by tanh: half the published scale's usual spread.
HARMONY_SPREAD = 0.5

# Enough of a step between paint and given: L* plus half the chromatic difference; below the first they merge.
SEPARATION = (3.0, 11.0)
# Nearer than this (CIEDE2000-like, HyAB) it is a match and not a near miss.
SAME_COLOUR = 2.0

# A match loses the edge between the two, if tidily: it counts less than a step that reads as meant, and more than a
# near miss.
MATCH_VALUE = 0.6

# Words for agreement: a clash from here, a full one there; kin from KIN_FROM.
CLASH_FROM, CLASH_FULL = -0.15, -0.60
KIN_FROM = 0.22
# Warmth (-1..1) from which a colour counts as warm or cool for a warm-cool clash.
WARM_FROM = 0.10

# Rules of thumb do not tell paints apart more finely than this, however well the surfaces are measured: for variety's
# sake a list takes those within it as equals.
SAME_STANDING = 0.05
# The best of another side of the hue circle is listed unless it scores less than the first by more than this.
ANOTHER_DIRECTION = 0.15
# The same goes for a white among cabinets, which most clients expect to see: LRV from which one is white (common
# practice, no source).
WHITE_CABINETS_LRV = 78.0
# Near-identical paints: one stands for those within this CIEDE2000 distance (twice what is just seen side by side).
NEAR_IDENTICAL = 2.0

# Light. Away from the sun colours shift towards blue, towards the sun towards yellow (Harleman 2007, full-scale rooms);
# how much that should cost is an assumption.
COLD_IN_NORTH, DULL_IN_NORTH = 0.55, 0.25
HOT_IN_SUN, GLARE_IN_SUN = 0.35, 0.20
YELLOW_UNDER_WARM_LAMP, COLD_UNDER_COOL_LAMP = 0.40, 0.30
DULL_LRV, GLARE_LRV = (52.0, 28.0), (82.0, 93.0)

# A paint that keeps less than this of its character through the room's day (0..1, matcher/light/keeps.py) is told to.
CHANGES_BELOW = 0.7

# Wishes: LRV points outside the wished range at which the wish counts as missed wholly.
LRV_MISSED_BY = 20.0

# Severities below this are not worth a line; a merge in lightness, told below this share of a meant step, is a
# weakness, seldom a fight: its severity ends here.
LEAST_SEVERITY = 0.05
MERGES_BELOW, MERGE_SEVERITY = 0.35, 0.5
# What a clash of full severity takes off a score, as a share of it: what is flagged costs what the flag says, in a list
# as in a scheme. Common practice, no source.
CLASH_COST = 0.3

# Reasons: how strongly each speaks (0..1, which orders them and decides which of many are shown). Beside a given it
# counts by how much of it is seen: SEEN_ANYHOW and the rest by its visibility.
MOST_REASONS = 7
SEEN_ANYHOW = 0.4
SPEAKS = {
    "undertone": 0.5, "merges-with-given": 0.5, "deliberate-contrast": 0.45, "given-accepts": 0.4, "lightness": 0.25,
    "neutral-paint": 0.35, "harmony": 0.15, "light": 0.3, "warms-north-light": 0.3,
    "wish-warmth-met": 0.4, "wish-warmth-missed": 0.6, "wish-lrv-met": 0.3, "wish-lrv-missed": 0.6,
    "neighbour-fits": 0.45, "neighbour-fights": 0.8, "lets-given-stay": 0.9,
}  # fmt: skip
# What is added to those by the size of the effect: agreement of undertones, relative harmony, fit beside a neighbour.
SPEAKS_BY_AGREEMENT, SPEAKS_BY_HARMONY, SPEAKS_BY_MISFIT = 0.8, 0.4, -0.5
# Smaller effects than these are not worth a line: of the light on the score, and of relative harmony.
LEAST_COST, LEAST_HARMONY = 0.04, 0.06
# Gate (0..1) below which a colour counts as neutral in a reason, and above which a lean is worth naming.
NEUTRAL_GATE, LEANING_GATE = 0.25, 0.5
# Offset towards green, degrees of h', from which an agreement beside a warm colour is that of a quiet partner.
QUIET_OFFSET_DEG = 45.0
# A contrast is told as deliberate from this; a paint fits a neighbour's from the first and fights it below the second.
DELIBERATE_FROM = 0.6
NEIGHBOUR_FITS, NEIGHBOUR_FIGHTS = 0.75, 0.5
# A room that gets so little sun (0..1) is told that a paint is warm enough for it.
SUNLESS_FROM = 0.5

# A scheme: how much a role's own score counts, and each rule between two roles.
ROLE_WEIGHTS = {"walls": 1.0, "cabinets": 0.9, "trim": 0.6, "island": 0.5, "accent": 0.5, "door": 0.4, "ceiling": 0.4}
PAIR_WEIGHT = 0.5
# The same for two rooms seen from each other: their walls count as two roles of one room do, their trim half as much.
THROUGH_WEIGHTS = {"walls": 0.5, "trim": 0.25}
# A neighbour already chosen takes at most this share off the contrast term and the score.
NEIGHBOUR_SHARE = 0.5

# Trim must be this much lighter than the wall, LRV points: not seen as lighter, clearly lighter.
TRIM_LIFT = (2.0, 10.0)
