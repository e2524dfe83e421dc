"""Cases for the stub-up list: grid lines, fittings, keep-outs, neighbours, both ways of laying."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from solver.case import Case, Fitting, Gridline, Keepout, Penetration
from solver.case_file.fittings import makeable
from solver.result import Judged
from tests.unit.builders import inches, make_case, make_curb, make_pipe, make_plane

FITTINGS = (
    Fitting("3", "22.5", inches("1 1/2")), Fitting("3", "45", inches("2 1/4")),
    Fitting("3", "60", inches(3)),
)


def sized(pipe: Penetration, nominal: str = "3", headroom: int | None = None) -> Penetration:
    """A stubbed pipe as the loader leaves it: what its fittings can make is filled in."""
    most = max(pipe.reach_low, pipe.reach_high)
    return replace(
        pipe, nominal=nominal, headroom=headroom,
        makeable=makeable(FITTINGS, nominal, headroom, most) if pipe.status == "stubbed" else None,
    )


def wall(*, grid: bool = True, lay: str = "left-to-right", seed: int | None = None) -> Case:
    """Two planes of 260 in with everything that can end a stretch.

    A `seed` shifts every pipe by up to 6 in at random, so that some must move.
    """
    keepout = Keepout(inches(57), inches(58), None, None, "beam")
    part = Keepout(inches(125), inches(130), inches(106), inches(110), "duct")
    planes = tuple(
        make_plane(name, width=inches(260), lay=lay, keepouts=(keepout, part))  # type: ignore[arg-type]
        for name in ("S", "N")
    )
    pens = []
    for name in ("S", "N"):
        shift = 0 if name == "S" else 5
        pens += [
            sized(make_pipe(inches(32 + shift), f"{name}1", plane=name, status="stubbed")),
            make_pipe(inches(50 + shift), f"{name}2", plane=name, status="planned"),
            make_pipe(inches("68 5/8"), f"{name}3", plane=name, status="planned", reach=inches(6)),
            replace(sized(make_pipe(inches(104 + shift), f"{name}4", plane=name, status="stubbed")),
                    use="vent"),
            make_pipe(inches(117), f"{name}5", plane=name, y=inches(104), status="planned"),
            make_curb(inches(180), f"{name}C", plane=name, across=inches(20)),
            make_pipe(inches(203), f"{name}6", plane=name, status="planned"),
            make_pipe(inches(230 + shift), f"{name}7", plane=name, status="fixed"),
            make_pipe(inches(246), f"{name}8", plane=name, outside=inches(2), base=inches(6),
                      status="planned"),
        ]
    lines = tuple(
        Gridline(str(i + 1) if name == "S" else str(3 - i), name, inches(x))
        for name in ("S", "N") for i, x in enumerate((10, 130, 250))
    )
    if seed is not None:
        dice = Random(seed)
        pens = [
            replace(pen, x=pen.x + inches(1) * dice.randint(-48, 48) // 8) if pen.kind == "pipe"
            else pen for pen in pens
        ]
    case = make_case(*pens, planes=planes)
    return replace(case, fittings=FITTINGS, gridlines=lines if grid else (), revision="C",
                   date="2032-05-06")


def solved(case: Case) -> Judged:
    """The best layout of a case."""
    from solver.api import solve

    return solve(case, top=1).layouts[0].judged
