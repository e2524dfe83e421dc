"""Loading planes of a given shape: outlines, holes, pitches, shared edges, centres, curbs as built.

Figures are hand conversions: 1 in = 16256 ticks. What is wrong is told by plane, point and value.
"""

import random
from decimal import Decimal, localcontext
from fractions import Fraction
from math import isclose, radians, tan

import pytest
from bad_documents import curb, minimal, pipe, problems, the_problem, told
from hypothesis import given
from hypothesis import strategies as st

from solver.case import Case, Link
from solver.case_file.cross_checks_polygons import faults
from solver.case_file.load import case_from_document
from solver.case_file.pitch import read_pitch, slope_length
from solver.case_file.resolve_outline import Corner
from solver.case_parts import Apart, Centre, Hole, Outline, Pitch
from solver.errors import CaseError

INCH = 16256
SQUARE = ((0, 0), (240, 0), (240, 200), (0, 200))
GABLE = ((0, 0), (240, 0), (120, 100))


def points(*corners):
    return [dict(zip(("x", "y", "edge"), corner, strict=False)) for corner in corners]


def drawn(*corners, **keys):
    return {"id": "S", "outline": points(*corners), **keys}


def hole(*corners, **keys):
    return {"outline": points(*corners), **keys}


def loaded(plane, **tables):
    return case_from_document(minimal(plane=[plane], **tables))


def ticks(outline):
    return [(Fraction(x, INCH), Fraction(y, INCH)) for x, y in outline.points]


# What is read


def test_a_plain_plane_has_no_outline():
    (plane,) = case_from_document(minimal(penetration=[pipe()])).planes
    assert (plane.outline, plane.holes, plane.pitch, plane.in_plan) == (None, (), None, False)
    assert case_from_document(minimal(penetration=[pipe()])).penetrations[0].ends is None


def test_an_outline_gives_the_width_and_the_length():
    (plane,) = loaded(drawn(*SQUARE)).planes
    assert (plane.width, plane.length) == (240 * INCH, 200 * INCH)
    assert plane.outline == Outline(
        ((0, 0), (240 * INCH, 0), (240 * INCH, 200 * INCH), (0, 200 * INCH)),
        ("eave", "rake", "ridge", "rake"),
    )
    assert loaded(drawn(*SQUARE, width="20 ft", length=200)).planes == (plane,)


def test_the_kinds_of_edges_follow_from_how_they_lie():
    """Seen from outside looking up: level below the roof an eave, level above it a ridge, upright a
    rake, sloping above the roof a hip, sloping below it a valley."""
    corners = ((0, 40), (60, 0), (180, 0), (240, 40), (240, 100), (160, 200), (80, 200), (0, 100))
    (plane,) = loaded(drawn(*corners)).planes
    kinds = ("valley", "eave", "valley", "rake", "hip", "ridge", "hip", "rake")
    assert plane.outline.kinds == kinds


def test_clockwise_corners_are_turned_and_each_kind_stays_with_its_edge():
    written = [(0, 0, "wall"), (0, 200), (240, 200, "wall"), (240, 0)]
    (plane,) = loaded(drawn(*written)).planes
    assert ticks(plane.outline) == [(0, 0), (240, 0), (240, 200), (0, 200)]
    assert plane.outline.kinds == ("eave", "wall", "ridge", "wall")
    other = [(0, 0), (240, 0, "wall"), (240, 200), (0, 200, "wall")]
    assert loaded(drawn(*other)).planes == (plane,)


def test_a_closing_point_and_points_within_an_edge_are_left_out():
    many = [(0, 0), (100, 0), (240, 0), (240, 50), (240, 200), (0, 200), (0, 1), (0, 0)]
    assert loaded(drawn(*many)).planes == loaded(drawn(*SQUARE)).planes
    (plane,) = loaded(drawn((0, 0), (100, 0, "wall"), *SQUARE[1:])).planes
    assert plane.outline.kinds == ("eave", "wall", "rake", "ridge", "rake")  # of two kinds: kept


def test_the_first_point_may_lie_within_an_edge():
    (plane,) = loaded(drawn((100, 0), *SQUARE[1:], (0, 0))).planes
    assert ticks(plane.outline) == [(240, 0), (240, 200), (0, 200), (0, 0)]


def test_holes_in_an_outline_and_in_a_rectangle():
    dormer = hole((60, 20), (60, 40), (80, 60, "valley"), (100, 40), (100, 20), what="dormer")
    keys = {"hole": [dormer, hole((10, 10), (20, 10), (20, 20))]}
    for plane in (drawn(*SQUARE, **keys), {"id": "S", "width": 240, "length": 200, **keys}):
        (read,) = loaded(plane).planes
        assert read.outline == loaded(drawn(*SQUARE)).planes[0].outline
        first, second = read.holes
        assert first.what == "dormer"
        assert ticks(first.outline) == [(60, 20), (100, 20), (100, 40), (80, 60), (60, 40)]
        # Written clockwise: the valley is the edge from (80, 60) to (100, 40), either way round.
        assert first.outline.kinds == ("wall", "wall", "valley", "wall", "wall")
        assert second == Hole("hole", Outline(
            tuple((x * INCH, y * INCH) for x, y in ((10, 10), (20, 10), (20, 20))), ("wall",) * 3
        ))  # fmt: skip


