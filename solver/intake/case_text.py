"""A draft as the text of a case file in which a comment explains each key.

Keys that have a usual value stand there too, behind a #, with that value: taking the # away changes
nothing until the value is changed. The usual values are those of `solver.case_file.defaults`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Final

from solver.case_file.defaults import CREW_HOUR, LENGTH_TEXTS, PLUMBER_HOUR, RATES
from solver.case_file.entries_limits import RulesEntry
from solver.case_file.resolve import rules
from solver.intake.drafts import Draft, PlaneDraft, Table, plain_number
from solver.units import Units, parse_length

_BARE: Final = re.compile(r"-?(?:0|[1-9]\d*)(?:\.\d+)?", re.ASCII)
_LENGTHS: Final = ("x", "y", "outside", "base", "across", "along")
_PENETRATION_KEYS: Final = (
    "id", "plane", "kind", "x", "y", "outside", "base", "across", "along", "nominal", "use",
    "status", "hold",
)
_COLUMN: Final = 30
_HEAD: Final = (
    "Facing a plane from outside and looking up its slope, x runs from its left end along the",
    "eave, y from the eave up the slope. A bare number is in `units`; a text may say its own, as",
    'in "11 1/2", "28\' 11 1/2\\"", "8.5 ft", "350 mm". What stands behind a # is the usual value',
    "(common practice; the panel maker's written details and the local code come first).",
)
_PANEL: Final = (
    ("seam_half", "what a seam takes of the flat on either side"),
)
_RULES: Final = (
    ("work_gap", "clear flat between a flashing's base and a seam"),
    ("hole_gap", "nearer than that to the pipe itself, the pan is spliced"),
    ("seamer_gap", "what the seaming machine needs beside a pipe; ask its maker"),
    ("end_lap", "what turn-up, closure and trim take at an end"),
    ("curb_side", "flat between a curb and the next seam"),
    ("edge_gap", "least distance of a moved pipe from an end"),
    ("spacing", "clear distance of a moved pipe from others"),
    ("flange", "what a flashing adds to a pipe on each side"),
)
_MOVES: Final = (
    ("step", "pipes move by whole steps"),
    ("reach", "how far a pipe that is not fixed may move either way"),
    ("min_offset", "least move of a pipe that is roughed in"),
)
_OF_PENETRATION: Final = {
    "id": "what the drawings call it",
    "kind": '"pipe" or "curb"',
    "x": "its centre, from the plane's left end",
    "y": "its centre, up the slope from the eave",
    "outside": "outside diameter of the pipe",
    "base": "width of its flashing's base",
    "across": "width along the eave",
    "along": "length up the slope",
    "nominal": "nominal size",
    "use": "what it serves",
    "status": "fixed, stubbed (roughed in) or planned (only drawn)",
    "hold": "why it stays where it is",
}


def case_text(draft: Draft) -> str:
    """The case file. Every length and text of the draft must be one that a case takes."""
    return "\n".join([*_lines(draft), ""])


def penetrations_text(tables: tuple[Table, ...]) -> str:
    """[[penetration]] tables as they are put at the end of a case; keys are explained once."""
    explained: set[str] = set()
    return "\n".join(line for table in tables for line in _penetration(table, explained))


def quoted(text: str) -> str:
    """A text in quotes; those of JSON are read alike, but for the one sign TOML wants escaped."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def length_value(text: str) -> str:
    """A length: bare where it is a plain number, else a text in quotes."""
    return text if _BARE.fullmatch(text) and len(text) < 20 else quoted(text)


def comment(text: str) -> str:
    """A comment on one line, whatever it says."""
    return "# " + "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode() for char in text
    )


