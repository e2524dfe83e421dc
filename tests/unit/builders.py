"""Small cases built straight from the dataclasses, in ticks, for tests that work by hand.

The defaults are round figures for hand arithmetic, in inches: a plane of 100 in under 18 in
panels, seams taking 1/2 in a side, a pipe of 4 in with a base of 8 in. With a first width of 14 in
the seams stand at 14, 32, 50, 68 and 86 in and the last width is 14 in.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

from solver.case import (
    RATE_NAMES,
    Case,
    Keepout,
    Kind,
    Lay,
    Link,
    Panel,
    Penetration,
    Plane,
    Rate,
    Rates,
    Rules,
    Status,
)
from solver.case_parts import Centre, Detail, EdgeKind, Hole, Outline, Sheet
from solver.checker.judge import judge
from solver.layout import Layout
from solver.result import Judged
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, Units


def inches(value: str | int) -> int:
    """Inches as ticks; `"4 3/8"` reads as on a tape. Must fall on the tick grid."""
    return _on_grid(sum(Fraction(part) for part in str(value).split()) * TICKS_PER_INCH)


def mm(value: str | int) -> int:
    """Millimetres as ticks. Must fall on the tick grid."""
    return _on_grid(Fraction(value) * TICKS_PER_MM)


def _on_grid(ticks: Fraction | int) -> int:
    exact = Fraction(ticks)
    assert exact.denominator == 1, "not on the tick grid"
    return exact.numerator


def make_plane(
    id: str = "S",
    *,
    width: int = inches(100),
    length: int = inches(200),
    lay: Lay = "left-to-right",
    keepouts: tuple[Keepout, ...] = (),
    start: int | None = None,
) -> Plane:
    """A plane; with `start` it is laid both ways from a line that stands there."""
    if start is not None:
        lay = "from"
    return Plane(id, width, length, lay, f"{id} left end", f"{id} right end", keepouts, start)


def make_outline(*corners: tuple[str | int, str | int, EdgeKind]) -> Outline:
    """Corners in inches, counter-clockwise, each with the kind of the edge that begins there."""
    return Outline(
        tuple((inches(x), inches(y)) for x, y, _ in corners), tuple(kind for _, _, kind in corners)
    )


def make_hole(*corners: tuple[str | int, str | int], what: str = "dormer") -> Hole:
    """A hole with walls all round; corners in inches."""
    return Hole(what, make_outline(*((x, y, "wall") for x, y in corners)))


def make_outlined(
    outline: Outline,
    id: str = "S",
    *,
    lay: Lay = "left-to-right",
    holes: tuple[Hole, ...] = (),
    start: int | None = None,
) -> Plane:
    """A plane with an outline, as wide and long as that is."""
    width = max(x for x, _ in outline.points)
    length = max(y for _, y in outline.points)
    plane = make_plane(id, width=width, length=length, lay=lay, start=start)
    return replace(plane, outline=outline, holes=holes)


HIP: Final = make_outline((0, 0, "eave"), (100, 0, "hip"), (60, 40, "ridge"), (40, 40, "hip"))
"""100 in of eave, hips that rise an inch for each inch along it, 20 in of ridge."""


def make_centre(
    at: int,
    on: Literal["pan", "rib"] = "pan",
    *,
    plane: str = "S",
    tol: int = inches(1),
    must: bool = False,
    what: str = "hip peak",
) -> Centre:
    return Centre(plane, at, on, tol, must, what)


def make_sheet(*, male: int = inches("1 1/4"), female: int = inches("1 1/2"),
               turn_up: int = inches(1)) -> Sheet:  # fmt: skip
    """Coil of steel; with a cover of 18 in a pan takes 20 3/4 in of sheet."""
    return Sheet(
        metal="steel", thickness=inches("1/64"), gauge=24, male=male, female=female,
        turn_up=turn_up, eave_hook=inches(1), ridge_up=inches("1 1/2"), hip_up=inches("1 1/2"),
        valley_hook=inches(1), wall_up=inches(2), max_length=None, lap=inches(6), stock=(),
        clip_spacing=inches(24), fasteners=2, given=False,
    )  # fmt: skip


def make_pipe(
    x: int,
    id: str = "V1",
    *,
    plane: str = "S",
    y: int = inches(100),
    outside: int = inches(4),
    base: int = inches(8),
    status: Status = "fixed",
    hold: str | None = None,
    reach: int | tuple[int, int] | None = None,
    min_offset: int = inches(3),
    forbid: tuple[str, ...] = (),
) -> Penetration:
    """A pipe; `reach` towards (low, high) end, 12 in unless it is fixed."""
    if reach is None:
        reach = 0 if status == "fixed" else inches(12)
    low, high = reach if isinstance(reach, tuple) else (reach, reach)
    return Penetration(
        id=id, plane=plane, kind="pipe", x=x, y=y, outside=outside, base=base, across=0, along=0,
        status=status, written_status=status, hold=hold, reach_low=low, reach_high=high,
        min_offset=min_offset, forbid=forbid,
    )  # fmt: skip


def make_curb(
    x: int,
    id: str = "C1",
    *,
    plane: str = "S",
    y: int = inches(100),
    across: int = inches(20),
    along: int = inches(30),
    forbid: tuple[str, ...] = (),
    detail: Detail = "flange",
    must_land: bool = False,
) -> Penetration:
    kind: Kind = "curb"
    return Penetration(
        id=id, plane=plane, kind=kind, x=x, y=y, outside=0, base=0, across=across, along=along,
        status="fixed", written_status="fixed", hold=None, reach_low=0, reach_high=0,
        min_offset=0, forbid=forbid, detail=detail, must_land=must_land,
    )  # fmt: skip


def make_link(
    one: str = "S",
    other: str = "N",
    *,
    mirror: bool = True,
    offset: int = 0,
    stagger: bool = False,
    must: bool = False,
) -> Link:
    return Link((one, other), "mirror" if mirror else "same", offset, stagger, must)


def make_rates(
    *, crew_hour: str = "100", plumber_hour: str = "120", **each: tuple[str, str]
) -> Rates:
    """Rates; `each` is (hours, material) by name, a name left out costs nothing.

    Only where `area` is named are sheets charged for at all.
    """
    rates = {name: Rate(Decimal(0), Decimal(0), name != "area") for name in RATE_NAMES}
    rates |= {name: Rate(Decimal(h), Decimal(m), True) for name, (h, m) in each.items()}
    return Rates(Decimal(crew_hour), Decimal(plumber_hour), rates, ())


USUAL_RATES = make_rates(
    tight=("0.5", "0"), crosses=("2", "35"), on_seam=("5", "150"), seam_cut=("1.5", "40"),
    crowded=("2", "60"), move_planned=("0.5", "0"), move_stubbed=("1.5", "45"),
    odd_panel=("1.5", "60"), play=("0.25", "0"), uneven=("0.25", "0"), misaligned=("1", "0"),
    off_centre=("0.5", "0"), unlanded=("2", "60"),
)  # fmt: skip


def make_case(
    *penetrations: Penetration,
    planes: tuple[Plane, ...] | None = None,
    links: tuple[Link, ...] = (),
    units: Units = "in",
    mark: int = inches("1/16"),
    step: int = inches("1/2"),
    cover: int = inches(18),
    seam_back: int = inches("1/2"),
    seam_fwd: int = inches("1/2"),
    rates: Rates = USUAL_RATES,
    reroof: bool = False,
    min_end: int = inches(6),
    work_gap: int = inches("1/2"),
    hole_gap: int = inches("3/8"),
    seamer_gap: int = 0,
    end_lap: int = inches(4),
    curb_side: int = inches(6),
    edge_gap: int = inches(12),
    spacing: int = inches(12),
    enough: int = inches("1 1/2"),
    uneven_free: int = inches(2),
    meet_tol: int = inches("1/4"),
    odd_panels: int = 0,
    odd_min: int | None = None,
    odd_widths: tuple[int, ...] = (),
    play: int = 0,
    play_mark: int = inches("1/64"),
    remeasure: int = 4,
    min_piece: int = inches(2),
    min_length: int = inches(4),
    land_tol: int = inches("1/8"),
    robust: bool = False,
    cover_tol: int = 0,
    width_tol: int = 0,
    centres: tuple[Centre, ...] = (),
    sheet: Sheet | None = None,
) -> Case:
    """A case; `odd_min` is half the cover unless given."""
    return Case(
        file="roof.toml",
        sha256="0" * 64,
        title="A roof",
        units=units,
        setting="reroof" if reroof else "new",
        mark=mark,
        step=step,
        panel=Panel(cover, seam_back, seam_fwd),
        rules=Rules(
            min_end=min_end, work_gap=work_gap, hole_gap=hole_gap, seamer_gap=seamer_gap,
            end_lap=end_lap, curb_side=curb_side, edge_gap=edge_gap, spacing=spacing,
            flange=inches("2 1/2"), enough=enough, uneven_free=uneven_free, meet_tol=meet_tol,
            forbid=(), odd_panels=odd_panels, odd_min=cover // 2 if odd_min is None else odd_min,
            odd_widths=odd_widths, play=play, play_mark=play_mark, remeasure=remeasure,
            min_piece=min_piece, min_length=min_length, land_tol=land_tol, robust=robust,
            cover_tol=cover_tol, width_tol=width_tol,
        ),
        rates=rates,
        planes=planes if planes is not None else (make_plane(),),
        links=links,
        penetrations=penetrations,
        centres=centres,
        sheet=sheet,
    )  # fmt: skip


def look(case: Case, *, first: int | None = None, move: int = 0) -> Judged:
    """Judge with one first width for every plane (14 in) and a move of the first penetration."""
    firsts = tuple(inches(14) if first is None else first for _ in case.planes)
    moves = tuple(move if i == 0 else 0 for i in range(len(case.penetrations)))
    return judge(case, Layout(firsts, moves))


def codes(judged: Judged) -> list[str]:
    """The codes of the broken rules, in the order the checker names them."""
    return [breach.code for breach in judged.breaks]
