"""The seam table of a run: start, seams and far end, and what lies between them. Ticks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from solver.case import Case, Penetration, Plane
from solver.case_parts import Field
from solver.field.lean import ends_at, seams_at
from solver.field.parts import Ahead, PanelWidth, Row, RowKind
from solver.field.work import Laid, panels_of, seamer_notes, standing_notes, touched
from solver.findings.seam_order import from_line
from solver.result import Finding, JudgedPenetration, JudgedPlane


@dataclass(frozen=True, slots=True)
class Member:
    """A penetration of the plane and where it finally stands."""

    pen: Penetration
    stands: JudgedPenetration


def make_rows(
    case: Case, limits: Field, plane: Plane, ends: JudgedPlane, *, way: Literal[1, -1], start: int,
    far: int, datum: int, numbered: Sequence[tuple[int, int]], lines: Mapping[int, int],
    own: Sequence[Laid], members: Sequence[Member], closing: int | None,
) -> tuple[Row, ...]:
    """The rows of one run.

    `numbered`: distance of every seam's centre from the start, and its number, in the order of
    laying; `lines`: which of them (by place) are control lines. `own` are the panels of the run in
    the order of laying, `members` its penetrations.
    """
    both = from_line(case, plane)
    first = 0 if both else None
    inner: list[RowKind] = ["seam"] * len(numbered)
    kinds: list[RowKind] = ["start", *inner, "end"]
    centres = [0, *(centre for centre, _ in numbered), far]
    numbers: list[int | None] = [first, *(number for _, number in numbered), None]
    marks = [-datum, *(centre - limits.tape_mark - datum for centre, _ in numbered), far - datum]
    places = {centre: place for place, centre in enumerate(centres)}
    hung = _ahead(limits, plane, ends, members, way, start, places, numbers)
    notes = _notes(case, limits, plane, ends, way, start, places, own, members)
    widths = _widths(case, plane, ends, own)
    tops = _tops(limits, plane, ends, way, start, places)
    rows: list[Row] = []
    from_line_at, control = 0, None
    for place, kind in enumerate(kinds):
        gone = place if both else place - 1
        rows.append(Row(
            kind=kind, number=numbers[place], centre=centres[place], at=marks[place],
            back=marks[place] - from_line_at, control=control,
            line=lines.get(place - 1, 0) if kind == "seam" else 0,
            measure=kind == "seam" and gone > 0 and gone % case.rules.remeasure == 0,
            closing=kind == "seam" and numbers[place] == closing,
            top=tops[place] if tops else None,
            here=tuple(one for at, one in hung if at == place),
            next=next((one for at, one in hung if at >= place), None),
            lay=widths.get(place, ()), notes=tuple(notes.get(place, ())),
        ))
        if rows[-1].line:
            from_line_at, control = marks[place], numbers[place]
    return tuple(rows)


def _stand(
    plane: Plane, ends: JudgedPlane, way: int, start: int, places: Mapping[int, int], y: int
) -> list[int]:
    """How far the ends and the seams' centres of a run stand from its start `y` up the slope, in
    the order of the rows. `places`: the row of each distance at the eave."""
    low, high = ends_at(plane, y)
    at = [0] * len(places)
    if way * (high - start) > way * (low - start):
        at[-1], at[0] = way * (high - start), way * (low - start)
    else:
        at[-1], at[0] = way * (low - start), way * (high - start)
    if plane.lean is None:  # it begins at its start, which may be a line
        at[0] = 0
    for foot, seam in zip(ends.seams, seams_at(plane, ends.seams, y), strict=True):
        place = places.get(way * (foot - start))
        if place:
            at[place] = way * (seam - start)
    return at


def _tops(
    limits: Field, plane: Plane, ends: JudgedPlane, way: int, start: int, places: Mapping[int, int]
) -> list[int]:
    """What the tape reads at the ridge for every row; empty where that is as at the eave."""
    if plane.lean is None:
        return []
    at = _stand(plane, ends, way, start, places, plane.length)
    inner = [seam - limits.tape_mark - at[0] for seam in at[1:-1]]
    return [0, *inner, at[-1] - at[0]]


def _ahead(
    limits: Field, plane: Plane, ends: JudgedPlane, members: Sequence[Member], way: int,
    start: int, places: Mapping[int, int], numbers: Sequence[int | None],
) -> list[tuple[int, Ahead]]:
    """Every penetration with the row it lies behind, in the order the crew comes to them.

    A curb lies between the seams that it leaves whole. All is as it is at its own height.
    """
    found = []
    last = len(numbers) - 1
    for one in members:
        at = way * (one.stands.x - start)
        stand = _stand(plane, ends, way, start, places, one.pen.y)
        below = max((place for place in range(last) if stand[place] <= at), default=0)
        above = below + 1
        if one.pen.kind == "curb":
            near, behind = one.stands.seam_low, one.stands.seam_high
            if way == -1:
                near, behind = behind, near
            row = {distance: place for place, distance in enumerate(stand)}
            below = row.get(way * (near - start), 0) if near is not None else 0
            above = row.get(way * (behind - start), last) if behind is not None else last
        cut = tuple(n for n in numbers[below + 1 : above] if n is not None)
        past = at - stand[below] + (limits.tape_mark if below else 0)
        on = one.pen.kind == "pipe" and stand[below] == at and numbers[below] is not None
        found.append((at, below, Ahead(one.pen, one.stands, numbers[below], numbers[above], past,
                                       on, cut)))
    found.sort(key=lambda each: (each[1], each[0], each[2].pen.y, each[2].pen.id))
    return [(below, ahead) for _, below, ahead in found]


def _notes(
    case: Case, limits: Field, plane: Plane, ends: JudgedPlane, way: int, start: int,
    places: Mapping[int, int], own: Sequence[Laid], members: Sequence[Member],
) -> dict[int, list[Finding]]:
    """Order-of-work notes by the row that stands before the panel concerned.

    Panel number n of a run comes after row n - 1; a note on a seam stands at the seam.
    """
    found: dict[int, list[Finding]] = {}
    index = {one.number: place for place, one in enumerate(own)}
    for one in sorted(members, key=lambda one: (way * one.stands.x, one.pen.y, one.pen.id)):
        numbers = touched(panels_of(case, plane, ends, one.pen.y), one.pen, one.stands)
        at = min((index[number] for number in numbers if number in index), default=0)
        found.setdefault(at, []).extend(standing_notes(case, limits, one.pen, numbers))
        for seam, note in seamer_notes(case, plane, ends, one.pen, one.stands):
            place = places.get(way * (seam - start), 0)
            found.setdefault(place, []).append(note)
    return found


def _widths(
    case: Case, plane: Plane, ends: JudgedPlane, own: Sequence[Laid]
) -> dict[int, tuple[PanelWidth, ...]]:
    """What the crew must know of the panels that follow a row, by the row.

    The end panels of the plane, every odd panel, and full panels wherever their width changes.
    """
    odd = {one.panel for one in ends.odd}
    found: dict[int, tuple[PanelWidth, ...]] = {}
    now, last = case.panel.cover, len(own) - 1
    for place, one in enumerate(own):
        wide = one.high - one.low
        if place == last or (place == 0 and not from_line(case, plane)):
            top = None if ends.top is None else ends.top[place == last]
            found[place] = (PanelWidth(one.number, one.number, wide, "end", top),)
        elif one.number in odd:
            found[place] = (PanelWidth(one.number, one.number, wide, "odd"),)
        elif wide != now:
            stop = place
            while stop + 1 < last and own[stop + 1].number not in odd and (
                own[stop + 1].high - own[stop + 1].low == wide
            ):
                stop += 1
            found[place] = (PanelWidth(one.number, own[stop].number, wide, "full"),)
            now = wide
    return found
