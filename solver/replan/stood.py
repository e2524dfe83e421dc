"""The case as it stands on the roof: what is laid over or seen is where it is, and stays there."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.case import Case, Freeze, Penetration
from solver.case_file.load_report import Report
from solver.case_file.read_tables import Read
from solver.checker.leaning import roof_at
from solver.checker.outlines import ends_beside
from solver.replan.entries import SeenEntry
from solver.replan.front import Front
from solver.replan.row import Row


@dataclass(frozen=True)
class Stood:
    """`case`: every pipe seen, behind a front, or on a run of a plane under way that has no front,
    fixed where it is or is planned; nothing is forbidden of what lies behind a front. `made` are
    the indices of the pipes among them whose planned move is taken as done, `behind` those that lie
    behind a front."""

    case: Case
    made: tuple[int, ...]
    behind: frozenset[int]


def stand(
    case: Case, moves: tuple[int, ...], rows: list[Row], seen: tuple[Read[SeenEntry], ...],
    report: Report,
) -> Stood:
    """Put every penetration where it is now. `moves` are the plan's, case order (ticks)."""
    planes = {plane.id: plane for plane in case.planes}
    true = {read.entry.id: read for read in seen if read.entry is not None}
    under_way = {row.plane.id: [r for r in rows if r.plane is row.plane] for row in rows}
    found: list[Penetration] = []
    made, behind = [], []
    for i, pen in enumerate(case.penetrations):
        now = pen
        read = true.get(pen.id)
        if read is not None and read.entry is not None:
            entry = read.entry
            y = pen.y if entry.y is None else entry.y
            status = entry.status or "fixed"
            plane = planes[pen.plane]
            ends = ends_beside(plane, entry.x, y) if plane.lean is None else roof_at(plane, y)
            if ends is None:
                report.add(read.element, "x", f"it stands off plane {pen.plane} or in a hole there")
                ends = pen.ends or (0, planes[pen.plane].width)
            now = replace(pen, x=entry.x, y=y, status=status,
                          ends=None if pen.ends is None else ends)
            if status == "fixed":
                now = replace(now, reach_low=0, reach_high=0)
        there = now.x if read is not None else pen.x + moves[i]
        done = any(_passed(row.front, row, there, now.y) for row in under_way.get(pen.plane, ()))
        if done:
            behind.append(i)
            now = replace(now, forbid=(), must_land=False)
        mine = under_way.get(pen.plane, ())
        elsewhere = bool(mine) and all(row.distance(there) < 0 for row in mine)
        if (done or elsewhere) and pen.kind == "pipe":
            if read is None and moves[i]:
                made.append(i)
            now = replace(now, x=there, status="fixed", reach_low=0, reach_high=0)
        found.append(now)
    still = {pen.id for pen, now in zip(case.penetrations, found, strict=True) if now == pen}
    agreed = tuple((name, move) for name, move in case.freeze.moves if name in still)
    return Stood(
        replace(case, penetrations=tuple(found), freeze=Freeze((), agreed), covers=()),
        tuple(made), frozenset(behind),
    )


def _passed(front: Front, row: Row, x: int, y: int) -> bool:
    """Whether a centre lies behind the last seam laid of a run, on that run."""
    return 0 <= row.distance(x) <= front.measured(y)
