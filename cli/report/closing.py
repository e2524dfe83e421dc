"""The lines that close every report: what it does say, and what it does not."""

from __future__ import annotations

from typing import Final

from cli.report.lines import Line, heading, wrap
from cli.report.words import joined
from solver.case import RATE_NAMES, Case
from solver.findings.of_case import guessed_rates

CAUTIONS: Final = (
    '"Proven" means best for these measurements, rules and rates; not that the measurements are '
    "right.",
    "Positions are as entered: tape them again before anything is cut.",
    '"Clear" means clear of seams. It does not mean watertight.',
    "The panel maker's written details, the local code and the licensed trades govern.",
    "No structural, fire, flue or venting check is made.",
    "Work on a roof calls for fall protection; every open hole is covered, fastened and marked.",
)
_ALL_RATES: Final = len(RATE_NAMES) + 1
_IN_WORDS: Final = {
    "crew_hour": "the crew's hour", "plumber_hour": "the plumber's hour",
    "on_seam": "a pipe on a seam", "crosses": "a pipe that crosses a seam",
    "tight": "a tight pipe", "seam_cut": "a seam cut", "crowded": "a crowded curb",
    "move_planned": "moving a planned pipe", "move_stubbed": "moving a stubbed pipe",
    "odd_panel": "an odd panel", "play": "a stretch of another module",
    "uneven": "uneven ends", "misaligned": "seams that miss a link",
    "off_centre": "a centre missed", "unlanded": "a wall without a seam",
}


def closing_lines(case: Case) -> list[Line]:
    """The cautions, and which rates are still guesses."""
    lines = [heading("BEFORE YOU BUILD FROM THIS")]
    for caution in (*CAUTIONS, *rates_words(case)):
        lines += wrap(caution, first="  - ", rest="    ")
    return lines


def rates_words(case: Case) -> list[str]:
    """Which rates are guesses; nothing where the case gives them all."""
    default = guessed_rates(case)
    if not default:
        return []
    if len(case.rates.default) >= _ALL_RATES and not case.rates.each["area"].given:
        return ["The rates are guesses, every one of them: put your own into the case before the "
                "money counts."]
    names = joined([_IN_WORDS.get(name, name) for name in default])
    return [f"These rates are guesses until the case gives them: {names}."]
