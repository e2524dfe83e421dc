"""All drawings of a layout: a file name and its bytes for every plane."""

from __future__ import annotations

import re
from typing import Final, Literal

from cli.drawing.dxf import scene_dxf
from cli.drawing.svg import scene_svgs
from solver.drawing.scene import scenes
from solver.errors import ChoiceError
from solver.result import Result

Kind = Literal["svg", "dxf"]
_ODD: Final = re.compile(r"[^A-Za-z0-9_-]+")
_LONGEST: Final = 40


def drawings(result: Result, layout_rank: int, kind: Kind) -> dict[str, bytes]:
    """File names and contents, plane by plane in the order of the case.

    A DXF drawing is one file a plane; so is an SVG one, unless it takes several sheets.

    Raises:
        ChoiceError: there is no layout of that rank.
    """
    entry = next((one for one in result.layouts if one.rank == layout_rank), None)
    if entry is None:
        raise ChoiceError(
            f"There is no layout {layout_rank}: the list has {len(result.layouts)}, from 1."
        )
    case, count = result.case, len(result.layouts)
    proven = entry.proof == "proven"
    names = file_names(tuple(plane.id for plane in case.planes))
    found: dict[str, bytes] = {}
    for name, scene in zip(names, scenes(case, entry.judged, layout_rank), strict=True):
        if kind == "dxf":
            found[f"{name}.dxf"] = scene_dxf(case, scene, layouts=count, proven=proven)
            continue
        sheets = scene_svgs(case, scene, layouts=count, proven=proven)
        for number, text in enumerate(sheets, 1):
            part = f"-sheet-{number}" if len(sheets) > 1 else ""
            found[f"{name}{part}.svg"] = text.encode()
    return found


def file_names(ids: tuple[str, ...]) -> tuple[str, ...]:
    """A name without its ending for every plane: plain letters, no two alike in any case.

    No name is another's with a sheet's number behind it, and none means something to an operating
    system.
    """
    names: list[str] = []
    taken: set[str] = set()
    for place, text in enumerate(ids, 1):
        plain = _ODD.sub("-", text).strip("-")[:_LONGEST].strip("-")
        name = f"plane-{plain}" if plain else f"plane-{place}"
        if name.lower() in taken or not plain or re.search(r"-sheet-\d+$", name, re.IGNORECASE):
            name = f"{name}-no-{place}" if plain else name
            while name.lower() in taken:
                name += "-x"
        taken.add(name.lower())
        names.append(name)
    return tuple(names)
