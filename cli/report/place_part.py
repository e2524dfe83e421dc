"""Where a late pipe could stand: the wanted place, and the clear stretches nearest to it."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.bent_part import bent_lines
from cli.report.closing import closing_lines
from cli.report.findings_part import findings_lines
from cli.report.grid import Column, table
from cli.report.lines import BLANK, Line, Span, clean, heading, wrap
from cli.report.obstacle import obstacle_words
from cli.report.pages import title_lines
from cli.report.words import (
    STATE_WORDS,
    Lengths,
    SeamNumbers,
    end_name,
    id_of,
    joined,
    lay_words,
    number_words,
)
from solver.case import Case, Plane
from solver.findings.seam_order import from_line
from solver.placing.stretches import Placed, Spot, margin_of
from solver.result import JudgedPlane


def place_page(placed: Placed, against: str) -> list[Line]:
    """The report of `offseam place`; `against` says which layout the seams are of."""
    case = placed.case
    lines = [*title_lines(case), BLANK, *_asked(placed, against), BLANK, *_wanted(placed), BLANK]
    lines += _stretches(placed)
    if placed.findings:
        lines += [BLANK, *findings_lines(placed.findings, placed.case.units)]
    return [*lines, BLANK, *closing_lines(case)]


def _plane(placed: Placed) -> tuple[Plane, JudgedPlane]:
    at = next(i for i, plane in enumerate(placed.case.planes) if plane.id == placed.wanted.plane)
    return placed.case.planes[at], placed.judged.planes[at]


def _asked(placed: Placed, against: str) -> Iterator[Line]:
    case, wanted = placed.case, placed.wanted
    lengths = Lengths(case)
    plane, ends = _plane(placed)
    yield heading(f"A NEW PIPE ON PLANE {id_of(plane.id)}")
    up = "" if wanted.y is None else f", {lengths.place(wanted.y)} up the slope"
    yield from wrap(
        f"{lengths.near(wanted.outside)} outside, flashing {lengths.near(wanted.base)}; wanted at "
        f"{lengths.place(wanted.near)} from the {end_name(plane, high=False)}{up}.", first="  ")
    width = f"first panel {lengths.near(ends.first)}" if ends.seams else "one panel, no seam"
    if from_line(case, plane):
        width = (f"end panels {lengths.near(ends.first)} at the {end_name(plane, high=False)} and "
                 f"{lengths.near(ends.last)} at the {end_name(plane, high=True)}")
    yield from wrap(f"Held against {against}: {width}, {lay_words(lengths, plane)}; "
                    f"{number_words(case, plane)}.", first="  ")
    yield from bent_lines(case, plane, ends)
    if wanted.y is None:
        yield from wrap(
            "No place up the slope is given (--y), so the worst is taken: everything else on this "
            "plane counts as if at the same height, and a keep-out over the whole slope. Some of "
            "what is left out here may be clear.", first="  ", style="warn")


def _wanted(placed: Placed) -> Iterator[Line]:
    case = placed.case
    lengths = Lengths(case)
    plane, ends = _plane(placed)
    if placed.wanted.x_tol:
        yield from wrap(f"It may be set up to {lengths.near(placed.wanted.x_tol)} off (x_tol).",
                        first="  ")
    if not placed.broken:
        if placed.at_wanted.at_risk:
            yield from wrap("CLEAR AS WANTED, but AT RISK: not after the worst shift of seams and "
                            "of its own position.", first="  ", style="warn")
            return
        says = f", margin {lengths.down2(margin_of(case, placed.at_wanted))}"
        seams = SeamNumbers(plane, ends, placed.pipe.y).beside(placed.at_wanted, 16)
        yield from wrap(f"CLEAR AS WANTED: between seams {seams}{says}.", first="  ", style="good")
        return
    yield from wrap("Not clear as wanted:", first="  ", style="bad")
    for reason in _reasons(placed, case, plane, ends):
        yield from wrap(reason, first="  - ", rest="    ")


def _reasons(placed: Placed, case: Case, plane: Plane, ends: JudgedPlane) -> Iterator[str]:
    lengths = Lengths(case)
    codes = {breach.code for breach in placed.broken}
    if "not-clear" in codes:
        stands = placed.at_wanted
        pipe = placed.pipe
        says = obstacle_words(case, plane, ends, pipe, stands) or "short of room"
        says = says.replace("clear in this pan", "clear of seams in this pan").rstrip(".")
        yield f"{STATE_WORDS[stands.state]}: {says}."
    if "near-edge" in codes:
        yield (f"too near an end of the plane: an edge gap of {lengths.near(case.rules.edge_gap)} "
               "is kept.")
    for keepout in placed.keepouts:
        named = f"the {clean(keepout.what)}" if keepout.what else "a keep-out"
        yield (f"it would reach into {named}, {lengths.place(keepout.x_from)} to "
               f"{lengths.place(keepout.x_to)}.")
    near = [
        id_of(next(name for name in breach.about if name != placed.pipe.id))
        for breach in placed.broken if breach.code == "near-pair"
    ]
    if near:
        yield (f"nearer than the spacing of {lengths.near(case.rules.spacing)}, body to body, to "
               f"{joined(near)}.")


def _stretches(placed: Placed) -> Iterator[Line]:
    case = placed.case
    lengths = Lengths(case)
    plane, ends = _plane(placed)
    low = end_name(plane, high=False)
    if not placed.stretches:
        yield heading("CLEAR STRETCHES")
        yield from wrap("There is none on this plane: no place is clear of the seams and keeps "
                        "all the rules of moves.", first="  ", style="bad")
        return
    yield heading("CLEAR STRETCHES, NEAREST FIRST")
    yield from wrap(f"Centres measured along the eave from the {low}.", first="  ")
    unit = f"{lengths.unit}\n" if lengths.unit else ""
    numbers = SeamNumbers(plane, ends, placed.pipe.y)
    columns = [
        Column("between\nseams"), Column(f"{unit}clear from", "right"),
        Column(f"{unit}to", "right"), Column("", least=8), Column(f"{unit}set to", "right"),
        Column(f"{unit}from where it\nis wanted"), Column(f"{unit}margin", "right"),
    ]
    rows: list[list[Span]] = []
    below: list[list[Line]] = []
    for stretch in placed.stretches:
        spots = [("nearest", stretch.nearest)]
        if stretch.roomiest.x != stretch.nearest.x:
            spots.append(("roomiest", stretch.roomiest))
        for place, (name, spot) in enumerate(spots):
            head = [
                Span(numbers.beside(spot.stands)),
                Span(lengths.cell(lengths.place_up(2 * stretch.low))),
                Span(lengths.cell(lengths.place_down(2 * stretch.high))),
            ]
            rows.append([*(head if not place else [Span("")] * 3), Span(name),
                         *_spot(lengths, spot)])
            notes = _risk(lengths, spot)
            below.append([*notes, BLANK] if place == len(spots) - 1 else notes)
    yield from table(columns, rows, below, lead=" ")
    low_end, high_end = end_name(plane, high=False), end_name(plane, high=True)
    robust = " Margins are after the worst shift of the seams." if case.rules.robust else ""
    yield from wrap(f"- is towards the {low_end}, + towards the {high_end}. Set to a whole "
                    f"{lengths.near(case.step)}, or to {lengths.near(case.mark)} where a stretch "
                    f"has none.{robust} Every place shown was judged by the checker.",
                    first="  ")


def _risk(lengths: Lengths, spot: Spot) -> list[Line]:
    """Clear as laid out, but not after the worst shift of the seams."""
    if not spot.stands.at_risk or spot.stands.worst_margin2 is None:
        return []
    short = lengths.down2(spot.stands.worst_margin2).removeprefix("-")
    return wrap(f"at risk: after the worst shift of the seams it is short by {short}",
                first="     ", rest="       ", style="warn")


def _spot(lengths: Lengths, spot: Spot) -> list[Span]:
    sign = "+" if spot.away > 0 else ""
    return [
        Span(lengths.cell(lengths.place(spot.x)), "head"),
        Span(lengths.cell(sign + lengths.near(spot.away)) if spot.away else "as wanted"),
        Span(lengths.cell(lengths.down2(spot.margin2))),
    ]
