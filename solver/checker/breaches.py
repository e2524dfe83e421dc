"""Which rules a layout breaks, each in a sentence that says what would be right.

The legality half of the independent checker: it works from the case and from what the checker has
judged, in exact integers, and shares nothing with the search. A name ending in `2` counts half
ticks, one ending in `4` is the square of such a number.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from math import isqrt

from solver.case import Case, Keepout, Penetration, Plane
from solver.checker.breach_words import Words, words_of
from solver.checker.breaches_pieces import Pieces, of_pieces
from solver.checker.breaches_planes import Broken, of_changes, of_odds, of_plane
from solver.checker.centres import of_centres
from solver.checker.laying import Laid
from solver.checker.leaning import of_lean
from solver.layout import Layout
from solver.result import Breach, JudgedCentre, JudgedLink, JudgedPenetration, JudgedPlane

_IN_WORDS = {
    "clear": "is clear",
    "tight": "is tight in its pan",
    "crosses": "crosses a seam with its flashing",
    "on-seam": "is on a seam",
    "crowded": "is crowded by a seam",
    "spans": "spans a seam",
}


def breaches(
    case: Case,
    layout: Layout,
    laid: tuple[Laid, ...],
    pieces: tuple[Pieces, ...],
    planes: tuple[JudgedPlane, ...],
    links: tuple[JudgedLink, ...],
    misses2: tuple[int, ...],
    penetrations: tuple[JudgedPenetration, ...],
    ends: tuple[tuple[int, int], ...],
    centres: tuple[JudgedCentre, ...],
) -> tuple[Breach, ...]:
    """Every rule the layout breaks: planes first, then penetrations, pairs, links, centres.

    `misses2` says by how much the seams of each link miss what it asks, in half ticks; `pieces` has
    those of every plane, `ends` where the roof ends beside every penetration (ticks).
    """
    words = words_of(case)
    found: list[Breach] = []
    for i, (plane, judged) in enumerate(zip(case.planes, planes, strict=True)):
        first = judged.first if plane.lay == "from" else layout.firsts[i]
        agreed = dict(case.freeze.firsts).get(plane.id, first)
        if agreed != first:
            says = (
                f"The first width of plane {plane.id} is {words.near(first)}: "
                f"{words.near(agreed)} is agreed and frozen."
            )
            found.append(Breach("frozen", (plane.id,), says))
        odds = [(odd.panel, odd.width) for odd in layout.odds if odd.plane == i]
        changes = [(c.stretch, c.ticks) for c in layout.changes if c.plane == i and c.ticks]
        broken = [
            *of_plane(case, words, plane, judged, first),
            *(of_pieces(case, words, plane, laid[i], pieces[i]) if pieces[i] else ()),
            *of_odds(case, words, plane, laid[i], odds),
            *of_changes(case, plane, laid[i], changes),
            *of_lean(case, words, plane, laid[i]),
        ]
        found += (Breach(code, (plane.id,), says) for code, says in broken)
    on = {plane.id: plane for plane in case.planes}
    for pen, stands, beside in zip(case.penetrations, penetrations, ends, strict=True):
        found += (
            Breach(code, (pen.id,), says)
            for code, says in _of_penetration(case, words, pen, on[pen.plane], stands, beside)
        )
    for plane in case.planes:
        found += _of_pairs(case, words, plane, penetrations)
    for link, miss2 in zip(links, misses2, strict=True):
        if link.must and not link.meet:
            says = (
                f"The seams of planes {' and '.join(link.planes)} must line up as their link asks, "
                f"within {words.down(2 * case.rules.meet_tol)}, but miss by {words.up(miss2)}."
            )
            found.append(Breach("must-link", link.planes, says))
    found += of_centres(case, words, centres)
    return tuple(found)


def _of_penetration(
    case: Case,
    words: Words,
    pen: Penetration,
    plane: Plane,
    stands: JudgedPenetration,
    ends: tuple[int, int],
) -> Iterator[Broken]:
    if stands.moved:
        if stays := _why_it_stays(case, pen):
            yield "cannot-move", f"{pen.id} cannot move: {stays}."
        else:
            yield from _of_distance(case, words, pen, plane, stands.moved)
        if pen.kind == "pipe":
            yield from _of_new_place(case, words, pen, plane, stands, ends)
    agreed = dict(case.freeze.moves).get(pen.id, stands.moved)
    if agreed != stands.moved:
        yield "frozen", (
            f"{pen.id} is moved by {words.signed(stands.moved)}: a move of "
            f"{words.signed(agreed)} is agreed and frozen."
        )
    if stands.state in pen.forbid:
        yield "forbidden", f"{pen.id} {_IN_WORDS[stands.state]}, which the case forbids for it."
    if pen.must_land and stands.landed is not None and not all(stands.landed):
        low, high = stands.landed
        where = "at either wall" if low == high else (
            f"at its wall at {words.place((2 * pen.x + (pen.across if low else -pen.across)) // 2)}"
        )
        yield "must-land", (
            f"{pen.id} must have a seam at both of its walls, within "
            f"{words.down(2 * case.rules.land_tol)}: there is none {where}."
        )


def _why_it_stays(case: Case, pen: Penetration) -> str:
    if pen.kind == "curb":
        return "a curb stays where it is"
    if pen.status == "fixed":
        if pen.hold:
            return f"it is held ({pen.hold})"
        if case.setting == "reroof":
            return "in a re-roof everything is fixed"
        return "it is fixed, through the roof already"
    return "" if pen.reach_low or pen.reach_high else "its reach is 0 either way"


def _of_distance(
    case: Case, words: Words, pen: Penetration, plane: Plane, move: int
) -> Iterator[Broken]:
    size = abs(move)
    if size % case.step:
        yield "whole-steps", (
            f"{pen.id} is moved by about {words.near(size)}: a move is a whole number of steps of "
            f"{words.near(case.step)}."
        )
    reach, end = (
        (pen.reach_high, plane.high_end) if move > 0 else (pen.reach_low, plane.low_end)
    )
    if size > reach:
        yield "beyond-reach", (
            f"{pen.id} is moved by {words.up(2 * size)} towards the {end}: it reaches at most "
            f"{words.down(2 * reach)} that way."
        )
    if pen.status == "stubbed" and size < pen.min_offset:
        yield "below-offset", (
            f"{pen.id} is stubbed in and moved by {words.down(2 * size)}: fittings offset it by at "
            f"least {words.up(2 * pen.min_offset)}, or it stays."
        )
    if pen.makeable is not None and not any(a <= size <= b for a, b in pen.makeable):
        spans = " or ".join(
            f"{words.up(2 * least)} to {words.down(2 * most)}" for least, most in pen.makeable
        )
        yield "no-fitting", (
            f"{pen.id} is moved by about {words.near(size)}: two equal fittings of nominal size "
            f"{pen.nominal} can offset it by {spans or 'nothing in its headroom'}."
        )


def _of_new_place(
    case: Case,
    words: Words,
    pen: Penetration,
    plane: Plane,
    stands: JudgedPenetration,
    ends: tuple[int, int],
) -> Iterator[Broken]:
    """What a moved pipe breaks where it comes to stand; the distance to others is `_of_pairs`."""
    x = stands.x
    least2 = pen.outside + 2 * case.rules.edge_gap
    for end, gap in ((plane.low_end, x - ends[0]), (plane.high_end, ends[1] - x)):
        if 2 * gap < least2:
            what = end if plane.outline is None else f"end of the roof towards the {end}"
            yield "near-edge", (
                f"{pen.id} would stand {words.down(2 * gap)} from the {what}, centre to end: a "
                f"moved pipe keeps at least {words.up(least2)}."
            )
    for keepout in plane.keepouts:
        if _covers(keepout, pen, x):
            yield "in-keepout", (
                f"{pen.id} would reach into the {keepout.what or 'keep-out'} from "
                f"{words.place(keepout.x_from)} to {words.place(keepout.x_to)}, its centre at "
                f"{words.place(x)}: a moved pipe, {words.near(pen.outside)} through, stays off it."
            )
    room2 = stands.worst_room2 if case.rules.robust else stands.room2
    if stands.state != "clear" and room2 is not None and stands.needed2 is not None:
        yield "not-clear", (
            f"{pen.id} would not be clear after its move (it {_IN_WORDS[stands.state]}), with "
            f"{words.down(room2)} of room: a moved pipe must end clear, with at least "
            f"{words.up(stands.needed2)}."
        )


def _covers(keepout: Keepout, pen: Penetration, x: int) -> bool:
    """Whether a disc at `x` reaches into a keep-out; touching it is allowed."""
    across = max(keepout.x_from - x, x - keepout.x_to, 0)
    up = 0
    if keepout.y_from is not None and keepout.y_to is not None:
        up = max(keepout.y_from - pen.y, pen.y - keepout.y_to, 0)
    return 4 * (across * across + up * up) < pen.outside * pen.outside


def _of_pairs(
    case: Case, words: Words, plane: Plane, penetrations: tuple[JudgedPenetration, ...]
) -> Iterator[Breach]:
    """Pairs nearer than `spacing` of which at least one moved, each pair once.

    Sorted by x, so that only those are looked at which the distance along the eave alone does not
    keep far enough apart.
    """
    at = sorted((penetrations[i].x, i) for i in case.on(plane.id))
    widest = max((_width(case.penetrations[i]) for _, i in at), default=0)
    for i in sorted(i for _, i in at if penetrations[i].moved):
        x = penetrations[i].x
        window = (_width(case.penetrations[i]) + widest) // 2 + case.rules.spacing + 1
        start = bisect_left(at, (x - window, -1))
        stop = bisect_right(at, (x + window, len(penetrations)))
        for j in sorted(j for _, j in at[start:stop]):
            if j == i or (penetrations[j].moved and j < i):
                continue
            ids = (case.penetrations[i].id, case.penetrations[j].id)
            if says := _of_pair(case, words, i, j, penetrations):
                yield Breach("near-pair", ids, says)


def _of_pair(
    case: Case, words: Words, i: int, j: int, penetrations: tuple[JudgedPenetration, ...]
) -> str:
    one, other = case.penetrations[i], case.penetrations[j]
    radii2 = sum(pen.outside for pen in (one, other) if pen.kind == "pipe")
    spacing2 = 2 * case.rules.spacing
    asked4 = (radii2 + spacing2) ** 2
    now4 = _apart4(one, other, penetrations[i].x, penetrations[j].x)
    drawn4 = _apart4(one, other, one.x, other.x)
    if now4 >= min(asked4, drawn4):
        return ""
    now2 = isqrt(now4) - radii2
    head = f"{one.id} would stand {_gap(words.down(now2), now2)} {other.id}, body to body"
    if drawn4 >= asked4:
        return f"{head}: at least {words.up(spacing2)} must stay between them."
    drawn2 = isqrt(drawn4 - 1) + 1 - radii2  # rounded up
    return (
        f"{head}; the case has it {_gap(words.up(drawn2), drawn2)} it, and where that is less "
        f"than {words.up(spacing2)} a move may not bring the two nearer."
    )


def _gap(shown: str, gap2: int) -> str:
    return f"{shown} from" if gap2 >= 0 else f"{shown.removeprefix('-')} into"


def _width(pen: Penetration) -> int:
    return pen.outside if pen.kind == "pipe" else pen.across


def _apart4(one: Penetration, other: Penetration, one_x: int, other_x: int) -> int:
    """Square of the distance on the slope, in half ticks, a pipe taken as its centre.

    A curb is its rectangle, so a centre inside one is at 0. The pipes' radii go on the limit and
    not off the distance: only so does the comparison stay in whole numbers.
    """
    across = sum(pen.across for pen in (one, other) if pen.kind == "curb")
    along = sum(pen.along for pen in (one, other) if pen.kind == "curb")
    dx2 = max(0, 2 * abs(one_x - other_x) - across)
    dy2 = max(0, 2 * abs(one.y - other.y) - along)
    return dx2 * dx2 + dy2 * dy2
