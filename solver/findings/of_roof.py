"""What the reader must know of a roof's shape and its curbs before any layout is chosen.

Distances are on the slope, as drawn, from body to edge, and exact.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from solver.case import Case, Penetration, Plane
from solver.case_parts import EdgeKind
from solver.findings.link_rings import ring_findings
from solver.result import Finding
from solver.shape.distance import (
    body_box2,
    gap2,
    is_nearer,
    runs_through,
    square_to_edge,
)
from solver.shape.edges import Edge, distance2, edges_of, holds
from solver.shape.shared import as_long, sides_of_one
from solver.units import TICKS_PER_MM, format_length

WIDE_CURB: Final = 600 * TICKS_PER_MM
"""Above this width water needs a cricket or diverter: NZ Metal Roof and Wall Cladding Code of
Practice, 8.3 (v2). The 30 in of the IBC (from memory) is wider, so this covers it."""
LOW_PITCH: Final = Fraction("0.176326980708464973471090386868")
"""The tangent of 10 degrees, cut off below so that 10 degrees is not less. Flatter than that a curb
of any width needs a cricket or diverter: the same clause."""
EDGE_WORDS: Final[dict[EdgeKind, str]] = {
    "eave": "eave", "ridge": "ridge", "rake": "gable edge (rake)", "hip": "hip",
    "valley": "valley", "wall": "wall",
}
"""The kinds of edge as a sentence has them."""


def roof_findings(case: Case) -> Iterator[Finding]:
    """Seams that cannot meet, setbacks, curbs off the roof, dead zones, crickets; in case order."""
    for apart in case.apart:
        one, other = apart.planes
        says = apart.says.strip().rstrip(".")
        yield Finding(
            "cannot-meet", "warning", apart.planes,
            f"The seams of {one} and {other} cannot meet along their {apart.along}: {says}.",
        )
    yield from ring_findings(case)
    yield from _unequal_sides(case)
    for plane in case.planes:
        here = [case.penetrations[i] for i in case.on(plane.id)]
        edges = edges_of(plane) if here else ()
        for pen in here:
            yield from _setbacks(case, plane, edges, pen)
            if pen.kind == "curb":
                yield from _off_roof(plane, edges, pen)
                yield from _cricket(plane, pen)
        yield from _dead_zones(case, here)


def _unequal_sides(case: Case) -> Iterator[Finding]:
    """Links and joints along an edge that is not equally long on both planes: not one edge."""
    planes = {plane.id: plane for plane in case.planes}
    said = [(link.planes, link.along) for link in case.links if link.along]
    said += [(apart.planes, apart.along) for apart in case.apart]
    for names, along in said:
        first, second = (edges_of(planes[name]) for name in names)
        pairs = sides_of_one(first, second, along)
        if not pairs or as_long(first[pairs[0][0]], second[pairs[0][1]]):
            continue
        here, there = (
            format_length(round(2 * edge.length), case.units, case.mark, feet=True)
            for edge in (first[pairs[0][0]], second[pairs[0][1]])
        )
        yield Finding(
            "unequal-sides", "warning", names,
            f"the {along} of {names[0]} and {names[1]} is {here} long on {names[0]} and {there} on "
            f"{names[1]}: two planes that meet along all of it have it equally long. Check their "
            "outlines and pitches; the take-off counts both.",
        )


def near_ends(case: Case, plane: Plane, pen: Penetration) -> Iterator[Finding]:
    """Where the roof ends beside a penetration, at its own y, nearer than the edge gap."""
    half2 = pen.outside + pen.across
    low, high = pen.ends or (0, plane.width)
    for end, distance in ((low, pen.x - low), (high, high - pen.x)):
        left2 = 2 * distance - half2
        if left2 < 2 * case.rules.edge_gap:
            gap = format_length(left2, case.units, case.mark, how="down")
            does = f"{_stands(pen)} {gap} from" if left2 >= 0 else "reaches over"
            yield Finding(
                "near-edge", "warning", (pen.id,),
                f"{pen.kind} {pen.id} {does} the "
                f"{_end_name(case, plane, pen, end, high=end == high)}, nearer than the edge gap "
                f"of {_show(case, case.rules.edge_gap)}.",
            )


def edge_name(case: Case, plane: Plane, edge: Edge) -> str:
    """ "valley", "wall of the dormer"; with its place where the plane has several such edges."""
    says = EDGE_WORDS[edge.kind] + (f" of the {edge.hole}" if edge.hole else "")
    alike = [one for one in edges_of(plane) if (one.kind, one.hole) == (edge.kind, edge.hole)]
    if len(alike) == 1:
        return says
    x0, x1 = sorted((edge.start[0], edge.end[0]))
    if x0 == x1:
        return f"{says} (at {_show(case, x0, feet=True)})"
    return f"{says} ({_show(case, x0, feet=True)} to {_show(case, x1, feet=True)} along the eave)"


def _stands(pen: Penetration) -> str:
    """What may be moved stands so on the drawing only."""
    return "as drawn stands" if pen.reach_low or pen.reach_high else "stands"


def _show(case: Case, ticks: int, *, feet: bool = False) -> str:
    return format_length(2 * ticks, case.units, case.mark, feet=feet)


def _end_name(case: Case, plane: Plane, pen: Penetration, end: int, *, high: bool) -> str:
    name = plane.high_end if high else plane.low_end
    if pen.ends is None:
        return name
    edge = min(edges_of(plane), key=lambda one: distance2(one, 2 * end, 2 * pen.y))
    if edge.start[0] == edge.end[0] == (plane.width if high else 0):
        return name
    return f"{edge_name(case, plane, edge)} towards the {name}"


def _setbacks(
    case: Case, plane: Plane, edges: Sequence[Edge], pen: Penetration
) -> Iterator[Finding]:
    for kind, least in case.rules.setbacks:
        near = [edge for edge in edges if edge.kind == kind and is_nearer(pen, edge, least)]
        if not near:
            continue
        edge = min(near, key=lambda one: square_to_edge(pen, one))
        left2 = gap2(pen, edge)
        gap = format_length(left2, case.units, case.mark, how="down")
        does = f"{_stands(pen)} {gap} from" if left2 > 0 else "meets"
        yield Finding(
            "setback", "warning", (pen.id,),
            f"{pen.kind} {pen.id} {does} the {edge_name(case, plane, edge)}, nearer than the "
            f"setback of {_show(case, least)} that the case asks for (its own figure: no "
            "published one was found).",
        )


def _off_roof(plane: Plane, edges: Sequence[Edge], pen: Penetration) -> Iterator[Finding]:
    through = next((edge for edge in edges if runs_through(edge, pen)), None)
    if through is None and holds(plane, pen.x, pen.y):
        return
    says = f"leaves plane {plane.id}"
    if through is not None and through.hole:
        says = f"reaches into the {through.hole} of plane {plane.id}"
    elif through is not None:
        says = f"reaches over the {EDGE_WORDS[through.kind]} of plane {plane.id}"
    yield Finding(
        "curb-off-roof", "warning", (pen.id,),
        f"curb {pen.id} {says} as drawn: check its place and size; here it counts as if all of it "
        "stood on the roof.",
    )


def _cricket(plane: Plane, pen: Penetration) -> Iterator[Finding]:
    """For what is not wide enough to need one anyway."""
    if plane.pitch is not None and plane.pitch.rise < LOW_PITCH and pen.across <= WIDE_CURB:
        yield Finding(
            "cricket", "warning", (pen.id,),
            f"curb {pen.id} stands on a pitch of {plane.pitch.text}: below 10 degrees it needs a "
            "cricket or diverter, whatever its width.",
        )


def _dead_zones(case: Case, here: Sequence[Penetration]) -> Iterator[Finding]:
    """Pipes that reach into the rectangle above a curb; touching it is not reaching into it."""
    zone2 = 2 * case.rules.dead_zone
    pipes = sorted((pen for pen in here if pen.kind == "pipe"), key=lambda pen: pen.x)
    if not zone2 or not pipes:
        return
    places = [2 * pen.x for pen in pipes]
    widest = max(pen.outside for pen in pipes)
    for curb in here:
        if curb.kind != "curb":
            continue
        low, _, high, top = body_box2(curb)
        near = pipes[bisect_left(places, low - widest) : bisect_right(places, high + widest)]
        for pipe in near:
            dx = max(low - 2 * pipe.x, 2 * pipe.x - high, 0)
            dy = max(top - 2 * pipe.y, 2 * pipe.y - top - zone2, 0)
            if dx * dx + dy * dy < pipe.outside**2:
                yield Finding(
                    "dead-zone", "warning", (pipe.id, curb.id),
                    f"pipe {pipe.id} {_stands(pipe)} within {_show(case, case.rules.dead_zone)} "
                    f"above {curb.id}, where what a curb holds up of water and snow should find no "
                    "pipe (24 to 36 in, 600 to 900 mm, is common practice, no source).",
                )