def test_where_the_roof_ends_beside_a_penetration():
    keys = {"hole": [hole((90, 50), (95, 50), (95, 70), (90, 70))]}
    case = loaded(drawn(*GABLE, **keys), penetration=[
        pipe(x=100, y=60), pipe(id="V2", x=120, y=1), curb(x=120, y=100)])  # fmt: skip
    # At a level y the triangle reaches from 1.2 y to 240 - 1.2 y; the hole ends at x = 95.
    assert case.penetrations[0].ends == (95 * INCH, 168 * INCH)
    # 1.2 in = 19507.2 ticks: inwards, that is up at the low end and down at the high one.
    assert case.penetrations[1].ends == (19508, 240 * INCH - 19508)
    assert case.penetrations[2].ends == (120 * INCH, 120 * INCH)


@pytest.mark.parametrize(
    ("text", "rise"),
    [("4:12", Fraction(1, 3)), ("2.5 : 12", Fraction(5, 24)), ("12:.5", Fraction(24)),
     ("45 deg", Fraction(1)), ("45°", Fraction(1)), ("45 Degrees", Fraction(1))],
)  # fmt: skip
def test_pitches(text, rise):
    assert loaded(drawn(*SQUARE, pitch=text)).planes[0].pitch.rise == rise


@given(st.integers(1, 8_500_000))  # steeper, a float of the angle says too little of its tangent
def test_degrees_are_their_tangent(parts):
    text = f"{Decimal(parts) / 100_000:f} deg"
    assert isclose(float(read_pitch(text).rise), tan(radians(parts / 100_000)), rel_tol=1e-11)


def test_degrees_to_forty_digits():
    """tan 60 deg is the square root of 3, tan 15 deg is 2 less that root (closed forms)."""
    with localcontext() as context:
        context.prec = 60
        root = Fraction(Decimal(3).sqrt())
    for text, exact in (("60 deg", root), ("30 deg", 1 / root), ("15 deg", 2 - root)):
        assert abs(read_pitch(text).rise / exact - 1) < Fraction(1, 10**39)


@given(st.integers(-(10**9), 10**9), st.fractions(min_value="1/1000", max_value=1000))
def test_slope_lengths_are_rounded_once_to_the_nearest_tick(plan, rise):
    """|s - √(t² (1 + r²))| <= 1/2, held by squares."""
    pitch = Pitch("", rise)
    slope, square = abs(slope_length(pitch, plan)), plan * plan * (1 + rise * rise)
    assert (2 * slope - 1) ** 2 <= 4 * square or slope == 0
    assert 4 * square < (2 * slope + 1) ** 2
    assert slope_length(pitch, -plan) == -slope_length(pitch, plan)


def test_lengths_up_the_slope_may_be_in_plan():
    """3:4 makes 5/4 of every length up the slope: the plainest right triangle."""
    keys = {
        "pitch": "3:4", "in_plan": True,
        "keepout": [{"from": 1, "to": 2, "y_from": 40, "y_to": 80}],
        "hole": [hole((10, 8), (20, 8), (20, 16))],
    }  # fmt: skip
    join = {"id": "J", "penetrations": ["V1", "C1"], "hours": 1,
            "curb": {"x": 100, "y": 40, "across": 12, "along": 8}}  # fmt: skip
    for plane in (drawn((0, 0), (240, 0), (240, 160), (0, 160), length=160, **keys),
                  {"id": "S", "width": 240, "length": 160, **keys}):  # fmt: skip
        case = loaded(plane, penetration=[pipe(y=100), curb(y=40, along=8)], join=[join])
        (read,) = case.planes
        assert (read.width, read.length, read.in_plan) == (240 * INCH, 200 * INCH, True)
        assert read.outline == loaded(drawn(*SQUARE)).planes[0].outline
        assert (read.keepouts[0].y_from, read.keepouts[0].y_to) == (50 * INCH, 100 * INCH)
        assert ticks(read.holes[0].outline) == [(10, 10), (20, 10), (20, 20)]
        vent, box = case.penetrations
        assert (vent.x, vent.y) == (100 * INCH, 125 * INCH)
        assert (box.y, box.across, box.along) == (50 * INCH, 8 * INCH, 10 * INCH)
        assert case.joins[0].curb == (100 * INCH, 50 * INCH, 12 * INCH, 10 * INCH)


def test_points_within_a_sloping_edge_go_before_they_are_rounded():
    corners = [(0, 0), (240, 0), (160, 40), (80, 80), (0, 120)]
    (plane,) = loaded(drawn(*corners, pitch="22.5 deg", in_plan=True)).planes
    assert len(plane.outline.points) == 3


@pytest.mark.parametrize(
    "corners",
    [
        [(0, 0), ("1000 m", 0), ("1000 m", "1000 m"), (0, "1000 m")],
        [(0, 0), ("1000 m", "0.001 mm"), ("1000 m", "0.004 mm")],
        [(0, 0), ("0.002 mm", 0), (0, "1000 m")],
        [(0, 0), ("0.5 mm", "1000 m"), ("1 mm", 0), ("0.5 mm", "999999 mm")],
    ],
)
def test_long_and_thin_outlines_load(corners):
    (plane,) = loaded(drawn(*corners)).planes
    assert len(plane.outline.points) == len(corners)


