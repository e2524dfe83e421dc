"""What the script keeps up to date for the whole roof: the layout chosen, its cost, its counts."""

from __future__ import annotations

from typing import Final

from cli.page.markup import esc
from cli.report.ranked_table import wanted_counts
from cli.report.words import money
from solver.result import COUNT_NAMES, Judged, Result

_PARTS: Final = (
    ("flashing", "Flashing"), ("moves", "Moves"), ("odd_panels", "Odd panels"),
    ("look", "Uneven ends, links and centres missed"), ("play", "Changes of module"),
    ("stock", "Sheets"),
)
_COUNTS: Final = {
    "on-seam": "pipes on a seam", "seams_cut": "seams cut by curbs",
    "crosses": "pipes that cross a seam", "tight": "pipes tight", "crowded": "curbs crowded",
    "moved": "pipes moved", "links_missed": "links missed", "off_centre": "centres missed",
    "unlanded": "walls without a seam", "odd_panels": "odd panels",
    "uneven": "units of uneven ends", "stock": "units of sheet stock",
}


def bar(result: Result) -> str:
    """Which layout is shown, what it costs now, and the way back to it as listed."""
    found = [
        (str(entry.rank), f"Layout {entry.rank}", entry.judged) for entry in result.layouts
    ]
    for name, title, judged in (
        ("usual", "Usual", result.usual), ("drawn", "As drawn", result.as_drawn),
    ):
        if judged is not None:
            found.append((name, title, judged))
    boxes = "".join(_choice(place, title, judged) for place, (_, title, judged) in enumerate(found))
    return (
        '<div class="bar" role="region" aria-label="Layout shown"><div>'
        f'<fieldset class="views"><legend>Layout shown</legend>{boxes}</fieldset>'
        '<span class="total"><small>extra cost</small> <output id="cost-total"></output></span>'
        '<span id="against" aria-live="polite"></span>'
        '<button id="back" type="button">Back to the list</button></div></div>'
    )


def _choice(place: int, title: str, judged: Judged) -> str:
    checked = " checked" if place == 0 else ""
    return (f'<label><input type="radio" name="view" value="{place}"{checked}>{esc(title)} '
            f"<small>{money(judged.cost.total)}</small></label>")


def cost_section(result: Result) -> str:
    """Parts of the cost, counts, and whether the rules are kept."""
    shown = [
        name for place, name in enumerate(COUNT_NAMES)
        if name in wanted_counts(result.case) or name not in ("off_centre", "unlanded", "stock")
        or any(entry.judged.counts[place] for entry in result.layouts)
    ]
    rules, case = result.case.rules, result.case
    may = {
        "odd_panels": bool(rules.odd_panels), "play": bool(rules.play),
        "stock": case.rates.each["area"].given,
    }
    parts = "".join(
        f'<dt>{esc(words)}</dt><dd id="cost-{name}"></dd>' for name, words in _PARTS
        if may.get(name, True)
    )
    rest = "".join(
        f'<span hidden id="cost-{name}"></span>' for name, _ in _PARTS if not may.get(name, True)
    )
    counts = "".join(
        f'<dt>{esc(_COUNTS[name])}</dt><dd id="count-{name}"></dd>' for name in shown
    )
    rest += "".join(
        f'<span hidden id="count-{name}"></span>' for name in COUNT_NAMES if name not in shown
    )
    return (
        '<section id="cost"><h2>What it costs</h2>'
        '<p class="quiet">Extra over the same roof with every penetration clear, in the '
        'case\'s own currency units. <span class="screen">Drag a start below, or take a move '
        "back: all of this follows.</span></p>"
        f'<div class="cost"><dl>{parts}</dl><dl class="two">{counts}</dl>{rest}</div>'
        '<p id="legal">Obeys the rules of the case.</p><div id="breaks" role="status" hidden></div>'
        '<p class="tools"><button id="moves-off" type="button">Take all moves back</button> '
        '<button id="moves-on" type="button">Make all listed moves</button> '
        '<button id="print" type="button">Print</button></p>'
        "<noscript><p>This page draws and prices with a script, which is switched off here. The "
        "lists below are complete without it.</p></noscript></section>"
    )
