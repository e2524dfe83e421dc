"""Rules of pieces: inside, on the boundary and one tick outside of each; by hand, in inches."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver.case import Case, Lay, Plane
from solver.case_parts import EdgeKind, Hole, Outline
from solver.shape.outline import legal_mask, legal_panels, strip_faults, strip_length
from tests.unit.builders import inches, make_case, make_plane

IN = inches(1)


def outline(*corners: tuple[float, float, EdgeKind]) -> Outline:
    points = tuple((int(x * IN), int(y * IN)) for x, y, _ in corners)
    return Outline(points, tuple(kind for _, _, kind in corners))


def plane_of(shape: Outline, *holes: Hole, lay: Lay = "left-to-right") -> Plane:
    wide, high = max(x for x, _ in shape.points), max(y for _, y in shape.points)
    return replace(make_plane(width=wide, length=high, lay=lay), outline=shape, holes=holes)


def box(x_1: float, y_1: float, x_2: float, y_2: float, what: str = "dormer") -> Hole:
    return Hole(what, outline((x_1, y_1, "wall"), (x_2, y_1, "wall"), (x_2, y_2, "wall"),
                              (x_1, y_2, "wall")))  # fmt: skip


RECTANGLE = outline((0, 0, "eave"), (100, 0, "rake"), (100, 200, "ridge"), (0, 200, "rake"))
RAKED = plane_of(RECTANGLE)
# a hip at the low end: 60 in of rise over 60 in, then a ridge to a valley at the high end
HIPPED = plane_of(outline((0, 0, "eave"), (100, 0, "rake"), (100, 60, "ridge"), (60, 60, "hip")))


def case_of(
    plane: Plane, *, min_piece: int = 2 * IN, min_length: int = 4 * IN, min_end: int = 6 * IN
) -> Case:
    case = make_case(planes=(plane,), cover=18 * IN, min_end=min_end)
    return replace(
        case, rules=replace(case.rules, min_piece=min_piece, min_length=min_length)
    )


def faults(plane: Plane, low: int, high: int) -> tuple[str, ...]:
    return strip_faults(case_of(plane), plane, low, high)


def test_a_plane_without_outline_has_no_rules_of_pieces() -> None:
    plane = replace(RAKED, outline=None)
    assert faults(plane, 0, 1) == ()
    assert legal_panels(case_of(plane), plane, [0, 1, 2, plane.width])
    assert legal_mask(case_of(plane), plane, np.array([1, 2])).all()


@pytest.mark.parametrize(("short", "found"), [(-1, ()), (0, ()), (1, ("end-rule",))])
@pytest.mark.parametrize("low", [True, False])
def test_along_an_upright_rake_a_panel_has_the_least_end_width(
    short: int, found: tuple[str, ...], low: bool
) -> None:
    end = 6 * IN - short
    strip = (0, end) if low else (100 * IN - end, 100 * IN)
    assert faults(RAKED, *strip) == found


@pytest.mark.parametrize("kind", ["eave", "ridge", "hip", "valley"])
def test_other_upright_edges_only_take_the_least_piece(kind: EdgeKind) -> None:
    kinds: tuple[EdgeKind, ...] = ("eave", kind, "ridge", kind)
    plane = replace(RAKED, outline=replace(RECTANGLE, kinds=kinds))
    assert faults(plane, 0, 2 * IN) == ()
    assert faults(plane, 0, 2 * IN - 1) == ("piece-narrow",)
    assert faults(plane, 98 * IN, 100 * IN) == ()
    assert faults(plane, 98 * IN + 1, 100 * IN) == ("piece-narrow",)


def test_a_narrow_strip_away_from_the_rakes_takes_the_least_piece() -> None:
    assert faults(RAKED, 40 * IN, 42 * IN) == ()
    assert faults(RAKED, 40 * IN, 42 * IN - 1) == ("piece-narrow",)


def test_on_a_hip_the_tip_of_the_plane_is_as_long_as_it_is_wide() -> None:
    """Over the hip of one in one a first width of w gives a piece w wide and w long."""
    assert faults(HIPPED, 0, 4 * IN) == ()
    assert faults(HIPPED, 0, 4 * IN - 1) == ("piece-short",)
    assert faults(HIPPED, 0, 2 * IN - 1) == ("piece-narrow", "piece-short")


def test_a_seam_through_a_hole_leaves_pieces_above_and_below() -> None:
    """A dormer 4 in and 5 in off the eave and ridge; 60 in to 80 in across."""
    plane = plane_of(RECTANGLE, box(60, 4, 80, 195))
    assert faults(plane, 62 * IN, 78 * IN) == ()
    lower = plane_of(RECTANGLE, Hole("dormer", Outline(
        ((60 * IN, 4 * IN - 1), (80 * IN, 4 * IN - 1), (80 * IN, 195 * IN), (60 * IN, 195 * IN)),
        ("wall",) * 4)))  # fmt: skip
    assert faults(lower, 62 * IN, 78 * IN) == ("piece-short",)
    # where the strip reaches past the dormer the lower piece is part of a long one
    assert faults(lower, 62 * IN, 86 * IN) == ()


@pytest.mark.parametrize(
    ("low", "high", "found"),
    [(54, 72, ()), (55, 73, ()), (79, 97, ()), (74, 92, ()), (80, 98, ()), (62, 80, ())],
)
def test_beside_a_wall_the_piece_counts_from_seam_to_seam_where_it_goes_round(
    low: int, high: int, found: tuple[str, ...]
) -> None:
    """Pieces that go on above and below the dormer have the strip's whole width."""
    plane = plane_of(RECTANGLE, box(60, 40, 80, 100))
    assert faults(plane, low * IN, high * IN) == found