def test_five_hundred_points_load():
    teeth = [(x, 2 + x % 2) for x in range(498, 0, -1)]
    (plane,) = loaded(drawn((0, 0), (499, 0), *teeth)).planes
    assert len(plane.outline.points) == 500


# What is wrong with an outline


@pytest.mark.parametrize(
    ("corners", "mends"),
    [
        (SQUARE[:2], ["it has 2 points; an outline has at least 3"]),
        ([*SQUARE[:2], SQUARE[0]], ["it has 2 points"]),
        ([SQUARE[0]] * 2, ["it has 1 point;"]),
        ([], ["it has 0 points"]),
        ([(x, x * x) for x in range(501)], ["it has 501 points; an outline has at most 500"]),
        ([*SQUARE[:3], (240, 0), SQUARE[3]], ["point 4 (240, 0) repeats point 2; give each"]),
        ([(0, 0), (0, 0), *SQUARE[1:]], ["point 2 (0, 0) repeats point 1"]),
        ([(0, 0), (1, 0), (2, 0), (3, 0)], ["all its points are on one line", "no area"]),
        ([(0, 0), (240, 200), (240, 0), (0, 200)],
         ["edge 1\u20132 from (0, 0) to (240, 200) crosses or touches its edge 3\u20134 from "
          "(240, 0) to (0, 200)"]),
        ([*SQUARE[:3], ("10 ft", 0), SQUARE[3]],
         ['edge 1\u20132', 'crosses or touches its edge 3\u20134 from (240, 200) to ("10 ft", 0)']),
        ([*SQUARE[:2], (240, 300), (240, 200), (0, 200)], ["turns back on itself at point 3"]),
        ([(5, -3), (240, -3), (240, 200)],
         ['least x is 5"; take 5" from every x', 'least y is -3"; add 3" to every y']),
    ],
)  # fmt: skip
def test_outlines_that_are_none(corners, mends):
    told(the_problem(minimal(plane=[drawn(*corners)])), "plane S", "outline", "", *mends)


def test_of_many_crossings_a_few_are_told():
    comb = [(x, 0 if x % 2 else 90) for x in range(20)]
    problem = the_problem(minimal(plane=[drawn(*comb, (20, 40), (0, 41))]))
    assert "more such places; edges only meet" in problem.want
    assert len(problem.want) < 500


@pytest.mark.parametrize(
    ("outline", "where", "key", "got", "mend"),
    [
        (5, "plane S", "outline", "5", "write a list of points, such as [{ x = 0, y = 0 }"),
        ({"x": 0}, "plane S", "outline", "a table", "write a list of points"),
        ([*points(*SQUARE), 5], "the 5th point of plane S", "", "5", "such as { x = 0, y = 0 }"),
        (points(*GABLE, ("?", 9)), "the 4th point of plane S", "x", '"?"', "write a number"),
        (points(*GABLE, (9,)), "the 4th point of plane S", "y", "", "required and not given"),
        (points(*GABLE, (9, None)), "the 4th point of plane S", "y", "null", "write a number"),
        (points(*SQUARE[:3], (0, 200, "gutter")), "the 4th point of plane S", "edge", '"gutter"',
         'write "eave", "ridge", "rake", "hip", "valley" or "wall"'),
        (points(*SQUARE[:3], (0, 200, None)), "the 4th point of plane S", "edge", "null", "eave"),
        ([*points(*GABLE), {"x": 0, "y": 9, "z": 1}], "the 4th point of plane S", "z", "1",
         "no such key; known are x, y, edge"),
    ],
)  # fmt: skip
def test_points_that_are_none(outline, where, key, got, mend):
    told(the_problem(minimal(plane=[{"id": "S", "outline": outline}])), where, key, got, mend)


def test_a_misread_edge_hides_no_crossing():
    corners = [(0, 0, "gutter"), (240, 200), (240, 0), (0, 200)]
    found = problems(minimal(plane=[drawn(*corners)]))
    assert [problem.key for problem in found] == ["outline", "edge"]


@pytest.mark.parametrize("key", ["width", "length"])
def test_without_an_outline_width_and_length_are_needed(key):
    plane = {"id": "S", "width": 240, "length": 200}
    del plane[key]
    mend = "required and not given: ", "or an outline for both"
    told(the_problem(minimal(plane=[plane])), "plane S", key, "", *mend)


def test_a_width_beside_an_outline_is_its_extent():
    found = problems(minimal(plane=[drawn(*SQUARE, width="240 1/64", length=199)]))
    told(found[0], "plane S", "width", '"240 1/64"', 'its outline is 240" wide; write that')
    told(found[1], "plane S", "length", "199", 'its outline is 200" long')
    plan = drawn(*SQUARE, length=250, pitch="3:4", in_plan=True)
    told(the_problem(minimal(plane=[plan])), "plane S", "length", "250", 'outline is 200" long')


