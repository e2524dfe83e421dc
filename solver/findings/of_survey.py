"""What the reader must know of a plane that was surveyed: out of square, misfits, impossible."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solver.case import Case, Plane
from solver.result import Finding
from solver.survey.corners import READING_WORDS, corners_of
from solver.survey.surveyed import CornerOut, Reading, Surveyed, SurveyError
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units, format_length

MISFIT: Final[dict[Units, int]] = {"in": TICKS_PER_INCH // 4, "mm": 6 * TICKS_PER_MM}
"""A reading further than this from what the others make of it should be taped again: 1/4 in, 6 mm,
what a taped position may be off; common practice, no source."""
DIFFERS: Final[dict[Units, int]] = {"in": TICKS_PER_INCH // 2, "mm": 12 * TICKS_PER_MM}
"""A side further than this from the drawing is told: 1/2 in, 12 mm, what a long eave may be off;
common practice, no source."""
PROXY: Final = ("EN 508-1 annex D lets the end of a profiled sheet be out 0.005 of its width (a "
                "proxy: no standard was found for a roof plane)")


def survey_findings(case: Case) -> Iterator[Finding]:
    """`survey-impossible`, `survey-misfit`, `survey-differs`, `out-of-square`; in case order."""
    for plane in case.planes:
        if plane.survey is None:
            continue
        try:
            found = corners_of(plane, case.units)
        except SurveyError as error:
            for problem in error.problems:
                yield Finding("survey-impossible", "error", (plane.id,),
                              f"Plane {plane.id} cannot be what its survey says: {problem}.")
            continue
        yield from _misfit(case, plane, found)
        yield from _differs(case, plane, found)
        yield from _out_of_square(case, plane, found)


def misfits(case: Case, found: Surveyed) -> list[Reading]:
    """The readings that fit worse than `MISFIT`, the worst first."""
    over = [one for one in found.readings if abs(one.residual) > MISFIT[case.units]]
    return sorted(over, key=lambda one: -round(abs(one.residual), 3))


def reading_words(name: str) -> str:
    """What a reading is called: "diagonal up", "low offset at 10'", "base line"."""
    if name == "base":
        return "base line"
    return READING_WORDS.get(name, name.replace(" at ", " offset at ", 1))


def corner_words(plane: Plane, corner: str) -> str:
    """ "A (eave, west gable)"."""
    edge = "eave" if corner in "AB" else "ridge"
    return f"{corner} ({edge}, {plane.low_end if corner in 'AD' else plane.high_end})"


def shown(case: Case, ticks: float, *, feet: bool = False, signed: bool = False) -> str:
    """A length that is no whole tick, to the crew's mark; `signed` puts + before what is more."""
    text = format_length(round(2 * ticks), case.units, case.mark, feet=feet)
    return f"+{text}" if signed and ticks > 0 and text[0] != "0" else text


def out_words(case: Case, out: CornerOut) -> str:
    """ "1/2\" too wide", "3/16\" too narrow", "square"."""
    if not is_out(case, out):
        return "square"
    return f"{shown(case, abs(out.out))} too {'wide' if out.out > 0 else 'narrow'}"


def is_out(case: Case, out: CornerOut) -> bool:
    """Whether a corner is out by as much as the crew's mark shows."""
    return 2 * abs(out.out) >= case.mark


def one_too_many(case: Case, found: Surveyed) -> str:
    """What six readings can and cannot tell of one that is wrong; empty where they agree.

    Five readings make the plane, so the sixth leaves one misfit, and every reading's residual is a
    fixed share of it whichever is wrong: the largest residual says nothing of the culprit. What
    each would have to be if it alone were wrong is exact.
    """
    if found.how != "fitted" or found.worst is None:
        return ""
    alone = [
        f"{reading_words(one.name)} {shown(case, one.alone, feet=True)} "
        f"({shown(case, one.alone - one.read, signed=True)})"
        for one in found.readings if one.alone is not None
    ]
    return ("Six readings leave one misfit, and that cannot say which reading is wrong: the "
            "largest is only named first, and is a diagonal on any plane near a rectangle. If one "
            f"alone is wrong, it should be: {', '.join(alone)}")


def _misfit(case: Case, plane: Plane, found: Surveyed) -> Iterator[Finding]:
    over = misfits(case, found)
    if not over:
        return
    worst = over[0]
    says = (f"the {reading_words(worst.name)}, taped {shown(case, worst.read, feet=True)}, is "
            f"{shown(case, abs(worst.residual))} {'more' if worst.residual > 0 else 'less'} than "
            "what fits")
    if rest := [reading_words(one.name) for one in over[1:]]:
        says += f"; also beyond it: {', '.join(rest)}"
    more = one_too_many(case, found)
    yield Finding(
        "survey-misfit", "warning", (plane.id,),
        f"Plane {plane.id}: its survey does not agree with itself within "
        f"{shown(case, MISFIT[case.units])}: {says}. {more + '. ' if more else ''}"
        "Tape it again before anything is cut.",
    )


def _differs(case: Case, plane: Plane, found: Surveyed) -> Iterator[Finding]:
    off = [(name, size, more) for name, size, more in found.against_drawing
           if abs(more) > DIFFERS[case.units]]
    if not off or plane.survey is None:
        return
    parts = [f"{READING_WORDS[name]} {shown(case, abs(more))} "
             f"{'longer' if more > 0 else 'shorter'} than the {shown(case, size, feet=True)} drawn"
             for name, size, more in off]
    drawn = plane.survey.run == "as-drawn"
    says = " The layout goes by the drawing (run is as-drawn)." if drawn else ""
    yield Finding(
        "survey-differs", "warning" if drawn else "note", (plane.id,),
        f"Plane {plane.id} as surveyed is not the plane drawn: {', '.join(parts)}.{says}",
    )


def _out_of_square(case: Case, plane: Plane, found: Surveyed) -> Iterator[Finding]:
    out = [one for one in found.outs if is_out(case, one)]
    if not out:
        return
    parts = [f"{out_words(case, one)} at {corner_words(plane, one.corner)} over "
             f"{shown(case, one.over, feet=True)}" for one in out]
    beyond = [one.corner for one in out if not one.within]
    verdict = f"beyond that at {', '.join(beyond)}" if beyond else "all corners are within that"
    yield Finding(
        "out-of-square", "note", (plane.id,),
        f"Plane {plane.id} as surveyed is out of square: {', '.join(parts)}. {PROXY}: {verdict}.",
    )
