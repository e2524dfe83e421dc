"""The shape of [rates]: what the estimator charges."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from solver.case_file.defaults import CREW_HOUR, PLUMBER_HOUR, RATES
from solver.case_file.entries_limits import Entry
from solver.case_file.entry_values import MaybeMoney


class RateEntry(Entry):
    """What one occurrence costs."""

    hours: MaybeMoney = Field(default=None, description="Person-hours of one occurrence.")
    material: MaybeMoney = Field(
        default=None, description="Material of one occurrence, in currency units."
    )


def _rate(name: str, charged: str) -> Any:
    hours, material = RATES[name]
    return Field(
        default_factory=RateEntry,
        description=f"Charged {charged}. Default {hours} person-hours and {material} material.",
    )


class RatesEntry(Entry):
    """The estimator's own rates; those left out are guesses of ours."""

    crew_hour: MaybeMoney = Field(
        default=None,
        description=f"Price of a roofer's hour, in currency units. Default {CREW_HOUR}.",
    )
    plumber_hour: MaybeMoney = Field(
        default=None,
        description=f"Price of a plumber's hour, in currency units. Default {PLUMBER_HOUR}.",
    )
    tight: RateEntry = _rate("tight", "for each pipe whose base lacks its gap")
    crosses: RateEntry = _rate("crosses", "for each pipe whose base runs over a seam")
    on_seam: RateEntry = _rate("on_seam", "for each pipe whose hole meets a seam")
    seam_cut: RateEntry = _rate("seam_cut", "for each seam that a curb cuts")
    crowded: RateEntry = _rate("crowded", "for each curb too near a seam")
    move_planned: RateEntry = _rate("move_planned", "for each planned pipe moved")
    move_stubbed: RateEntry = _rate("move_stubbed", "for each stubbed pipe moved")
    odd_panel: RateEntry = _rate("odd_panel", "for each panel of other width")
    play: RateEntry = _rate(
        "play", "for each stretch between two control lines laid wider or narrower than the cover"
    )
    uneven: RateEntry = _rate(
        "uneven", "for each whole inch (25 mm) of unevenness beyond uneven_free"
    )
    misaligned: RateEntry = _rate("misaligned", "for each linked pair whose seams do not meet")
    off_centre: RateEntry = _rate(
        "off_centre", "for each centre where neither a pan nor a rib stands as asked"
    )
    unlanded: RateEntry = _rate(
        "unlanded", "for each wall of a ribbed curb on which no seam lands"
    )
    area: RateEntry = Field(
        default_factory=RateEntry,
        description="Charged for each square foot (tenth of a square metre) of sheets. Default: "
        "not charged, and sheets are no part of the ranking.",
    )