@pytest.mark.parametrize(
    ("pitch", "mend"),
    [("4/12", '"4:12"'), ("4", '"22.5 deg"'), (4, '"4:12"'), (None, '"4:12"'), ("", '"4:12"'),
     ("x:12", '"4:12"'), ("4:12:1", '"4:12"'), ("1e5:1", '"4:12"'), ("4:" + "1" * 50, '"4:12"'),
     ("0:12", "more than 0"), ("-4:12", "more than 0"), ("4:-12", "more than 0"),
     ("0:0", "more than 0"), ("4:0", "upright"), ("-4:0", "upright"), ("0 deg", "more than 0"),
     ("-1 deg", "more than 0"), ("90 deg", "upright"), ("135°", "upright")],
)  # fmt: skip
def test_pitches_that_are_none(pitch, mend):
    got = {4: "4", None: "null"}.get(pitch, f'"{pitch}"')
    problem = the_problem(minimal(plane=[drawn(*SQUARE, pitch=pitch)]))
    told(problem, "plane S", "pitch", got, mend)


def test_in_plan_needs_a_pitch():
    plane = {"id": "S", "width": 240, "length": 200, "in_plan": True}
    document = minimal(plane=[plane], penetration=[pipe(y=900)])
    told(the_problem(document), "plane S", "in_plan", "true", "give its pitch as well")
    told(the_problem(minimal(plane=[{**plane, "pitch": "?"}], penetration=[pipe(y=900)])),
         "plane S", "pitch", '"?"', "4:12")  # fmt: skip
    told(the_problem(minimal(plane=[{**plane, "in_plan": "yes", "pitch": "3:4"}])),
         "plane S", "in_plan", '"yes"', "true or false")  # fmt: skip


def test_a_slope_of_more_than_a_kilometre():
    steep = {"pitch": "89.99 deg", "in_plan": True}
    for plane in (drawn(*SQUARE, **steep), {"id": "S", "width": 240, "length": 200, **steep}):
        told(the_problem(minimal(plane=[plane])), "plane S", "pitch", '"89.99 deg"', "1 km")
    flat = drawn(*SQUARE, pitch="3:4", in_plan=True)
    tall = curb(along="900 m")
    told(the_problem(minimal(plane=[flat], penetration=[tall])),
         "penetration C1", "along", '"900 m"', "more than 1 km")  # fmt: skip
    join = {"id": "J", "penetrations": ["C1", "V1"], "hours": 1,
            "curb": {"x": 9, "y": 9, "across": 9, "along": "900 m"}}  # fmt: skip
    told(the_problem(minimal(plane=[flat], penetration=[curb(), pipe()], join=[join])),
         "join J", "curb.along", '"900 m"', "more than 1 km")  # fmt: skip


# Holes


@pytest.mark.parametrize(
    ("corners", "mend"),
    [
        (((0, 10), (20, 10), (20, 20)), "edge 1\u20132 from (0, 10) to (20, 10) crosses or touches "
         "the plane's edge 4\u20131 from (0, 200) to (0, 0)"),
        (((100, 180), (120, 220), (140, 180)), "the plane's edge 3\u20134"),
        (((300, 10), (320, 10), (320, 20)), "it is not within the outline of the plane"),
        (((-1, -1), (300, -1), (300, 300), (-1, 300)), "not within the outline"),
        (((10, 10), (20, 20), (20, 10), (10, 20)), "crosses or touches its edge 3\u20134"),
        (((10, 10), (20, 20)), "it has 2 points"),
    ],
)  # fmt: skip
def test_holes_that_are_none(corners, mend):
    plane = drawn(*SQUARE, hole=[hole(*corners, what="dormer")])
    told(the_problem(minimal(plane=[plane])), "plane S, hole dormer", "outline", "", mend)


def test_a_hole_at_the_edge_of_a_plain_rectangle_names_that_edge():
    plane = {"id": "S", "width": 240, "length": 200, "hole": [hole((9, 0), (19, 0), (19, 9))]}
    problem = the_problem(minimal(plane=[plane]))
    told(problem, "the 1st hole of plane S", "outline", "", "touches the plane's eave")


@pytest.mark.parametrize(
    ("corners", "mend"),
    [
        (((30, 10), (50, 10), (30, 25)), "edge 2\u20133 from (50, 10) to (30, 25) crosses or "
         "touches edge 1\u20132 from (20, 20) to (40, 20) of plane S, hole first"),
        (((40, 30), (60, 30), (50, 50)), "touches edge"),  # at one corner only
        (((22, 22), (25, 22), (25, 25)), "it lies within plane S, hole first"),
        (((10, 10), (100, 10), (100, 100), (10, 100)), "it goes around plane S, hole first"),
    ],
)  # fmt: skip
def test_holes_stand_clear_of_each_other(corners, mend):
    first = hole((20, 20), (40, 20), (40, 30), (20, 30), what="first")
    plane = drawn(*SQUARE, hole=[first, hole(*corners, what="second")])
    told(the_problem(minimal(plane=[plane])), "plane S, hole second", "outline", "", mend)


