"""The frame of every plane's sheet; the script draws in it."""

from __future__ import annotations

from cli.page.look_part import key, legend
from cli.page.markup import esc, name, shown
from cli.report.words import Lengths, lay_words
from solver.case import Case, Plane

_ZOOMS = ((1, "Fit"), (2, "2 ×"), (4, "4 ×"), (8, "8 ×"))


def plane_sections(case: Case) -> list[str]:
    """One section a plane."""
    return [_section(case, number, plane) for number, plane in enumerate(case.planes)]


def _section(case: Case, number: int, plane: Plane) -> str:
    lengths = Lengths(case)
    pitch = "" if plane.pitch is None else f", pitch {esc(shown(plane.pitch.text))}"
    zooms = "".join(
        f'<button type="button" data-zoom="{times}" aria-pressed="{str(times == 1).lower()}">'
        f"{label}</button>" for times, label in _ZOOMS
    )
    title = esc(shown(plane.id))
    return (
        f'<section class="plane" id="plane-{number}" aria-labelledby="plane-{number}-h">'
        f'<h2 id="plane-{number}-h">Plane {name(plane.id)}</h2>'
        f'<p class="quiet">{esc(lengths.place(plane.width))} along the eave, '
        f"{esc(lengths.place(plane.length))} up the slope{pitch}; "
        f"{esc(lay_words(lengths, plane))}. "
        "Seen from outside, looking up the slope.</p>"
        '<p class="live" aria-live="off">'
        '<span>First panel <b data-live="first"></b> at the <bdi data-live="first-at"></bdi></span>'
        '<span>last panel <b data-live="last"></b> at the <bdi data-live="last-at"></bdi></span>'
        '<span data-live="panels"></span><span data-live="tops"></span>'
        '<span data-live="window"></span>'
        '<span data-live="links" dir="auto"></span></p>'
        '<p class="kept" hidden></p>'
        f'<div class="tools" role="group" aria-label="Size of the drawing of {title}">{zooms}</div>'
        f'<div class="drawing" data-plane="{number}" tabindex="0" role="group" '
        f'aria-label="Drawing of plane {title}"></div>'
        f"{key()}{_mapping(title)}"
        f'<div class="scroll pens" role="group" tabindex="0" '
        f'aria-label="Penetrations of plane {title}"></div>'
        '<details class="seam-list screen"><summary>Seams as a table</summary>'
        '<div class="scroll"></div></details></section>'
    )


def _mapping(title: str) -> str:
    return (
        f'<div class="mapping"><h3>Start map</h3>'
        '<p class="screen quiet">Each lane shows what every legal first panel does to one '
        "penetration. Drag the line, tap a lane, or use the arrow keys on the line; the band is "
        "how far off the start may be before any state changes.</p>"
        f"{legend()}"
        '<div class="tools"><button type="button" data-step="-1" aria-label="One legal first panel '
        f'narrower, plane {title}">&minus;</button><button type="button" data-step="1" '
        f'aria-label="One legal first panel wider, plane {title}">+</button></div>'
        f'<div class="map" role="group" aria-label="Start map of plane {title}"></div>'
        '<details class="map-list screen"><summary>Start map as a table</summary>'
        '<div class="scroll"></div></details></div>'
    )