def _lines(draft: Draft) -> Iterator[str]:
    units = draft.units
    for note in (*draft.notes, *_HEAD):
        yield comment(note)
    yield _said(f"title = {quoted(draft.title)}", "what reports call the roof")
    yield _said(f'units = "{units}"', 'unit of bare numbers: "in" or "mm"')
    yield _said('setting = "new"', 'or "reroof": then nothing can be moved')
    yield _usual("mark", units, "the finest mark the crew works to")
    yield ""
    yield "[panel]"
    guess = "A GUESS: put your panel's cover here; " if draft.cover_guessed else ""
    yield _said(f"cover = {length_value(draft.cover)}",
                f"{guess}width of a full panel, seam centre to seam centre")
    for key, what in _PANEL:
        yield _usual(key, units, what)
    yield ""
    yield "[rules]"
    least = rules(RulesEntry(), parse_length(draft.cover, units), units).min_end
    yield _said(f"# min_end = {plain_number(least, units)}",
                "least width of the first and the last panel")
    for key, what in _RULES:
        yield _usual(key, units, what)
    yield ""
    yield "[moves]"
    for key, what in _MOVES:
        yield _usual(key, units, what)
    yield ""
    yield _said("[rates]", "guesses: put your own here, the ranking hangs on them")
    yield _said(f"# crew_hour = {CREW_HOUR}", "price of a roofer's hour")
    yield _said(f"# plumber_hour = {PLUMBER_HOUR}", "price of a plumber's hour")
    for name, what in (
        ("tight", "a pipe whose flashing lacks its gap"),
        ("crosses", "a pipe whose flashing runs over a seam"),
        ("on_seam", "a pipe on a seam: splice and flash by hand"),
        ("move_planned", "moving a pipe that is only drawn"),
        ("move_stubbed", "moving a pipe that is roughed in"),
    ):
        hours, material = RATES[name]
        yield _said(f"# {name} = {{ hours = {hours}, material = {material} }}", what)
    for number, plane in enumerate(draft.planes):
        yield from _plane(plane, explain=not number)
    explained: set[str] = set()
    for table in draft.penetrations:
        yield from _penetration(table, explained)


def _plane(plane: PlaneDraft, *, explain: bool) -> Iterator[str]:
    def said(text: str, what: str) -> str:
        return _said(text, what) if explain else text

    yield ""
    if plane.note:
        yield comment(plane.note)
    yield "[[plane]]"
    yield said(f"id = {quoted(plane.id)}", "what reports call the plane")
    if plane.outline:
        yield said("outline = [", 'corners in turn; , edge = "hip" says what the next edge is')
        yield from (f"  {_point(point)}," for point in plane.outline)
        yield "]"
    else:
        yield said(f"width = {length_value(plane.width)}", "along the eave")
        yield said(f"length = {length_value(plane.length)}",
                   "up the slope" if plane.in_plan else "up the slope, measured on the slope")
    if plane.pitch:
        yield said(f"pitch = {quoted(plane.pitch)}", "rise and run, or degrees")
    elif explain:
        yield _said('# pitch = "4:12"', "rise and run, or degrees, where you know it")
    if plane.in_plan:
        yield said("in_plan = true", "lengths up the slope are measured in plan")
    if explain:
        yield _said('lay = "left-to-right"', 'or "right-to-left": where laying starts')
        yield _said('# low_end = "left end"', 'name of the end at x = 0, such as "west gable"')
        yield _said('# high_end = "right end"', "name of the other end")
    for hole in plane.holes:
        yield "[[plane.hole]]"
        yield f"outline = [{', '.join(map(_point, hole))}]"


def _point(point: tuple[str, str]) -> str:
    x, y = map(length_value, point)
    return f"{{ x = {x}, y = {y} }}"


def _penetration(table: Table, explained: set[str]) -> Iterator[str]:
    yield ""
    yield "[[penetration]]"
    for key in _PENETRATION_KEYS:
        if key not in table:
            continue
        value = length_value(table[key]) if key in _LENGTHS else quoted(table[key])
        text = f"{key} = {value}"
        if key in _OF_PENETRATION and key not in explained:
            explained.add(key)
            yield _said(text, _OF_PENETRATION[key])
        else:
            yield text


def _usual(key: str, units: Units, what: str) -> str:
    return _said(f'# {key} = "{LENGTH_TEXTS[key][units == "mm"]}"', what)


def _said(text: str, what: str) -> str:
    return f"{text.ljust(_COLUMN - 1)} # {what}"