def test_tables_that_are_no_holes():
    plane = drawn(*SQUARE, hole=[5, {}, {"what": 3, "outline": points(*GABLE)}, {"size": 3}])
    spoken = [(problem.where, problem.key) for problem in problems(minimal(plane=[plane]))]
    assert spoken == [
        ("the 1st hole of plane S", ""),
        ("the 2nd hole of plane S", "outline"),
        ("the 3rd hole of plane S", "what"),
        ("the 3rd hole of plane S", "outline"),  # it touches the eave
        ("the 4th hole of plane S", "outline"),
        ("the 4th hole of plane S", "size"),
    ]
    told(the_problem(minimal(plane=[drawn(*SQUARE, hole=5)])), "plane S", "hole", "5",
         "write [[plane.hole]]")  # fmt: skip


# What stands there


def test_penetrations_stand_on_the_roof():
    plane = drawn(*GABLE, hole=[hole((100, 10), (140, 10), (140, 20), (100, 20), what="atrium")])
    pens = [
        pipe(id="outside", x=10, y=60), pipe(id="within", x=101, y="11"),
        pipe(id="off", x=241, y=0), pipe(id="edge", x=100, y=15), pipe(id="eave", x=240, y=0),
    ]  # fmt: skip
    found = problems(minimal(plane=[plane], penetration=pens))
    assert [problem.where for problem in found] == [
        "penetration outside", "penetration within", "penetration off"]  # fmt: skip
    told(found[0], "penetration outside", "x", "10", "with its y of 60 the centre is outside the "
         "outline of plane S")  # fmt: skip
    told(found[1], "penetration within", "x", "101", 'y of "11" the centre is in the hole "atrium"')
    told(found[2], "penetration off", "x", "241", "off plane S")


def test_a_joins_curb_stands_on_the_roof():
    keys = {"id": "J", "penetrations": ["V1", "C1"], "hours": 1}
    join = {**keys, "curb": {"x": 10, "y": 60, "across": 9, "along": 9}}
    document = minimal(plane=[drawn(*GABLE)], penetration=[pipe(y=50), curb()], join=[join])
    told(the_problem(document), "join J", "curb.x", "10", "outside the outline of plane S")


def test_off_a_plane_in_plan_is_told_on_the_slope():
    plane = {"id": "S", "width": 240, "length": 160, "pitch": "3:4", "in_plan": True}
    problem = the_problem(minimal(plane=[plane], penetration=[pipe(y=164)]))
    told(problem, "penetration V1", "y", "164", 'on the slope this is 205"', '200"')


def test_an_outline_that_is_none_hides_nothing_else():
    plane = drawn((0, 0), (240, 200), (240, 0), (0, 200), colour=3)
    document = minimal(plane=[plane], penetration=[pipe(x=241), pipe(id="V2", base=1)],
                       centre=[{"plane": "S", "at": 300, "on": "pan"}],
                       freeze={"first": {"S": 3}})  # fmt: skip
    spoken = [(problem.where, problem.key) for problem in problems(document)]
    assert spoken == [
        ("plane S", "outline"), ("plane S", "colour"), ("penetration V1", "x"),
        ("penetration V2", "base"), ("the 1st centre", "at"),
    ]  # fmt: skip


def test_curbs_as_built():
    case = case_from_document(minimal(penetration=[
        curb(), curb(id="C2", detail="ribbed"), curb(id="C3", detail="ribbed", must_land=True),
        curb(id="C4", detail="close"), pipe()]))  # fmt: skip
    built = [(pen.detail, pen.must_land) for pen in case.penetrations]
    assert built == [("flange", False), ("ribbed", False), ("ribbed", True), ("close", False),
                     ("flange", False)]  # fmt: skip


@pytest.mark.parametrize(
    ("thing", "where", "key", "got", "mend"),
    [
        (curb(detail="welded"), "penetration C1", "detail", '"welded"',
         'write "flange", "ribbed" or "close"'),
        (curb(must_land=True), "penetration C1", "must_land", "true", 'detail = "ribbed" as well'),
        (curb(must_land=True, detail="close"), "penetration C1", "must_land", "true", "only a rib"),
        (curb(must_land=1, detail="ribbed"), "penetration C1", "must_land", "1", "true or false"),
        (pipe(detail="close"), "penetration V1", "detail", '"close"', "only curbs are flanged"),
        (pipe(must_land=True), "penetration V1", "must_land", "true", "only curbs"),
    ],
)  # fmt: skip
def test_curbs_that_cannot_be_built(thing, where, key, got, mend):
    told(the_problem(minimal(penetration=[thing])), where, key, got, mend)


def test_a_row_of_a_spreadsheet_may_say_how_a_curb_is_built(tmp_path):
    rows = "id,plane,kind,x,y,across,along,detail,must_land\nC,S,curb,90,90,8,8,ribbed,yes\n"
    (tmp_path / "p.csv").write_text(rows)
    case = case_from_document(minimal(penetrations_csv="p.csv"), beside=tmp_path)
    assert (case.penetrations[0].detail, case.penetrations[0].must_land) == ("ribbed", True)


