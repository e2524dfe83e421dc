"""What counts where a case says nothing: one table of lengths for each unit, one of rates.

The lengths are usual allowances of the trade (common practice, no source); a panel maker's written
details come first. The rates are our guesses, and every output says so while they are used.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from solver.units import Units, parse_length

LENGTH_TEXTS: Final[dict[str, tuple[str, str]]] = {
    "mark": ("1/16 in", "1 mm"),
    "seam_half": ("1/2 in", "12 mm"),
    "least_min_end": ("5 in", "125 mm"),
    "work_gap": ("1/2 in", "12 mm"),
    "hole_gap": ("3/8 in", "10 mm"),
    "seamer_gap": ("0 in", "0 mm"),
    "end_lap": ("4 in", "100 mm"),
    "curb_side": ("6 in", "150 mm"),
    "edge_gap": ("12 in", "300 mm"),
    "spacing": ("12 in", "300 mm"),
    "flange": ("2 1/2 in", "65 mm"),
    "enough": ("1 1/2 in", "40 mm"),
    "uneven_free": ("2 in", "50 mm"),
    "meet_tol": ("1/4 in", "6 mm"),
    "cover_tol": ("0 in", "0 mm"),
    "width_tol": ("0 in", "0 mm"),
    "x_tol": ("0 in", "0 mm"),
    "play": ("0 in", "0 mm"),
    "play_mark": ("1/64 in", "0.5 mm"),
    "min_piece": ("2 in", "50 mm"),
    "min_length": ("4 in", "100 mm"),
    "land_tol": ("1/8 in", "3 mm"),
    "dead_zone": ("24 in", "600 mm"),
    "split_below": ("16 in", "400 mm"),
    "centre_tol": ("1 in", "25 mm"),
    "male": ("1 1/4 in", "32 mm"),
    "female": ("1 1/2 in", "38 mm"),
    "turn_up": ("1 in", "25 mm"),
    "eave_hook": ("1 in", "25 mm"),
    "ridge_up": ("1 1/2 in", "40 mm"),
    "hip_up": ("1 1/2 in", "40 mm"),
    "valley_hook": ("1 in", "25 mm"),
    "wall_up": ("2 in", "50 mm"),
    "lap": ("6 in", "150 mm"),
    "clip_spacing": ("24 in", "600 mm"),
    "control": ("10 ft", "3 m"),
    "closing": ("12 ft", "3.6 m"),
    "hook": ("12 in", "300 mm"),
    "step": ("1/2 in", "10 mm"),
    "reach": ("12 in", "300 mm"),
    "min_offset": ("3 in", "75 mm"),
}
"""Each default length as a person writes it, for a case in inches and for one in millimetres."""

LENGTHS: Final[dict[Units, dict[str, int]]] = {
    "in": {name: parse_length(texts[0], "in") for name, texts in LENGTH_TEXTS.items()},
    "mm": {name: parse_length(texts[1], "mm") for name, texts in LENGTH_TEXTS.items()},
}
"""The same in ticks."""

REMEASURE: Final = 4
"""Panels laid between two returns to a control line (common practice, no source)."""

CREW_HOUR: Final = Decimal(95)
PLUMBER_HOUR: Final = Decimal(120)
RATES: Final[dict[str, tuple[Decimal, Decimal]]] = {
    "tight": (Decimal("0.5"), Decimal(0)),
    "crosses": (Decimal(2), Decimal(35)),
    "on_seam": (Decimal(5), Decimal(150)),
    "seam_cut": (Decimal("1.5"), Decimal(40)),
    "crowded": (Decimal(2), Decimal(60)),
    "move_planned": (Decimal("0.5"), Decimal(0)),
    "move_stubbed": (Decimal("1.5"), Decimal(45)),
    "odd_panel": (Decimal("1.5"), Decimal(60)),
    "play": (Decimal("0.25"), Decimal(0)),
    "uneven": (Decimal("0.25"), Decimal(0)),
    "misaligned": (Decimal(1), Decimal(0)),
    "off_centre": (Decimal("0.5"), Decimal(0)),
    "unlanded": (Decimal(2), Decimal(60)),
    "area": (Decimal(0), Decimal(0)),
}
"""Person-hours and material of one occurrence."""


def said(name: str) -> str:
    """The default of one length for a description: "1/2 in or 12 mm"."""
    return " or ".join(LENGTH_TEXTS[name])
