"""Roofs for the tests of drawings: small, crowded, hipped, metric, odd, from a line, hostile."""

from __future__ import annotations

from dataclasses import replace

from builders import (
    HIP,
    inches,
    make_case,
    make_curb,
    make_outlined,
    make_pipe,
    make_plane,
    mm,
)

from solver.case import Case, Keepout
from solver.case_parts import Gridline
from solver.checker.judge import judge
from solver.layout import Layout, Odd
from solver.result import Judged

Drawn = tuple[Case, Judged]
HOSTILE = '<script>alert("1")</script>&\'=cmd()|"%%c^J\\U+0041{x;y}\u202eאב😀\x07'


def small() -> Drawn:
    """100 in of eave, seams at 14, 32, 50, 68, 86 in; a pipe moved 3 in from 50 in, a curb that
    cuts a seam, grid lines at 10 and 60 in."""
    case = make_case(
        make_pipe(inches(50), status="planned"), make_curb(inches(86), y=inches(50)),
        make_pipe(inches(20), "V2", y=inches(40)),
    )
    lines = (Gridline("B", "S", inches(60)), Gridline("A", "S", inches(10)))
    case = replace(case, gridlines=lines, revision="C", date="2031-05-01")
    return case, judge(case, Layout((inches(14),), (inches(3), 0, 0)))


def crowded(count: int = 500) -> Drawn:
    """212 ft by 46 ft; pipes in rows of 25 with a zigzag, every seventh moved."""
    pens = [
        make_pipe(
            inches(30 + 100 * (n % 25) + 13 * (n // 25 % 7)), f"V{n}",
            y=inches(20 + 26 * (n // 25)), outside=inches("3 1/2"),
            base=inches("8 1/2"), status="planned",
        )
        for n in range(count)
    ]
    case = make_case(*pens, planes=(make_plane(width=inches(2544), length=inches(552)),))
    moves = tuple(inches(3) if n % 7 == 0 else 0 for n in range(count))
    return case, judge(case, Layout((inches(12),), moves))


def hip() -> Drawn:
    """Hips that rise an inch for each inch along the eave; seams at 14, 32, 50, 68, 86 in."""
    case = make_case(make_pipe(inches(56), y=inches(20)), planes=(make_outlined(HIP),))
    return case, judge(case, Layout((inches(14),), (0,)))


def metric() -> Drawn:
    """4 m laid from the right; a first panel of 300 mm: seams at 200, 700, …, 3700 mm."""
    plane = make_plane(width=mm(4000), length=mm(3000), lay="right-to-left")
    case = make_case(
        make_pipe(mm(1000), y=mm(1200), outside=mm("88.9"), base=mm(200), status="planned"),
        planes=(plane,), units="mm", mark=mm(1), step=mm(10), cover=mm(500), seam_back=mm(10),
        seam_fwd=mm(14), min_end=mm(100), end_lap=mm(90), work_gap=mm(12),
    )
    return case, judge(case, Layout((mm(300),), (mm(-50),)))


def odd() -> Drawn:
    """Panel 3 is 10 in wide: seams at 14, 32, 42, 60, 78, 96 in."""
    case = make_case(make_pipe(inches(51)), odd_panels=1)
    return case, judge(case, Layout((inches(14),), (0,), (Odd(0, 3, inches(10)),)))


def from_line() -> Drawn:
    """Laid both ways from 43 in: seams at 7, 25, 43, 61, 79, 97 in."""
    case = make_case(make_pipe(inches(52)), planes=(make_plane(start=inches(43)),))
    return case, judge(case, Layout((inches(7),), (0,)))


def hostile() -> Drawn:
    """Every text of a case is one that wants to be something else."""
    plane = make_plane(
        HOSTILE, width=inches(300), keepouts=(Keepout(inches(20), inches(28), None, None, HOSTILE),)
    )
    plane = replace(plane, low_end=HOSTILE, high_end=HOSTILE + "2")
    pens = (
        replace(make_pipe(inches(50), HOSTILE, plane=HOSTILE, status="planned"), use=HOSTILE),
        replace(make_curb(inches(150), HOSTILE + "3", plane=HOSTILE), hold=HOSTILE),
    )
    case = replace(
        make_case(*pens, planes=(plane,)), title=HOSTILE, revision=HOSTILE, date=HOSTILE,
        gridlines=tuple(Gridline(HOSTILE + str(n), HOSTILE, inches(40 + 4 * n)) for n in range(9)),
    )
    return case, judge(case, Layout((inches(14),), (inches(4), 0)))


ALL = {
    "small": small, "crowded": crowded, "hip": hip, "metric": metric, "odd": odd,
    "from a line": from_line, "hostile": hostile,
}