def test_centres():
    centres = [
        {"plane": "S", "at": "10 ft", "on": "pan"},
        {"plane": "S", "at": 0, "on": "rib", "tol": 0, "must": True, "what": "doorway"},
    ]
    assert case_from_document(minimal(centre=centres)).centres == (
        Centre("S", 120 * INCH, "pan", INCH, False, "centre"),
        Centre("S", 0, "rib", 0, True, "doorway"),
    )
    metric = minimal(units="mm", panel={"cover": 400}, centre=centres[1:])
    assert case_from_document(metric).centres[0].tol == 0
    del metric["centre"][0]["tol"]
    assert case_from_document(metric).centres[0].tol == 25 * 640


@pytest.mark.parametrize(
    ("keys", "key", "got", "mend"),
    [
        ({"at": 241}, "at", "241", 'at goes from 0 to its width, 240"'),
        ({"at": "-1/64"}, "at", '"-1/64"', "off plane S"),
        ({"on": "seam"}, "on", '"seam"', 'write "pan" or "rib"'),
        ({"on": None}, "on", "null", 'write "pan" or "rib"'),
        ({"tol": -1}, "tol", "-1", "cannot be negative"),
        ({"tol": "wide"}, "tol", '"wide"', "write a number"),
        ({"must": 1}, "must", "1", "true or false"),
        ({"x": 1}, "x", "1", "no such key"),
    ],
)
def test_centres_that_are_none(keys, key, got, mend):
    centre = {"plane": "S", "at": 120, "on": "pan", "what": "peak", **keys}
    told(the_problem(minimal(centre=[centre])), "centre peak of plane S", key, got, mend)


def test_a_centre_needs_its_plane():
    problem = the_problem(minimal(centre=[{"plane": "T", "at": 3, "on": "pan", "what": "peak"}]))
    told(problem, "centre peak of plane T", "plane", '"T"', "no such plane; known are S")
    for key in ("plane", "at", "on"):
        centre = {"plane": "S", "at": 120, "on": "pan"}
        del centre[key]
        told(the_problem(minimal(centre=[centre])), "the 1st centre", key, "", "required")
    told(the_problem(minimal(centre=3)), "", "centre", "3", "write [[centre]]")


# Shared edges

FRONT = {"id": "F", "outline": points((0, 0), (480, 0), (336, 150), (144, 150))}
END = {"id": "E", "outline": points((0, 0), (288, 0), (144, 150))}


def link(*planes, **keys):
    return {"planes": list(planes), "how": "mirror", **keys}


def linked(planes, *links):
    case = case_from_document(minimal(plane=list(planes), link=list(links)))
    return case.links, case.apart


def test_across_a_ridge():
    """By hand: x = 144 … 336 of one side of a hip roof is the ridge, its other way round on the
    other, of which it is x = 100 … 292: x meets 292 + 144 - x."""
    back = {"id": "B", "outline": points((0, 0), (400, 0), (292, 99), (100, 99))}
    (one,), apart = linked([FRONT, back], link("F", "B", along="ridge", stagger=True))
    assert one == Link(("F", "B"), "mirror", (144 + 292 - 480) * INCH, True, False, "ridge")
    assert apart == ()


def test_across_the_ridge_of_plain_planes():
    planes = [{"id": "F", "width": 480, "length": 99}, {"id": "B", "width": 300, "length": 99}]
    (one,), _ = linked(planes, link("F", "B", along="ridge"))
    assert one.offset == (0 + 300 - 480) * INCH


def test_along_the_hips_of_a_hip_roof():
    """The seam as far from the shared corner on one plane meets the one as far on the other."""
    back = {**FRONT, "id": "B"}
    left = {**END, "id": "L"}
    walk = [("F", "E"), ("E", "B"), ("B", "L"), ("L", "F")]
    links, apart = linked([FRONT, END, back, left], *(link(*two, along="hip") for two in walk))
    assert apart == ()
    assert [one.planes for one in links] == walk
    # x on the first stands (its width - x) from its right corner, and so far from 0 on the second.
    assert [one.offset for one in links] == [0, 0, 0, 0]


def test_along_the_only_hips_that_can_meet():
    """One hip at the left of the first, one at the right of the second: x' = 300 - (x - 0)."""
    first = {"id": "A", "outline": points((0, 0), (480, 0), (480, 90), (90, 90))}
    second = {"id": "B", "outline": points((0, 0), (300, 0), (210, 90), (0, 90))}
    (one,), _ = linked([first, second], link("A", "B", along="hip"))
    assert one.offset == (0 + 300 - 480) * INCH
    (back,), _ = linked([first, second], link("B", "A", along="hip"))
    assert back.offset == (0 + 300 - 300) * INCH


def test_along_a_valley():
    """An inner corner at x = 200 of the one, its right valley running out to 290 up there; on the
    other at x = 90, its left valley running back to 0."""
    first = {"id": "A", "outline": points((0, 0), (200, 0), (290, 90), (0, 90))}
    second = {"id": "B", "outline": points((90, 0), (400, 0), (400, 90), (0, 90))}
    (one,), _ = linked([first, second], link("A", "B", along="valley"))
    # x stands x - 200 from the corner and meets 90 - (x - 200) = 290 - x.
    assert one.offset == (290 - 290) * INCH
    (back,), _ = linked([first, second], link("B", "A", along="valley"))
    assert back.offset == (290 - 400) * INCH


