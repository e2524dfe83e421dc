"""The wrong readings that can be planted in oracle_odd, and its order of layouts by name.

They are noticed over `strategies_odd.random_case_odd`.
"""

from __future__ import annotations

# The order of layouts before the decisions themselves.
ODD_LEVELS = (
    "total", "on-seam", "seams_cut", "crosses", "tight", "crowded", "moved", "links_missed",
    "odd_panels", "uneven", "altered", "shortfall", "distance", "narrowest", "odd_widths",
    "odd_distance", "odd_start", "changes",
)  # fmt: skip

# name -> the wrong reading it plants
ODD_FAULTS: dict[str, str] = {
    "odd-may-be-first": "the first panel may be an odd one, narrower than the end rule allows",
    "odd-may-be-last": "the last panel may be an odd one, narrower than the end rule allows",
    "odd-not-second": "an odd panel keeps off the first panel",
    "odd-not-beside-last": "an odd panel keeps off the last panel",
    "odd-not-neighbours": "two odd panels may not be neighbours",
    "odd-widest-left-out": "an odd width ends two marks below the cover, not one",
    "odd-min-strict": "an odd width of exactly odd_min is too narrow",
    "odd-min-bounds-list": "odd_min counts for the given odd_widths too",
    "odd-needs-min-end": "an odd panel must be as wide as an end",
    "odd-one-too-few": "one odd panel fewer than allowed",
    "odd-per-roof": "odd_panels counts for the whole roof",
    "odd-per-run": "laid from a line, each run may have odd_panels",
    "odd-not-beside-line": "laid from a line, no odd panel stands at the line",
    "odd-free": "an odd panel costs nothing",
    "seams-not-shifted": "only the far edge of an odd panel moves, not the seams behind it",
    "room-by-plain-grid": "rooms count the seams as they would stand with nothing odd or altered",
    "stretches-from-first": "the first panel counts in the first stretch",
    "odd-takes-change": "an odd panel is laid wider or narrower along with its stretch",
    "lays-on": "full panels are laid on while one of them ends on the plane",
    "play-free": "a change of module costs nothing",
    "play-per-panel": "a change of module is paid for every full panel",
    "play-strict": "a change of exactly the play is not allowed",
    "play-wider-only": "panels are only spread",
    "play-for-all": "one change of module holds for all stretches of a plane",
    "odd-widths-narrow-first": "of two layouts alike the one with narrower odd panels comes first",
    "odd-distance-drawn": "odd panels keep off the place where a penetration was drawn",
    "odd-distance-no-ends": "odd panels need not keep off the ends of the plane",
    "odd-distance-own-plane": "each plane keeps its own odd panels off its penetrations",
    "odd-start-low-end": "odd panels near the low end come first, wherever laying starts",
    "changes-before-first": "the last ties compare changes of module before first widths",
    "changes-wider-first": "of layouts alike the one with the wider module comes first",
    "line-one-way": "laid from a line, every seam has its back on the low side",
    "line-seam-one-sided": "the line's own seam has a back and a front",
    "line-creeps": "the line's own seam is off by as much as a panel's",
    "line-high-run-shifts": "seams of the high run shift with the width of the plane",
    "line-links-by-low-seam": "a plane laid from a line is linked by its lowest seam",
    "links-by-last-seam": "linked planes are judged by the last seam laid",
    "creep-skips-odd": "an odd panel does not creep",
    "window-odd-falls-off": "a window runs on where an odd panel would be the last",
    "window-plain": "a window counts the seams with nothing odd or altered",
    "window-idle-change": "a window runs on where a changed stretch has no full panel",
    "blind-uses-odd": "the blind start knows odd panels and play",
    "drawn-plain": "as drawn has no odd panels and no play",
    "strays-at-start": "strays only looks at the seam that is laid first",
    "strays-one-way": "strays maps the seams of the first plane only",
    "strays-not-continued": "strays measures to the seams that are there",
    "strays-half-mod-cover": "strays of a staggered link asks for meeting seams",
    "without-altered": "stretches altered do not break ties",
    "without-odd_widths": "wider odd panels do not come first",
    "without-odd_distance": "the distance of odd panels from penetrations and ends breaks no ties",
    "without-odd_start": "odd panels nearer the start do not come first",
    "without-changes": "the size of the changes of module breaks no ties",
}
