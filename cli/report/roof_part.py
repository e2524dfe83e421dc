"""What a plane's shape and pattern come to: its edges and holes, its pitch, its centres."""

from __future__ import annotations

from cli.report.lines import Line, clean, shorten, wrap
from cli.report.words import LONGEST_NAME, Lengths
from solver.case import Case, Plane
from solver.findings.of_roof import EDGE_WORDS
from solver.findings.of_roof_answer import centre_words
from solver.result import Judged
from solver.shape.edges import edges_of


def shape_lines(case: Case, plane: Plane) -> list[Line]:
    """Pitch, and true lengths of the edges of each kind; nothing for a plain rectangle."""
    parts = []
    if plane.pitch is not None:
        parts.append(f"pitch {shorten(clean(plane.pitch.text), LONGEST_NAME)}")
    if plane.outline is not None:
        lengths = Lengths(case)
        totals: dict[str, float] = {}
        for edge in edges_of(plane):
            name = EDGE_WORDS[edge.kind]
            if edge.hole:
                name += f" of the {shorten(clean(edge.hole), LONGEST_NAME)}"
            totals[name] = totals.get(name, 0) + edge.length
        edges = ", ".join(f"{name} {lengths.place(round(size))}" for name, size in totals.items())
        parts.append(f"edges on the slope: {edges}")
    if not parts:
        return []
    says = "; ".join(parts)
    return wrap(f"{says[0].upper()}{says[1:]}.", first="  ", rest="    ")


def centre_lines(case: Case, judged: Judged, plane: Plane) -> list[Line]:
    """For each place of a plane where a pan or a rib was asked for, what stands there."""
    lines: list[Line] = []
    for asked, centre in zip(case.centres, judged.centres, strict=True):
        if centre.plane == plane.id:
            says = clean(centre_words(case, plane, asked, centre))
            lines += wrap(f"{says[0].upper()}{says[1:]}.", first="  ", rest="    ",
                          style="good" if centre.hit else "warn")
    return lines
