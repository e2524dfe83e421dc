"""The DXF drawing, read again by ezdxf and measured."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from drawing_cases import ALL, HOSTILE, Drawn, hip, metric, small

from cli.drawing.dxf import plane_dxf
from cli.drawing.dxf_setup import safe_text
from cli.drawing.marks import LAYERS
from cli.drawing.sheets import drawings, file_names
from solver.api import solve
from solver.drawing.scene import scenes
from solver.errors import ChoiceError
from solver.units import TICKS_PER

EXACT = 1e-9


def read(drawn: Drawn) -> Any:
    return ezdxf.read(io.StringIO(plane_dxf(*drawn, 0).decode("utf-8")))  # type: ignore[attr-defined]


def on(document: Any, layer: str, kind: str) -> list[Any]:
    return [e for e in document.modelspace() if e.dxf.layer == layer and e.dxftype() == kind]


@pytest.mark.parametrize("name", ALL)
def test_it_audits_clean_and_has_units(name: str) -> None:
    drawn = ALL[name]()
    document = read(drawn)
    audit = document.audit()
    assert not audit.errors and not audit.fixes
    inch = drawn[0].units == "in"
    # DXF reference, $INSUNITS: 1 is inches, 4 millimetres; $MEASUREMENT: 0 English, 1 metric
    assert document.header["$INSUNITS"] == (1 if inch else 4)
    assert document.header["$MEASUREMENT"] == (0 if inch else 1)
    assert {layer.dxf.name for layer in document.layers} == {*LAYERS, "0", "Defpoints"}
    assert {e.dxf.layer for e in document.modelspace()} <= set(LAYERS)


@pytest.mark.parametrize("name", ALL)
def test_seams_stand_exactly_where_the_checker_has_them(name: str) -> None:
    case, judged = ALL[name]()
    per = TICKS_PER[case.units]
    lines = on(read((case, judged)), "SEAMS", "LINE")
    assert all(line.dxf.start.x == line.dxf.end.x for line in lines)
    found = sorted({line.dxf.start.x for line in lines})
    assert found == pytest.approx([seam / per for seam in judged.planes[0].seams], abs=EXACT)


@pytest.mark.parametrize("name", ALL)
def test_circles_have_exact_centres_and_radii(name: str) -> None:
    case, judged = ALL[name]()
    per, document = TICKS_PER[case.units], read((case, judged))

    def circles(layer: str) -> list[tuple[float, float, float]]:
        return sorted((c.dxf.center.x, c.dxf.center.y, c.dxf.radius)
                      for c in on(document, layer, "CIRCLE"))

    pipes = [(p, j) for p, j in zip(case.penetrations, judged.penetrations, strict=True)
             if p.kind == "pipe"]
    for layer, wanted in (
        ("PENETRATIONS", [(j.x, p.y, p.outside / 2) for p, j in pipes]),
        ("FLASHINGS", [(j.x, p.y, p.base / 2) for p, j in pipes]),
        ("MOVED-FROM", [(p.x, p.y, p.outside / 2) for p, j in pipes if j.moved]),
    ):
        expected = sorted((a / per, b / per, c / per) for a, b, c in wanted)
        assert len(circles(layer)) == len(expected)
        for one, other in zip(circles(layer), expected, strict=True):
            assert one == pytest.approx(other, abs=EXACT)


@pytest.mark.parametrize("name", ALL)
def test_dimensions_measure_the_real_distances(name: str) -> None:
    case, judged = ALL[name]()
    (scene,) = scenes(case, judged, 1)
    per, document = TICKS_PER[case.units], read((case, judged))
    linear, ordinate = [], []
    for one in on(document, "DIMENSIONS", "DIMENSION"):
        assert one.get_geometry_block() is not None and len(one.get_geometry_block())
        assert list(one.virtual_entities())  # what a program that shows it asks for
        if one.dimtype == 6:
            ordinate.append(one)
        else:
            linear.append(one)
            assert one.dxf.text in ("<>", " ") or one.dxf.text.endswith(" = <>")
            # the distance between its two definition points, along the eave
            low, high = sorted((one.dxf.defpoint2.x, one.dxf.defpoint3.x))
            assert one.get_measurement() == pytest.approx(high - low, abs=EXACT)
    measured = sorted(round(one.get_measurement(), 9) for one in linear)
    wanted = sorted(round(d.length / per, 9) for d in scene.dimensions)
    kinds = {d.kind for d in scene.dimensions}
    if "seam" not in kinds:
        assert measured == pytest.approx(wanted, abs=EXACT)
    else:  # of grid lines that stand very close, not every distance to a seam is drawn
        assert set(measured) <= set(wanted) and len(measured) >= len(wanted) - 9
    starts = {scene.start.x / per}
    assert {one.dxf.defpoint.x for one in ordinate} == starts
    at = {round(one.dxf.defpoint2.x, 9) for one in ordinate}
    shown = {round(x / per, 9) for x in (0, *judged.planes[0].seams, scene.plane.width)}
    assert at <= shown and (name == "hostile" or at == shown)


def test_dimension_texts_are_feet_and_inches_or_millimetres_by_the_style() -> None:
    """DXF reference: DIMLUNIT 4 is architectural, DIMDEC 4 then sixteenths, 2 is decimal."""
    style = read(small()).dimstyles.get("ALONG-EAVE")
    assert (style.dxf.dimlunit, style.dxf.dimdec) == (4, 4)
    style = read(metric()).dimstyles.get("ALONG-EAVE")
    assert (style.dxf.dimlunit, style.dxf.dimdec) == (2, 0)
    block_texts = {
        text.text for one in on(read(small()), "DIMENSIONS", "DIMENSION")
        for text in one.get_geometry_block().query("MTEXT")
    }
    assert {"8' 4\"", "14\"", "1' 2\"", "4 x 18\" = 6' 0\""} <= block_texts


def test_outline_and_curb() -> None:
    document = read(hip())
    (outline,) = on(document, "OUTLINE", "LWPOLYLINE")
    assert outline.closed
    assert [tuple(p) for p in outline.get_points("xy")] == [(0, 0), (100, 0), (60, 40), (40, 40)]
    (curb,) = on(read(small()), "PENETRATIONS", "LWPOLYLINE")
    assert sorted(tuple(p) for p in curb.get_points("xy")) == [
        (76, 35), (76, 65), (96, 35), (96, 65)]


@pytest.mark.parametrize("name", ALL)
def test_two_writes_are_the_same_bytes(name: str) -> None:
    assert plane_dxf(*ALL[name](), 0) == plane_dxf(*ALL[name](), 0)


def test_another_process_writes_the_same_bytes() -> None:
    """Whatever the seed of its hashes."""
    code = ("import hashlib, drawing_cases as d; from cli.drawing.dxf import plane_dxf;"
            "print(hashlib.sha256(plane_dxf(*d.hostile(), 0)).hexdigest())")
    root = Path(__file__).resolve().parents[2]
    found = set()
    for seed in ("1", "2"):
        env = os.environ | {"PYTHONPATH": f"{root}{os.pathsep}{root / 'tests' / 'unit'}",
                            "PYTHONHASHSEED": seed, "TZ": f"UTC{seed}"}
        run = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True,
                             text=True, check=True)
        found.add(run.stdout)
    assert len(found) == 1


def test_hostile_names_are_data() -> None:
    document = read(ALL["hostile"]())
    texts = [e.dxf.text for e in document.modelspace() if e.dxftype() == "TEXT"]
    assert not any("%%" in text or "\u202e" in text or "\x07" in text for text in texts)
    assert any("<script>" in text for text in texts)
    assert safe_text("%%%c") == "% % %c" and safe_text("a^J") == "a^ J"
    assert safe_text("\\U+0041") == "\\ U+0041" and safe_text("a\nb") == "a\\nb"
    assert HOSTILE not in texts


def test_drawings_are_one_file_a_plane_with_safe_names() -> None:
    case = small()[0]
    result = solve(case, top=1)
    found = drawings(result, 1, "dxf")
    assert list(found) == ["plane-S.dxf"]
    assert list(drawings(result, 1, "svg")) == ["plane-S.svg"]
    assert drawings(result, 1, "svg")["plane-S.svg"].startswith(b"<?xml")
    with pytest.raises(ChoiceError, match="no layout 7"):
        drawings(result, 7, "svg")


def test_file_names_are_unique_in_any_case_and_hold_plain_letters() -> None:
    ids = ("S", "s", "../../etc", "a/b", "a b", "", "אב", "CON", "x" * 300, "S-sheet-1", "S-no-2")
    names = file_names(ids)
    assert len({name.lower() for name in names}) == len(ids)
    assert all(name.replace("-", "").replace("_", "").isalnum() and name.isascii() and
               len(name) < 80 for name in names)
    assert names[:3] == ("plane-S", "plane-s-no-2", "plane-etc")
    assert not any(name.endswith("-sheet-1") for name in names)


def test_a_revision_stands_on_the_drawing_and_no_time_of_writing() -> None:
    case, judged = small()
    one = plane_dxf(case, judged, 0)
    other = plane_dxf(replace(case, revision="D"), judged, 0)
    assert one != other
