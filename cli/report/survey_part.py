"""What the survey of a plane came to: its corners, its readings, and how it leans."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.grid import Column, table
from cli.report.lines import Line, Span, clean, heading, shorten, wrap
from cli.report.words import LONGEST_NAME, id_of
from solver.case import Case, Plane
from solver.findings.of_survey import (
    is_out,
    misfits,
    one_too_many,
    out_words,
    reading_words,
    shown,
)
from solver.result import JudgedPlane
from solver.survey.corners import corners_of
from solver.survey.surveyed import CornerOut, Reading, Surveyed, SurveyError

HOW = {
    "triangles": "four sides and a diagonal: nothing was taped twice over, so no reading is "
                 "checked by another; tape the other diagonal",
    "fitted": "four sides and both diagonals, corners fitted by least squares",
    "offsets": "offsets from a base line, each rake a line fitted by least squares",
}
_RUN = {
    "square": "panels run square to the eave, the end panels taper",
    "fan": "panels fan from rake to rake within play",
    "as-drawn": "panels are laid out as drawn; the survey is only reported",
}


def survey_lines(case: Case, plane: Plane) -> list[Line]:
    """All about the survey of a plane, for any page; nothing where it has none."""
    if plane.survey is None:
        return []
    lines = [heading(f"{id_of(plane.id)} AS SURVEYED")]
    try:
        found = corners_of(plane, case.units)
    except SurveyError as error:
        for problem in error.problems:
            lines += wrap(f"Impossible: {clean(problem)}.", first="  ", rest="    ", style="bad")
        return lines
    lines += wrap(f"From {HOW[found.how]}. Here {_RUN[plane.survey.run]}.", first="  ")
    lines += _corner_table(case, plane, found)
    lines += _reading_table(case, found)
    for says in _leans(case, plane, found):
        lines += wrap(says, first="  ", rest="    ")
    if misfits(case, found) and (says := one_too_many(case, found)):
        lines += wrap(f"{says}.", first="  ", rest="    ", style="warn")
    return lines


def lean_lines(case: Case, plane: Plane, ends: JudgedPlane) -> Iterator[Line]:
    """What a plane that is laid out as surveyed comes to at its top; nothing of any other."""
    lean = plane.lean
    if lean is None or ends.top is None or not ends.seams:
        return
    first, last = (shown(case, width) for width in ends.top)
    if lean.fan:
        yield from wrap(
            f"Seams are fanned from rake to rake: at the top the low rake stands "
            f"{shown(case, lean.low, signed=True)} and the high rake "
            f"{shown(case, lean.high, signed=True)} from where they stand at the eave. Both end "
            "panels keep their widths; each full panel takes its share. Distances are along the "
            "eave; seams beside a penetration are those at its height.", first="  ", rest="  ",
        )
        return
    yield from wrap(
        f"Seams run square to the eave and the end panels taper: at the top the first is {first} "
        f"wide, the last {last}.", first="  ", rest="  ", style="head",
    )


def _corner_table(case: Case, plane: Plane, found: Surveyed) -> list[Line]:
    columns = [
        Column("corner", least=12), Column("along\nthe eave", "right"),
        Column("square\nup", "right"), Column("angle", "right"), Column("out of\nsquare", "right"),
        Column("over", "right"),
    ]
    rows = [
        [
            Span(_corner(plane, out)), Span(shown(case, x, feet=True)),
            Span(shown(case, y, feet=True)), Span(f"{out.angle:.2f}°"),
            Span(out_words(case, out), "" if out.within else "warn"),
            Span(shown(case, out.over, feet=True)),
        ]
        for out, (x, y) in zip(found.outs, found.corners, strict=True)
    ]
    return table(columns, rows, lead="  ")


def _corner(plane: Plane, out: CornerOut) -> str:
    end = plane.low_end if out.corner in "AD" else plane.high_end
    edge = "eave" if out.corner in "AB" else "ridge"
    return f"{out.corner} {edge}, {shorten(clean(end), LONGEST_NAME)}"


def _reading_table(case: Case, found: Surveyed) -> list[Line]:
    """Every reading against the corners found, the sides against the drawing too.

    Sides that offsets left untaped have a row as well.
    """
    columns = [
        Column("reading", least=12), Column("taped", "right"), Column("fits", "right"),
        Column("tape\nis off", "right"), Column("drawn", "right"),
        Column("against\ndrawing", "right"),
    ]
    drawn = {name: (size, more) for name, size, more in found.against_drawing}
    bad = [one.name for one in misfits(case, found)]
    rows = []
    for one in found.readings:
        rows.append(_row(case, found, one.name, one, drawn, bad))
    taken = [one.name for one in found.readings]
    rows += [_row(case, found, name, None, drawn, bad) for name in drawn if name not in taken]
    return table(columns, rows, lead="  ")


def _row(
    case: Case,
    found: Surveyed,
    name: str,
    one: Reading | None,
    drawn: dict[str, tuple[int, float]],
    bad: list[str],
) -> list[Span]:
    size, more = drawn.get(name, (None, 0.0))
    fits = found.length(name) if one is None else one.computed
    checked = one is not None and found.how != "triangles"
    return [
        Span(reading_words(name)),
        Span("-" if one is None else shown(case, one.read, feet=True)),
        Span(shown(case, fits, feet=True)),
        Span(shown(case, one.residual, signed=True) if one is not None and checked else "-",
             "warn" if name in bad else ""),
        Span("-" if size is None else shown(case, size, feet=True)),
        Span("-" if size is None else shown(case, more, signed=True)),
    ]


def _leans(case: Case, plane: Plane, found: Surveyed) -> Iterator[str]:
    rakes = []
    for what, end, lean in (("low", plane.low_end, found.low_lean),
                            ("high", plane.high_end, found.high_lean)):
        towards = plane.high_end if lean > 0 else plane.low_end
        says = (f"leans {shown(case, abs(lean))} towards the "
                f"{shorten(clean(towards), LONGEST_NAME)}" if 2 * abs(lean) >= case.mark
                else "runs square up")
        rakes.append(f"the {what} rake ({shorten(clean(end), LONGEST_NAME)}) {says}")
    yield f"From eave to ridge {rakes[0]}, {rakes[1]}."
    longer = found.ridge_longer
    than = (f"{shown(case, abs(longer))} {'longer' if longer > 0 else 'shorter'} than"
            if 2 * abs(longer) >= case.mark else "as long as")
    ridge = ("runs parallel to it" if found.ridge_parallel else
             f"stands {shown(case, abs(found.ridge_rise))} "
             f"{'higher' if found.ridge_rise > 0 else 'lower'} at its high end than at its low end")
    rake = "are parallel" if found.rakes_parallel else "are not parallel"
    yield f"The ridge is {than} the eave and {ridge}; the rakes {rake}."
    if any(is_out(case, out) for out in found.outs):
        yield ("Out of square: how far a rake's other end stands off the square line through the "
               "corner, square to the eave at A and B, to the ridge at C and D. 0.005 of the rake "
               "is what EN 508-1 annex D lets a profiled sheet's end be out of its width (a "
               "proxy, not a rule for roofs).")