def test_a_dormers_valley_is_an_edge_of_its_hole():
    around = [(60, 20), (100, 20), (100, 40), (80, 60, "valley"), (60, 40)]
    main = {"id": "M", "width": 240, "length": 200, "hole": [hole(*around, what="dormer")]}
    cheek = {"id": "D", "outline": points((20, 0), (60, 0), (60, 25), (0, 25), (20, 0))}
    (one,), _ = linked([main, cheek], link("M", "D", along="valley"))
    # The hole's edge from (80, 60) to (60, 40), roof to its left: the right end of the roof there.
    # x is x - 60 from the corner at 60, and meets 20 - (x - 60) = 80 - x.
    assert one.offset == (80 - 240) * INCH


def test_unequal_runs_cannot_meet_and_it_is_explained():
    end = {"id": "E", "outline": points((0, 0), (240, 0), (120, 160))}
    links, apart = linked([FRONT, end], link("F", "E", along="hip"))
    assert links == ()
    assert apart == (Apart(("F", "E"), "hip", apart[0].says),)
    assert '144" along the eave of F' in apart[0].says
    assert '120" along that of E' in apart[0].says
    assert "every 6th seam of F meets every 5th seam of E" in apart[0].says
    odd = {"id": "E", "outline": points((0, 0), (239, 0), (119, 160))}
    assert "drift apart" in linked([FRONT, odd], link("F", "E", along="hip"))[1][0].says


def test_runs_that_differ_by_no_more_than_seams_may_miss_are_equal():
    """1/4 in is what seams may miss each other by, and all that these drift apart in."""
    for top, meets in ((144.25, True), (144.3125, False)):
        end = {"id": "E", "outline": points((0, 0), (2 * top, 0), (top, 150))}
        links, apart = linked([FRONT, end], link("F", "E", along="hip"))
        assert (len(links), len(apart)) == ((1, 0) if meets else (0, 1)), top


@pytest.mark.parametrize(
    ("keys", "key", "got", "mends"),
    [
        ({"along": "hip", "how": "same"}, "how", '"same"', ['how = "mirror"', "hip"]),
        ({"along": "hip", "offset": 0}, "offset", "0", ["leave one of the two out"]),
        ({"along": "eave"}, "along", '"eave"', ['write "ridge", "hip" or "valley"']),
        ({"along": None}, "along", "null", ['write "ridge"']),
        ({"along": "valley"}, "along", '"valley"',
         ["plane F has no valley; its edges are eave, hip and ridge"]),
    ],
)  # fmt: skip
def test_links_along_no_edge(keys, key, got, mends):
    document = minimal(plane=[FRONT, END], link=[link("F", "E", **keys)])
    told(the_problem(document), "link F\u2013E", key, got, *mends)


def test_links_along_edges_that_do_not_fit():
    level = {"id": "A", "outline": points((0, 0, "hip"), (9, 0), (9, 9), (0, 9))}
    told(the_problem(minimal(plane=[level, END], link=[link("A", "E", along="hip")])),
         "link A\u2013E", "along", '"hip"', "no hip that slants")  # fmt: skip
    lefts = [{"id": name, "outline": points((0, 0), (99, 0), (99, 9), (9, 9))} for name in "AB"]
    told(the_problem(minimal(plane=lefts, link=[link("A", "B", along="hip")])),
         "link A\u2013B", "along", '"hip"', "at the left end only")  # fmt: skip
    twice = {"id": "A", "outline": points((0, 0), (90, 0), (80, 10, "rake"), (80, 20), (70, 30))}
    told(the_problem(minimal(plane=[twice, {**END, "outline": points((0, 0), (20, 0), (10, 9))}],
                             link=[link("A", "E", along="hip")])),
         "link A\u2013E", "along", '"hip"', "2 pairs", "give offset")  # fmt: skip
    apart = {"id": "E", "outline": points((0, 0), (240, 0), (120, 160))}
    told(the_problem(minimal(plane=[FRONT, apart], link=[link("F", "E", along="hip", must=True)])),
         "link F\u2013E", "must", "true", '120" along that of E', "leave must out")  # fmt: skip


def test_a_link_to_itself_or_nowhere_is_told_once():
    for pair, mend in ((("F", "F"), "two different"), (("F", "Q"), 'no plane "Q"')):
        problem = the_problem(minimal(plane=[FRONT], link=[link(*pair, along="hip")]))
        assert problem.key == "planes"
        assert mend in problem.want


# What is agreed


