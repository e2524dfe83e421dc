"""Roofs of any size for timing, made from a seed. Not for judging correctness."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any


def many_planes(
    planes: int, pipes: int, *, eave_in: int = 2544, seed: int = 1, movable: bool = True,
    ring: bool = False,
) -> dict[str, Any]:
    """A document with `planes` slopes in linked ridge pairs, stacked in a chain, `pipes` on each.

    Lengths are inches. Every second slope mirrors the one before it; from pair to pair the roofs
    stand in line (`same`), as on a row of equal workshops. `ring` links the last slope with the
    first as well: links that no tree can follow, so that all planes must be settled together.
    """
    rng = random.Random(seed)
    document: dict[str, Any] = {
        "title": f"{planes} slopes of {pipes} pipes",
        "units": "in",
        "panel": {"cover": 18, "seam_half": 0.5},
        "rules": {"min_end": 6},
        "plane": [
            {
                "id": f"P{n + 1}",
                "width": eave_in + rng.randrange(0, 17),
                "length": 552,
                "lay": "left-to-right" if n % 2 == 0 else "right-to-left",
            }
            for n in range(planes)
        ],
        "link": [
            {"planes": [f"P{n}", f"P{n + 1}"], "how": "mirror" if n % 2 else "same"}
            for n in range(1, planes)
        ],
        "penetration": [],
    }
    if ring and planes > 2:
        closing = {"planes": ["P1", f"P{planes}"], "how": "mirror" if planes % 2 else "same"}
        document["link"].append(closing)
    sizes = (1.9, 2.375, 3.5, 4.5)
    for n in range(planes):
        for k in range(pipes):
            document["penetration"].append(
                {
                    "id": f"V{n + 1}-{k + 1}",
                    "plane": f"P{n + 1}",
                    "kind": "pipe",
                    "x": rng.randrange(40, 2 * (eave_in - 20)) / 2,
                    "y": rng.randrange(24, 530),
                    "outside": rng.choice(sizes),
                    "status": rng.choice(["fixed", "stubbed", "planned"]) if movable else "fixed",
                }
            )
    return document


def fixed_roof(
    planes: int, pipes: int, eave_ft: int, odd_panels: int, *, mark: str = "1/16", seed: int = 1
) -> dict[str, Any]:
    """A document as of `many_planes`, of pipes that cannot move, to a sixteenth of an inch.

    `eave_ft`: feet of each plane's eave, up to one panel more. `mark` in inches.
    """
    rng = random.Random(seed)
    document = many_planes(planes, 0, eave_in=12 * eave_ft, movable=False)
    document |= {"title": f"{planes} slopes of {pipes} fixed pipes", "mark": mark}
    document["rules"]["odd_panels"] = odd_panels
    for n in range(planes):
        document["plane"][n]["width"] = 12 * eave_ft + rng.randrange(0, 18 * 16) / 16
        for k in range(pipes):
            document["penetration"].append({
                "id": f"V{n + 1}-{k + 1}",
                "plane": f"P{n + 1}",
                "kind": "pipe",
                "x": rng.randrange(20 * 16, (12 * eave_ft - 20) * 16) / 16,
                "y": rng.randrange(24, 530),
                "outside": rng.choice((1.9, 2.375, 3.5, 4.5)),
            })
    return document


SHEET_PLANES = 20
_COLUMNS = "id;plane;kind;x;y;outside;status;hold"


def write_sheet_case(folder: Path, rows: int, *, seed: int = 1) -> Path:
    """Write a case of `SHEET_PLANES` slopes whose pipes stand in a spreadsheet of `rows` rows.

    The sheet is written as spreadsheets export it: byte-order mark, semicolons, feet and inches in
    doubled quotes. Returns the path of the case file; the sheet is `pipes.csv` beside it.
    """
    rng = random.Random(seed)
    lines = [_COLUMNS]
    for n in range(rows):
        half_inches = rng.randrange(80, 4 * 1200)
        feet, inches = divmod(half_inches // 2, 12)
        x = f"""\"{feet}' {inches}{' 1/2' if half_inches % 2 else ''}\"\"\""""
        y = f"""\"{rng.randrange(2, 45)}' {rng.randrange(0, 12)}\"\"\""""
        outside = rng.choice(("1.9", "2.375", "3 1/2", "4.5"))
        status = rng.choice(("fixed", "stubbed", "planned"))
        lines.append(f"V{n + 1};P{n % SHEET_PLANES + 1};pipe;{x};{y};{outside};{status};")
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "pipes.csv").write_text("\n".join(lines) + "\n", encoding="utf-8-sig")
    head = ['title = "A long sheet"', 'units = "in"', 'penetrations_csv = "pipes.csv"',
            "[panel]", "cover = 18", "seam_half = 0.5", "[rules]", "min_end = 6"]
    for n in range(SHEET_PLANES):
        head += ["[[plane]]", f'id = "P{n + 1}"', "width = 2544", "length = 552"]
    case = folder / "case.toml"
    case.write_text("\n".join(head) + "\n", encoding="utf-8")
    return case
