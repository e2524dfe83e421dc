"""`offseam import plan.dxf`: drawings written by ezdxf, imported, measured, solved."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from solver.case import Case
from solver.case_file.load import load_case
from solver.units import TICKS_PER
from tests.unit.cli_runs import HOSTILE_IDS, offseam

INCH, MM = TICKS_PER["in"], TICKS_PER["mm"]


class Plan:
    """A drawing under way; `unit` is the code of $INSUNITS."""

    def __init__(self, unit: int = 1) -> None:
        self.doc: Any = ezdxf.new("R2010")  # type: ignore[attr-defined]
        self.doc.header["$INSUNITS"] = unit
        self.space = self.doc.modelspace()

    def rectangle(self, layer: str, x: float, y: float, wide: float, high: float) -> None:
        points = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        self.space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

    def circle(self, layer: str, x: float, y: float, diameter: float, **more: Any) -> None:
        self.space.add_circle((x, y), diameter / 2, dxfattribs={"layer": layer, **more})

    def text(self, layer: str, x: float, y: float, text: str) -> None:
        self.space.add_text(text, dxfattribs={"layer": layer, "insert": (x, y), "height": 5})

    def save(self, folder: Path, name: str = "plan.dxf") -> str:
        self.doc.saveas(folder / name)
        return str(folder / name)


def plain_plan(unit: int = 1) -> Plan:
    plan = Plan(unit)
    plan.rectangle("ROOF", 1000, 500, 480, 200)
    plan.circle("VENTS", 1096, 560, 3.5)
    plan.text("VENTS", 1100, 564, "V1")
    plan.circle("VENTS", 1250.0625, 580, 2.375)
    plan.text("NOTES", 1252, 582, "V-2")
    plan.rectangle("CURBS", 1380, 600, 36, 24)
    plan.text("NOTES", 1418, 630, "C7")
    return plan


def imported(folder: Path, plan: Plan, *args: str) -> tuple[Case, str]:
    done = offseam("import", plan.save(folder), "--out", str(folder / "case.toml"), *args)
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    assert all(len(line) <= 80 for line in done.stdout.splitlines() if str(folder) not in line)
    return load_case(folder / "case.toml"), done.stdout


def test_a_plain_plan_measured_and_solved(tmp_path: Path) -> None:
    case, said = imported(tmp_path, plain_plan(), "--cover", "16")
    plane = case.planes[0]
    assert (plane.width, plane.length, case.panel.cover) == (480 * INCH, 200 * INCH, 16 * INCH)
    assert [
        (pen.id, pen.kind, pen.x, pen.y, pen.outside, pen.across, pen.along)
        for pen in case.penetrations
    ] == [
        ("V1", "pipe", 96 * INCH, 60 * INCH, 7 * INCH // 2, 0, 0),
        ("V-2", "pipe", 4001 * INCH // 16, 80 * INCH, 19 * INCH // 8, 0, 0),
        ("C7", "curb", 398 * INCH, 112 * INCH, 0, 36 * INCH, 24 * INCH),
    ]
    for layer in ("outline layer guessed: \"ROOF\"", "pipe layer guessed: \"VENTS\"",
                  "curb layer guessed: \"CURBS\""):
        assert layer in said
    assert offseam("solve", str(tmp_path / "case.toml")).returncode == 0


def test_what_it_left_is_told_by_layer_and_kind(tmp_path: Path) -> None:
    plan = plain_plan()
    for n in range(3):
        plan.space.add_line((0, n), (9, n), dxfattribs={"layer": "GRID"})
    plan.circle("VENTS", 5, 5, 3)
    plan.space.add_arc((1000, 500), 9, 0, 90, dxfattribs={"layer": "ROOF"})
    plan.space.add_lwpolyline([(0, 0, 0, 0, 1), (9, 0, 0, 0, 0), (9, 9, 0, 0, 0)], close=True,
                              dxfattribs={"layer": "ROOF"})
    plan.space.add_lwpolyline([(0, 0), (9, 0), (9, 9)], dxfattribs={"layer": "ROOF"})
    plan.space.add_lwpolyline([(0, 0), (9, 9), (9, 0), (0, 9)], close=True,
                              dxfattribs={"layer": "ROOF"})
    case, said = imported(tmp_path, plan)
    said = " ".join(said.split())
    assert len(case.planes) == 1 and len(case.penetrations) == 3
    for part in ("layer GRID: 3 lines", "layer VENTS: 1 circle", "layer ROOF: 3 polylines",
                 "layer ROOF: 1 arc", "it has a curved side", "it is a curve", "it is open",
                 "its sides cross", "no outline is around this pipe"):
        assert part in said, part


@pytest.mark.parametrize(
    ("code", "option", "ticks"),
    [(1, None, INCH), (2, None, 12 * INCH), (4, None, MM), (5, None, 10 * MM), (6, None, 1000 * MM),
     (0, "mm", MM), (1, "mm", MM), (4, "in", INCH), (6, "ft", 12 * INCH)],
)
def test_units(tmp_path: Path, code: int, option: str | None, ticks: int) -> None:
    """$INSUNITS: 1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres (DXF reference, memory).

    The option counts before it.
    """
    scale = 100 * INCH / ticks
    plan = Plan(code)
    plan.rectangle("ROOF", 7, 7, 3 * scale, 2 * scale)
    plan.circle("P", 7 + scale, 7 + scale, scale / 25)
    case, said = imported(tmp_path, plan, *(["--units", option] if option else []))
    plane, pipe = case.planes[0], case.penetrations[0]
    near = 2  # the drawing has floats: a tick either way
    assert abs(plane.width - 300 * INCH) <= near and abs(plane.length - 200 * INCH) <= near
    assert abs(pipe.x - 100 * INCH) <= near and abs(pipe.outside - 4 * INCH) <= near
    assert case.units == ("in" if ticks in (INCH, 12 * INCH) else "mm")
    assert ("as --units says" if option else "as the drawing says") in said


def test_a_drawing_without_units_asks_for_the_option(tmp_path: Path) -> None:
    done = offseam("import", plain_plan(0).save(tmp_path), "--out", str(tmp_path / "c.toml"))
    assert done.returncode == 2 and done.stderr.startswith("--units is missing")
    assert not (tmp_path / "c.toml").exists()


def test_the_eave_may_be_at_any_side(tmp_path: Path) -> None:
    """A roof of four sides in plan: the same pipe, 3 in from the left end and 2 up, on each."""
    plan = Plan()
    size, far = (300.0, 200.0), 1000.0
    put = {"bottom": (30, 20), "top": (270, 180), "left": (20, 270), "right": (180, 30)}
    for n, (side, (x, y)) in enumerate(put.items()):
        wide, high = size if side in ("bottom", "top") else size[::-1]
        plan.rectangle("ROOF", n * far, 0, wide, high)
        plan.text("ROOF", n * far + 100, 100, side)
        plan.circle("P", n * far + x, y, 3.5)
        plan.rectangle("CURB", n * far + 90, 90, *((24, 12) if wide > high else (12, 24)))
    case, _ = imported(tmp_path, plan, *(
        part for side in put if side != "bottom" for part in ("--eave", f"{side}={side}")))
    assert [plane.id for plane in case.planes] == list(put)
    for plane in case.planes:
        assert (plane.width, plane.length) == (300 * INCH, 200 * INCH)
    for pen in case.penetrations:
        if pen.kind == "pipe":
            assert (pen.x, pen.y) == (30 * INCH, 20 * INCH), pen.plane
        else:
            assert (pen.across, pen.along) == (24 * INCH, 12 * INCH), pen.plane


def test_outlines_holes_and_layers_by_name(tmp_path: Path) -> None:
    plan = plain_plan()
    plan.space.add_polyline2d([(0, 0), (300, 0), (200, 150), (100, 150)], close=True,
                              dxfattribs={"layer": "Main"})
    plan.rectangle("MAIN", 130, 40, 30, 30)
    plan.circle("odd", 200, 60, 4.5)
    case, said = imported(tmp_path, plan, "--outline-layer", "main", "--pipe-layer", "ODD",
                          "--pitch", "4:12")
    assert "guessed: \"ROOF\"" not in said
    (plane,) = case.planes
    assert plane.outline is not None and len(plane.holes) == 1
    assert plane.width == 300 * INCH
    # in plan: 150 in up a 4:12 slope are 150 sqrt(1 + 1/9) on it
    assert abs(plane.length - 150 * INCH * math.sqrt(10) / 3) <= 1
    assert [(pen.id, pen.x) for pen in case.penetrations] == [("P1", 200 * INCH)]


def test_every_wrong_layer_is_told(tmp_path: Path) -> None:
    done = offseam("import", plain_plan().save(tmp_path), "--out", str(tmp_path / "c.toml"),
                   "--outline-layer", "ROOFS", "--pipe-layer", "nothing")
    assert done.returncode == 2
    assert '--outline-layer "ROOFS"' in done.stderr and 'nearest known one is "ROOF"' in done.stderr
    assert '--pipe-layer "nothing"' in done.stderr


def test_blocks_and_flashings(tmp_path: Path) -> None:
    plan = Plan()
    plan.rectangle("ROOF", 0, 0, 480, 200)
    vent = plan.doc.blocks.new("VENT")
    vent.add_circle((0, 0), 1)
    vent.add_circle((0, 0), 2.5)
    vent.add_attdef("SIZE", (0, 0))
    vent.add_attdef("TAG", (0, 0))
    put = plan.space.add_blockref("VENT", (100, 60), dxfattribs={"layer": "P", "xscale": 1.75,
                                                                "yscale": 1.75})
    put.add_auto_attribs({"SIZE": "3", "TAG": "VTR-9"})
    long = plan.space.add_blockref("VENT", (300, 60), dxfattribs={"layer": "P", "xscale": 2})
    long.add_auto_attribs({"TAG": "squashed"})
    unit = plan.doc.blocks.new("UNIT")
    corners = [(0, 0), (30, 0), (30, 20), (0, 20)]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        unit.add_line(start, end)
    plan.space.add_blockref("UNIT", (200, 100), dxfattribs={"layer": "CURB", "rotation": 90})
    plan.space.add_blockref("UNIT", (400, 100), dxfattribs={"layer": "CURB", "rotation": 30})
    plan.circle("P", 150, 60, 4.5)
    plan.circle("P", 150, 60, 10)
    case, said = imported(tmp_path, plan, "--curb-layer", "CURB", "--pipe-layer", "P")
    found = {pen.id: pen for pen in case.penetrations}
    assert set(found) == {"VTR-9", "P1", "C1"}
    vtr, pipe, curb = found["VTR-9"], found["P1"], found["C1"]
    assert (vtr.outside, vtr.base) == (7 * INCH // 2, 35 * INCH // 4)
    assert (pipe.outside, pipe.base) == (9 * INCH // 2, 10 * INCH)
    assert (curb.across, curb.along, curb.x, curb.y) == (
        20 * INCH, 30 * INCH, 190 * INCH, 115 * INCH)
    assert "layer P: 1 block" in said and "layer CURB: 1 block" in said
    assert "on layer P: it shows no whole circle" in said  # squashed: no pipe is lost in silence


def test_mirrored_and_leaning_entities(tmp_path: Path) -> None:
    """An entity whose extrusion is (0, 0, -1) is drawn mirrored: its own x runs the other way."""
    plan = Plan()
    plan.rectangle("ROOF", 0, 0, 480, 200)
    plan.circle("P", -120, 60, 3.5, extrusion=(0, 0, -1))
    plan.circle("P", 50, 60, 3.5, extrusion=(0, 1, 0))
    case, said = imported(tmp_path, plan)
    assert [(pen.x, pen.y) for pen in case.penetrations] == [(120 * INCH, 60 * INCH)]
    assert "does not lie flat" in said


def test_far_coordinates_do_not_matter(tmp_path: Path) -> None:
    plan = Plan(4)
    plan.rectangle("ROOF", 3.5e9, -2e9, 12000, 5000)
    plan.circle("P", 3.5e9 + 3000, -2e9 + 2000, 110)
    case, _ = imported(tmp_path, plan)
    assert (case.planes[0].width, case.penetrations[0].x) == (12000 * MM, 3000 * MM)


@pytest.mark.parametrize("far", [1e300, 1e13, math.inf, math.nan])
def test_impossible_coordinates_are_one_sentence(tmp_path: Path, far: float) -> None:
    plan = plain_plan()
    plan.circle("VENTS", far, 0, 3)
    done = offseam("import", plan.save(tmp_path), "--out", str(tmp_path / "c.toml"))
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 1
    assert "is broken" in done.stderr


def test_a_huge_plane_is_refused_with_the_option(tmp_path: Path) -> None:
    plan = Plan(6)
    plan.rectangle("ROOF", 0, 0, 12000, 5000)
    done = offseam("import", plan.save(tmp_path), "--out", str(tmp_path / "c.toml"))
    assert done.returncode == 2 and "larger than 1 km" in done.stderr and "--units" in done.stderr


def test_hostile_texts_are_data(tmp_path: Path) -> None:
    plan = Plan()
    plan.rectangle("[bold]ROOF", 0, 0, 480, 200)
    tags = plan.doc.blocks.new("V")
    tags.add_circle((0, 0), 1)
    tags.add_attdef("TAG", (0, 0))
    for n, name in enumerate(HOSTILE_IDS):
        block = plan.space.add_blockref("V", (15 + 22 * n, 60), dxfattribs={"layer": "vents 配管"})
        block.add_auto_attribs({"TAG": name})
    case, said = imported(tmp_path, plan, "--title", '"""\\ #')
    assert [pen.id for pen in case.penetrations] == [" ".join(name.split())
                                                     for name in HOSTILE_IDS]
    assert case.title == '"""\\ #' and "[bold]ROOF" in said


