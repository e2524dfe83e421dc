"""The wrong readings that can be planted in the oracle, and the order of layouts by name.

`FAULTS` are noticed over `strategies.random_case`, `STAGE2_FAULTS` over `random_case_stage2`.
"""

from __future__ import annotations

NO_FAULTS: frozenset[str] = frozenset()

# name -> the wrong reading it plants
FAULTS: dict[str, str] = {
    "spacing-x-only": "clear distance measured along the eave only",
    "keepouts-ignored": "moved pipes may stand in a keep-out",
    "ends-as-seams": "the plane's ends are treated as seams",
    "must-ignored": "a must link is only a cost",
    "sides-swapped": "seam_back and seam_fwd change places",
    "lay-ignored": "every plane is laid left to right",
    "end-lap-ignored": "nothing is taken at the ends of a plane",
    "pair-may-near": "a pair that is too near already may get nearer",
    "forbid-ignored": "forbidden states are allowed",
    "halves-down": "half a cent of a rate is dropped",
    "move-need-not-clear": "a moved pipe may end in any state",
    "edge-gap-ignored": "a moved pipe may stand at the very end",
    "link-offset-ignored": "a link's offset counts as 0",
    "stagger-ignored": "a staggered link asks for meeting seams",
    "curb-side-ignored": "no uncut seam ever crowds a curb",
    "stubbed-min-ignored": "a stubbed pipe may move by less than its least offset",
    "mirror-as-same": "a mirror link maps x without turning it round",
    "tol-strict": "seams apart by exactly meet_tol do not meet",
    "clear-strict": "room of exactly what is needed is not clear",
    "cut-at-touch": "a seam whose side just touches a curb is cut",
    "crowd-at-touch": "a flank of exactly curb_side crowds",
    "spacing-strict": "exactly the spacing is too near",
    "keepout-strict": "touching a keep-out is not allowed",
    "keepout-as-strip": "a rectangular keep-out counts as a strip",
    "edge-strict": "exactly the edge gap is too near",
    "reach-sides-swapped": "reach_low and reach_high change places",
    "reach-strict": "a move of exactly the reach is not allowed",
    "min-end-strict": "an end of exactly min_end is not legal",
    "turned-ignored": "a turned base is no wider",
    "hold-ignored": "a held pipe may move",
    "reroof-ignored": "a reroof leaves every status as it is",
    "forbid-adds": "a penetration's forbid adds to the general one",
    "cover-needs-mark": "a first width of one cover must be whole marks too",
    "work-gap-only": "the seamer's room is left out",
    "uneven-up": "begun inches of unevenness count whole",
    "uneven-free-ignored": "every unevenness costs",
    "crowded-or-cut": "a curb that crowds does not pay for its cuts",
    "usual-narrower": "of two equally near first widths the usual takes the narrower",
    "usual-legal-only": "the usual layout shares half the rest even below min_end",
    "enough-for-all": "every state falls short, not just clear ones",
    "one-panel-narrow": "a plane without a seam counts for the narrowest end",
    "window-over-gap": "windows run on over widths that are not legal",
    "blind-rounds-each": "each plane's blind mean is rounded",
    "moves-high-first": "the last tie goes to the larger signed move",
    "firsts-wide-first": "the last tie but one goes to the wider first width",
    "moved-exempt": "a moved pipe keeps its distance only from pipes that did not move",
}
# The levels of the order of layouts before the two last ones, which compare decisions.
LEVELS = (
    "total", "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed",
    "odd_panels", "uneven", "shortfall", "distance", "narrowest",
)  # fmt: skip
PLANE_LEVELS = (0, 1, 2, 3, 4, 5, 6, 10, 11)  # those that depend on moves, as indices of LEVELS
FAULTS |= {
    f"without-{level}": "this level of the order is left out"
    for level in LEVELS
    if level not in ("total", "odd_panels")
}

# The same for fittings, agreed widths and moves, creep and uncertainty, and several covers.
STAGE2_FAULTS: dict[str, str] = {
    "fittings-ignored": "a stubbed pipe moves by any offset, whatever its fittings make",
    "headroom-ignored": "fittings need no height",
    "fittings-all-angles": "every given elbow must make the offset, not just one of them",
    "fittings-for-planned": "planned pipes are bound to what their fittings make as well",
    "fittings-instead": "what the fittings make counts instead of min_offset",
    "headroom-bare": "the height of the two fittings themselves is left out",
    "headroom-strict": "a height of exactly the headroom is too much",
    "freeze-ignored": "nothing is agreed",
    "freeze-first-ignored": "agreed first widths are open again",
    "freeze-move-ignored": "agreed moves are open again",
    "freeze-as-least": "an agreed move only says that the pipe must move",
    "freeze-drawn-moved": "as drawn has the agreed moves made",
    "freeze-drawn-open": "as drawn may depart from agreed first widths",
    "freeze-usual": "the usual layout takes the agreed first widths",
    "freeze-blind": "the blind start knows the agreed first widths",
    "freeze-window": "an agreed first width has no window",
    "robust-ignored": "robust = true changes nothing",
    "robust-always": "the worst room rules even without robust = true",
    "robust-state-only": "the shortfall still goes by the nominal margin",
    "robust-cost-only": "a moved pipe need only be clear nominally",
    "creep-never-reset": "panels drift on from the starting end, never controlled",
    "first-seam-creeps": "the first panel counts as gone on since the last control",
    "reset-late": "the seam after remeasure panels is not controlled yet",
    "reset-to-nothing": "the panel after a control has no play of its own",
    "width-tol-wrong-end": "the width is off at the low end",
    "width-tol-ends-only": "seams laid from the high end do not shift with it",
    "width-tol-all-seams": "seams laid from the low end shift with the width as well",
    "high-end-still": "the high end never shifts",
    "ends-creep": "the far end creeps as one more seam would",
    "x-tol-ignored": "every position is exact",
    "x-tol-for-pipes": "only the positions of pipes are off",
    "x-tol-adds": "a penetration's x_tol adds to the general one",
    "nearest-seam-only": "only the nearest seam or end can shift into a penetration",
    "worst-curb-ignored": "curbs go by the nominal flank",
    "cut-by-worst": "seams that may shift into a curb count as cut",
    "covers-one-min-end": "every cover has the min_end of the first",
    "covers-last-first": "of layouts alike the later cover comes first",
    "covers-apart": "each cover has a list of its own, one after the other",
    "covers-cheapest-only": "only the best layout of each cover is looked at",
    "covers-no-start-ends": "one cover without a legal start leaves no layout at all",
}
