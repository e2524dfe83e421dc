"""Whether pans and ribs stand where the case wants them: part of the independent checker.

Shared with nothing else. Exact integers; a name ending in `2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solver.case import Case
from solver.case_parts import Centre
from solver.checker.breach_words import Words
from solver.checker.laying import Laid
from solver.result import Breach, JudgedCentre


def judge_centres(case: Case, laid: Sequence[Laid]) -> tuple[JudgedCentre, ...]:
    """Every centre the case asks for, in its order; `laid` are the planes of the case."""
    of_plane = {plane.id: own for plane, own in zip(case.planes, laid, strict=True)}
    return tuple(_judge(centre, of_plane[centre.plane]) for centre in case.centres)


def _judge(centre: Centre, laid: Laid) -> JudgedCentre:
    """Of two equally near the one at smaller x counts as the nearest."""
    if centre.on == "pan":
        places2 = [panel.low + panel.high for panel in laid.panels]
    else:
        places2 = [2 * seam for seam in laid.seams]
    offs2 = [place2 - 2 * centre.at for place2 in places2]
    off2 = min(offs2, key=lambda off2: (abs(off2), off2), default=None)
    hit = off2 is not None and abs(off2) <= 2 * centre.tol
    return JudgedCentre(
        plane=centre.plane, what=centre.what, on=centre.on, at=centre.at, hit=hit, off2=off2,
        must=centre.must,
    )  # fmt: skip


def of_centres(
    case: Case, words: Words, centres: Sequence[JudgedCentre]
) -> Iterator[Breach]:
    """The centres that must be hit and are not."""
    for centre, judged in zip(case.centres, centres, strict=True):
        if not judged.must or judged.hit:
            continue
        wanted = "the middle of a pan" if judged.on == "pan" else "a rib"
        if judged.off2 is None:
            off = "the plane has no rib"
        else:
            side = "larger" if judged.off2 > 0 else "smaller"
            off = f"the nearest is {words.up(abs(judged.off2))} off, at {side} x"
        yield Breach("must-centre", (judged.plane,), (
            f"The {judged.what} of plane {judged.plane} at {words.place(judged.at)} must have "
            f"{wanted} within {words.down(2 * centre.tol)}: {off}."
        ))  # fmt: skip