def test_ids_are_made_unique(tmp_path: Path) -> None:
    plan = Plan()
    plan.rectangle("ROOF", 0, 0, 480, 200)
    for x in (100, 200, 300):
        plan.circle("P", x, 60, 3.5)
        plan.text("P", x, 70, "VENT" if x < 300 else "P1")
    plan.circle("P", 400, 60, 3.5)
    case, said = imported(tmp_path, plan)
    assert [pen.id for pen in case.penetrations] == ["VENT", "VENT-2", "P1", "P2"]
    assert '"VENT" names two things' in said


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "the file is empty"),
        (b"hello", "it is no DXF drawing"),
        (b"\x00\x01\x02SECTION", "it is no DXF drawing"),
        (b"AC1032\x00\x00\x00", "it is a DWG drawing"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\x00SECTION", "it is a binary DXF"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n", "it ends in the middle"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n90\nmany\n0\nENDSEC\n0\nEOF\n", ""),
        (b"0\nSECTION\nx\ny\nz\n0\nEOF\n", ""),
        (b"SECTION EOF", ""),
    ],
)
def test_a_bad_file_is_one_sentence(tmp_path: Path, data: bytes, told: str) -> None:
    (tmp_path / "plan.dxf").write_bytes(data)
    done = offseam("import", str(tmp_path / "plan.dxf"), "--out", str(tmp_path / "c.toml"),
                   "--units", "in")
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1 and told in done.stderr, done.stderr
    assert "fault of the program" not in done.stderr and not (tmp_path / "c.toml").exists()