def test_an_agreed_first_width_leaves_pieces_that_may_be():
    """On 240 in at a cover of 18 a first of 17 leaves a last of 7; of 16 one of 8."""
    square, gable = drawn(*SQUARE), drawn(*GABLE)
    for plane in (square, gable):
        assert loaded(plane, freeze={"first": {"S": 17}}).freeze.firsts == (("S", 17 * INCH),)
    problem = the_problem(minimal(plane=[square], freeze={"first": {"S": 5}}))
    told(problem, "freeze", "first.S", "5", "narrower than min_end; the nearest legal first "
         'width is 6"')  # fmt: skip
    # Along hips min_end does not count, here 8 in, but a sliver does.
    wide = {"rules": {"min_end": 8}, "freeze": {"first": {"S": 7}}}
    assert loaded(gable, **wide).freeze.firsts
    assert the_problem(minimal(plane=[square], **wide)).got == "7"
    problem = the_problem(minimal(plane=[gable], freeze={"first": {"S": 1}}))
    told(problem, "freeze", "first.S", "1", "min_piece")
    problem = the_problem(minimal(plane=[gable], freeze={"first": {"S": "19.01"}}))
    told(problem, "freeze", "first.S", '"19.01"', "more than the cover", "nearest legal")
    bent = minimal(plane=[square], rules={"odd_panels": 1}, freeze={"first": {"S": 17.5}})
    assert case_from_document(bent).freeze.firsts
    bent["freeze"] = {"first": {"S": 5}}
    told(the_problem(bent), "freeze", "first.S", "5", "min_end")


# Whatever is written


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), min_size=3, max_size=7))
def test_a_simple_polygon_is_one_by_the_definition(corners):
    """Held against every pair of edges in whole numbers: neighbours share their corner only, others
    nothing (the definition of a simple polygon)."""
    said = list(faults([Corner(n, x, y, None) for n, (x, y) in enumerate(corners, 1)]))
    assert bool(said) != _is_simple(corners)


def _is_simple(corners):
    count = len(corners)
    if len({*corners}) < count:
        return False
    edges = [(corners[i], corners[(i + 1) % count]) for i in range(count)]
    for i in range(count):
        for j in range(i):
            shared = {*edges[i]} & {*edges[j]}
            if _meet(edges[i], edges[j]) and not (len(shared) == 1 and not any(
                _on(p, one) for one, two in ((edges[i], edges[j]), (edges[j], edges[i]))
                for p in two if p not in shared
            )):  # fmt: skip
                return False
    return True


def _turn(a, b, c):
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (cross > 0) - (cross < 0)


def _on(p, edge):
    (a, b), (c, d) = edge
    boxed = min(a, c) <= p[0] <= max(a, c) and min(b, d) <= p[1] <= max(b, d)
    return boxed and _turn(*edge, p) == 0


def _meet(one, two):
    if any(_on(p, one) for p in two) or any(_on(p, two) for p in one):
        return True
    return _turn(*one, two[0]) * _turn(*one, two[1]) < 0 > _turn(*two, one[0]) * _turn(*two, one[1])


VALUES = (
    None, True, 0, -1, 5, 1e999, float("nan"), 10**40, "", "x", "4:12", "90 deg", "7 m", "hip", [],
    {}, [1], [{}], [{"x": 0, "y": 0}], [[0, 0], [1, 1]], {"x": 1}, {"outline": []},
    [{"outline": 3}], points(*SQUARE), points(*reversed(GABLE)),
    points((0, 0), (1, 1), (1, 0), (0, 1)), [{"outline": points((10, 10), (20, 10), (20, 20))}],
    [None], "ribbed", "pan", ["S", "S"],
    {"hours": 1}, {"valley": 3}, {"S": 7},
)  # fmt: skip
PLACES = {
    "plane": ("id", "outline", "hole", "pitch", "in_plan", "width", "length", "lay", "from",
              "keepout"),
    "centre": ("plane", "at", "on", "tol", "must", "what"),
    "link": ("planes", "how", "along", "offset", "must"),
    "penetration": ("plane", "x", "y", "along", "detail", "must_land"),
    "sheet": ("metal", "gauge", "thickness", "male", "lap", "max_length", "stock", "fasteners"),
    "prices": ("panel", "hip", "cricket"), "rules": ("setback", "min_piece", "land_tol"),
    "freeze": ("first", "move"),
    "": ("units", "plane", "centre", "link", "sheet", "prices", "rules", "panel"),
}  # fmt: skip


@pytest.mark.parametrize("seed", range(300))
def test_odd_writings_are_told_and_never_crash(seed):
    chance = random.Random(seed)
    document = minimal(
        plane=[drawn(*SQUARE, pitch="3:4", in_plan=True,
                     hole=[hole((10, 10), (20, 10), (20, 20))]), FRONT, END],
        centre=[{"plane": "S", "at": 3, "on": "pan"}], link=[link("F", "E", along="hip")],
        penetration=[curb(detail="ribbed", must_land=True), pipe(id="V1", plane="E", x=144, y=9)],
        sheet={}, prices={}, rules={}, freeze={"first": {"S": 9}},
    )  # fmt: skip
    for _ in range(chance.randint(1, 5)):
        top = chance.choice(list(PLACES))
        table = document.get(top) if top else document
        if isinstance(table, list) and table:
            table = chance.choice(table)
        if isinstance(table, dict):
            table[chance.choice(PLACES[top])] = chance.choice(VALUES)
    try:
        assert isinstance(case_from_document(document), Case)
    except CaseError as error:
        assert error.problems
        assert all(problem.sentence().isprintable() for problem in error.problems)