def notched(depth: float) -> Plane:
    """A step in the eave at x = 60 in: the wall there runs up to `depth`."""
    return plane_of(
        outline((0, 0, "eave"), (60, 0, "wall"), (60, depth, "eave"), (100, depth, "rake"),
                (100, 200, "ridge"), (0, 200, "rake"))
    )  # fmt: skip


def test_a_whole_panel_along_a_step_is_wide_enough() -> None:
    """The strip from 55 to 73 in holds one piece, wide at the top: 18 in, though 5 in below."""
    assert faults(notched(50), 55 * IN, 73 * IN) == ()


# the eave steps back at x = 60 in, to above the low part's ridge beside its neck
CUT_OFF = plane_of(
    outline((0, 0, "eave"), (60, 0, "wall"), (60, 50, "ridge"), (30, 50, "wall"), (30, 60, "eave"),
            (100, 60, "rake"), (100, 200, "ridge"), (0, 200, "rake"))
)  # fmt: skip


@pytest.mark.parametrize(
    ("off", "found"), [(6 * IN, ()), (6 * IN - 1, ("end-rule",)), (2 * IN, ("end-rule",)),
                       (2 * IN - 1, ("piece-narrow", "end-rule")), (0, ())]
)  # fmt: skip
def test_a_piece_between_a_seam_and_the_wall_of_a_lower_part(
    off: int, found: tuple[str, ...]
) -> None:
    """Below the step the strip holds a piece that ends at the wall at 60 in, of its own width."""
    low = 60 * IN - off
    assert faults(CUT_OFF, low, low + 18 * IN) == found


def test_a_seam_right_on_a_wall_leaves_nothing_beyond_it_there() -> None:
    assert faults(CUT_OFF, 42 * IN, 60 * IN) == ()
    assert strip_length(CUT_OFF, 60 * IN, 78 * IN) == 140 * IN
    assert strip_length(CUT_OFF, 60 * IN - 1, 78 * IN) == 200 * IN


def test_pieces_that_touch_in_a_point_are_apart() -> None:
    """Two triangles, tip to tip but for the width of the neck beside them, share no piece."""
    hourglass = outline((0, 0, "eave"), (100, 0, "hip"), (53, 50, "hip"), (100, 100, "ridge"),
                        (0, 100, "hip"), (50, 50, "hip"))  # fmt: skip
    plane = plane_of(hourglass)
    case = case_of(plane, min_length=50 * IN + 1)
    # high of x = 53 in the upper and lower pieces no longer meet
    assert strip_faults(case, plane, 53 * IN, 71 * IN) == ("piece-short",)
    assert strip_faults(case, plane, 53 * IN - 1, 71 * IN) == ()


def test_a_seam_that_touches_a_corner_makes_no_piece() -> None:
    """The tip of a valley at x = 50 in: a strip that ends there has nothing of the other side."""
    plane = plane_of(outline((0, 0, "eave"), (100, 0, "rake"), (100, 100, "valley"),
                             (50, 40, "valley"), (0, 100, "rake")))  # fmt: skip
    case = case_of(plane, min_piece=18 * IN, min_length=40 * IN)
    assert strip_faults(case, plane, 32 * IN, 50 * IN) == ()
    assert strip_faults(case, plane, 50 * IN, 68 * IN) == ()


def test_the_length_of_a_strip_is_rounded_up() -> None:
    plane = plane_of(Outline(((0, 0), (3, 0), (3, 2)), ("eave", "rake", "hip")))
    assert [strip_length(plane, low, low + 1) for low in range(3)] == [1, 2, 2]
    assert strip_length(plane, 0, 3) == 2


def test_a_strip_beyond_the_plane_has_no_length() -> None:
    assert strip_length(RAKED, 100 * IN, 118 * IN) == 0
    assert faults(RAKED, 100 * IN, 118 * IN) == ()


@pytest.mark.parametrize("lay", ["left-to-right", "right-to-left"])
@pytest.mark.parametrize("plane", [RAKED, HIPPED, notched(50), CUT_OFF])
def test_the_grid_of_every_first_width_is_judged_like_its_strips(plane: Plane, lay: Lay) -> None:
    plane = replace(plane, lay=lay)
    case = case_of(plane)
    firsts = np.arange(1, 18 * 16 + 1, dtype=np.int64) * inches("1/16")
    mask = legal_mask(case, plane, firsts)
    assert mask.any() and not mask.all()
    for first, fine in zip(firsts.tolist(), mask.tolist(), strict=True):
        seams = list(range(first, plane.width, 18 * IN))
        if lay == "right-to-left":
            seams = [plane.width - seam for seam in reversed(seams)]
        assert fine is legal_panels(case, plane, [0, *seams, plane.width])


def test_a_plane_no_wider_than_the_cover_is_one_panel() -> None:
    plane = plane_of(outline((0, 0, "eave"), (16, 0, "hip"), (8, 8, "hip")))
    assert legal_mask(case_of(plane), plane, np.array([16 * IN])).tolist() == [True]
    short = case_of(plane, min_length=8 * IN + 1)
    assert legal_mask(short, plane, np.array([16 * IN])).tolist() == [False]
