"""The wrong readings that can be planted in oracle_outline: name -> what is wrong.

They are noticed over `strategies_outline.random_roof`.
"""

from __future__ import annotations

OUTLINE_FAULTS: dict[str, str] = {
    # pieces
    "piece-strict": "a piece of exactly min_piece is too narrow",
    "length-strict": "a piece of exactly min_length is too short",
    "end-strict": "a piece of exactly min_end at a rake or wall is too narrow",
    "pieces-ignored": "pieces may be as narrow and as short as they come out",
    "lengths-ignored": "pieces may be as short as they come out",
    "holes-ignored": "holes are roofed over",
    "strip-not-piece": "all that a panel covers is judged as if it were one piece",
    "touch-joins": "parts of a panel that touch in a point are one piece",
    "plain-end-rule": "the first and the last panel need min_end at hips and valleys too",
    "end-rule-rakes-only": "walls ask for no end rule",
    "end-rule-outer-only": "rakes in the middle and the walls of holes ask for no end rule",
    "end-rule-all-kinds": "upright edges of every kind ask for the end rule",
    "end-rule-sloping": "rakes and walls that slope ask for the end rule as well",
    "end-rule-by-panel": "the end rule looks at the panel's width, not at the piece's",
    "single-judged": "pieces of a plane that is a single panel must obey the rules",
    "sliver-ends": "a first or last panel may be under a mark",
    # where the roof ends beside a penetration
    "ends-of-extent": "the roof ends at 0 and at its width at every height",
    "room-of-extent": "rooms go to 0 and the width, only moves mind the slopes",
    "edge-gap-of-extent": "moves keep off 0 and the width only, not off the slopes",
    # centres
    "centre-strict": "a miss of exactly the tolerance is a miss",
    "centre-ends-left-out": "the first and the last panel have no middle",
    "centre-rib-for-pan": "a rib is asked for wherever a pan is",
    "centre-must-ignored": "a must centre is only a cost",
    "centre-free": "missed centres cost nothing",
    "centre-once": "missed centres are counted once a plane",
    "centre-after-odd": "missed centres break ties after odd panels",
    # curbs as built
    "land-strict": "a seam at exactly land_tol has not landed",
    "land-inside-only": "a seam must land on the wall or inside of it",
    "landed-cuts": "a landed seam is cut where its side reaches the wall",
    "landed-crowds": "a landed seam is a flank",
    "land-all-curbs": "every curb is ribbed",
    "land-none": "ribbed curbs are as flange curbs",
    "must-land-ignored": "a wall without its seam is only a cost",
    "unlanded-once": "a curb with two walls without a seam counts once",
    "unlanded-free": "walls without a seam cost nothing",
    "close-crowds": "a close curb is crowded as a flange curb is",
    "close-enough": "a close curb falls short as a flange curb does",
    "close-below-nothing": "a worst shift beyond the wall makes up for the other flank",
    "close-nearest-only": "the shortfall of a close curb is its least flank",
    "close-unshifted": "the flanks of a close curb's shortfall are nominal in a robust case too",
    # stock
    "stock-ignored": "stock is not counted",
    "stock-free": "stock costs nothing",
    "stock-down": "a begun square foot of stock is dropped",
    "stock-per-roof": "stock is rounded up once for the whole roof",
    "stock-finished": "a sheet is as wide as the cover",
    "stock-own-width": "a ripped sheet takes only its own width",
    "stock-never-shared": "the first and the last panel take a sheet each",
    "stock-shared-bare": "a shared sheet needs no room for turn-ups",
    "stock-shared-once": "a shared sheet needs one turn-up",
    "stock-shared-first": "a shared sheet is as long as the first panel",
    "stock-plane-long": "every sheet is as long as the plane",
    "stock-outline-only": "stock of a plain rectangle is left out",
    # beside the list
    "blind-no-centres": "the blind start leaves missed centres out",
    "blind-no-landing": "the blind start leaves walls without a seam out",
    "blind-no-stock": "the blind start leaves stock out",
    "window-centres": "a window ends where a centre is missed or hit",
    "window-landing": "a window runs on where another number of walls have a seam",
    "window-over-gap": "windows run on over first widths that are not legal",
    "usual-shares": "the usual layout shares half the rest even below min_end",
    "usual-narrower": "of two equally near first widths the usual takes the narrower",
    "counts-of-nine": "the list compares neither centres, landing nor stock",
}