def test_a_huge_file_is_one_sentence(tmp_path: Path) -> None:
    with (tmp_path / "plan.dxf").open("wb") as stream:
        stream.truncate(33 * 1024 * 1024)
    done = offseam("import", str(tmp_path / "plan.dxf"), "--out", str(tmp_path / "c.toml"))
    assert done.returncode == 2 and "larger than 32 MB" in done.stderr


@pytest.mark.parametrize("cut", [0.2, 0.5, 0.8])
def test_a_drawing_cut_in_the_middle_is_refused(tmp_path: Path, cut: float) -> None:
    path = Path(plain_plan().save(tmp_path))
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * cut)])
    done = offseam("import", str(path), "--out", str(tmp_path / "c.toml"))
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 1


def test_bad_options_are_one_report(tmp_path: Path) -> None:
    path = plain_plan().save(tmp_path)
    (tmp_path / "there.toml").write_text("mine")
    done = offseam("import", path, "--out", str(tmp_path / "there.toml"), "--plane", "S",
                   "--units", "yd")
    for part in ("--plane: it goes with a schedule", '--units "yd"', "--force"):
        assert part in done.stderr
    done = offseam("import", path, "--out", str(tmp_path / "c.toml"), "--cover", "wide",
                   "--eave", "S1", "--status", "gone", "--pitch", "steep")
    for part in ('--cover "wide"', '--eave "S1"', '--status "gone"', '--pitch "steep"'):
        assert part in done.stderr
    done = offseam("import", path, "--out", str(tmp_path / "c.toml"), "--eave", "Q=top")
    assert done.returncode == 2 and '--eave "Q"' in done.stderr
    assert offseam("import", path).stderr.startswith("--out is missing")
    assert not (tmp_path / "c.toml").exists()


def test_without_a_pipe_layer_there_is_a_case_all_the_same(tmp_path: Path) -> None:
    plan = Plan()
    plan.rectangle("0", 0, 0, 480, 200)
    case, said = imported(tmp_path, plan)
    assert case.penetrations == () and "no pipe layer found" in said
    text = (tmp_path / "case.toml").read_text()
    assert "A GUESS" in text and "[[plane]]" in text
