"""What the page's own script looks things up in: exact whole numbers, and texts as data.

Lengths are ticks (half ticks where a name ends in `2`), money is cents. Rows over first widths are
packed as `solver.page.pack` says.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Final

from cli.page.markup import shown
from cli.report.words import Lengths, lay_words, size_words
from solver.case import Case, Penetration, Plane
from solver.case_parts import Outline
from solver.findings.seam_order import from_line
from solver.page.pack import packed
from solver.page.parts import PageParts
from solver.page.tables import PageTables, Shape, Track
from solver.result import COUNT_NAMES, Judged, Ranked, Result
from solver.risk.creep import has_tolerances
from solver.units import TICKS_PER, TICKS_PER_INCH, TICKS_PER_MM

Json = dict[str, Any]
_RATES: Final = (
    "tight", "crosses", "on_seam", "seam_cut", "crowded", "move_planned", "move_stubbed",
    "odd_panel", "play", "uneven", "misaligned", "off_centre", "unlanded", "area",
)
_UNSAFE: Final = str.maketrans({
    "<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029",
})


def script_json(value: Any) -> str:
    """JSON that may stand in a script element: nothing in it can end the element."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.translate(_UNSAFE)


def page_data(result: Result, parts: PageParts) -> Json:
    """Everything the page shows live."""
    case, rules = result.case, result.case.rules
    index = {plane.id: number for number, plane in enumerate(case.planes)}
    return {
        "units": case.units, "mark": case.mark, "per": TICKS_PER[case.units],
        "unevenUnit": TICKS_PER_INCH if case.units == "in" else 25 * TICKS_PER_MM,
        "cover": case.panel.cover, "unevenFree": rules.uneven_free, "meetTol": rules.meet_tol,
        "remeasure": rules.remeasure, "robust": rules.robust, "shifts": has_tolerances(case),
        "stockCharged": case.rates.each["area"].given,
        "rates": {name: case.rates.cents(name) for name in _RATES},
        "countNames": list(COUNT_NAMES),
        "planes": [
            _plane(case, plane, parts.tables.shapes[number])
            for number, plane in enumerate(case.planes)
        ],
        "pens": [_pen(case, pen, index[pen.plane]) for pen in case.penetrations],
        "links": [
            {
                "planes": [index[name] for name in link.planes], "mirror": link.how == "mirror",
                "offset": link.offset, "stagger": link.stagger, "must": link.must,
                "along": link.along,
            }
            for link in case.links
        ],
        "centres": [
            {"plane": index[one.plane], "at": one.at, "on": one.on, "must": one.must,
             "what": shown(one.what)}
            for one in case.centres
        ],
        "frozenFirsts": [[index[name], width] for name, width in case.freeze.firsts],
        "frozenMoves": [
            [i, move] for i, pen in enumerate(case.penetrations)
            for name, move in case.freeze.moves if name == pen.id
        ],
        "near": [[p.one, p.one_move, p.other, p.other_move] for p in parts.tables.pairs],
        "views": _views(result, parts),
    }


def _plane(case: Case, plane: Plane, shapes: Sequence[Shape]) -> Json:
    return {
        "id": shown(plane.id), "width": plane.width, "length": plane.length, "lay": plane.lay,
        "start": plane.start, "fromLine": from_line(case, plane),
        "low": shown(plane.low_end), "high": shown(plane.high_end),
        "laid": lay_words(Lengths(case), plane),
        "outline": None if plane.outline is None else _outline(plane.outline),
        "lean": None if plane.lean is None else {
            "low": plane.lean.low, "high": plane.lean.high, "fan": plane.lean.fan,
        },
        "holes": [{"what": shown(h.what), "outline": _outline(h.outline)} for h in plane.holes],
        "keepouts": [
            {"x": [k.x_from, k.x_to], "y": None if k.y_from is None else [k.y_from, k.y_to],
             "what": shown(k.what)}
            for k in plane.keepouts
        ],
        "grid": [
            {"id": shown(line.id), "x": line.x} for line in case.gridlines if line.plane == plane.id
        ],
        "pitch": None if plane.pitch is None else shown(plane.pitch.text),
        "pens": list(case.on(plane.id)),
        "shapes": [_shape(case, plane, shape) for shape in shapes],
    }


def _outline(outline: Outline) -> Json:
    return {"points": [list(point) for point in outline.points], "kinds": list(outline.kinds)}


def _shape(case: Case, plane: Plane, shape: Shape) -> Json:
    return {
        "odds": [list(odd) for odd in shape.odds],
        "changes": [list(one) for one in shape.changes],
        "firsts": packed(shape.firsts),
        "seams": None if shape.seams is None else list(shape.seams),
        "stock": packed(shape.stock) if case.rates.each["area"].given else None,
        "hits": [[one.centre, packed([int(hit) for hit in one.hit])] for one in shape.hits],
        "tops": None if shape.tops is None else [
            packed([pair[side] for pair in shape.tops]) for side in (0, 1)
        ],
        "tracks": [_track(case, track) for track in shape.tracks],
    }


def _track(case: Case, track: Track) -> list[Any]:
    """Number, move, states (6: on a seam because of an end), margins, and what is not all nothing:
    margins after the worst shift, seams cut, walls without a seam."""
    states = [6 if end else state for state, end in zip(track.states, track.at_end, strict=True)]
    return [
        track.pen, track.move, packed(states), packed(track.margins2),
        packed(track.worst2) if has_tolerances(case) else None,
        packed(track.cut) if any(track.cut) else None,
        packed(track.unlanded) if any(track.unlanded) else None,
    ]


def _pen(case: Case, pen: Penetration, plane: int) -> Json:
    return {
        "id": shown(pen.id), "plane": plane, "kind": pen.kind, "x": pen.x, "y": pen.y,
        "outside": pen.outside, "base": pen.base, "across": pen.across, "along": pen.along,
        "status": pen.status, "what": size_words(pen, Lengths(case)),
        "use": shown(pen.use or ""), "hold": shown(pen.hold or ""),
        "forbid": list(pen.forbid), "mustLand": pen.must_land,
        "detail": pen.detail,
    }


def _views(result: Result, parts: PageParts) -> list[Json]:
    """What can be chosen: the list, the usual layout, the best as drawn."""
    found = [_listed(entry, parts, n) for n, entry in enumerate(result.layouts)]
    for name, title, judged in (
        ("usual", "usual", result.usual), ("drawn", "as drawn", result.as_drawn),
    ):
        if judged is not None:
            found.append({"name": name, "title": title, **_layout(judged, parts.tables)})
    return found


def _listed(entry: Ranked, parts: PageParts, number: int) -> Json:
    sheets = parts.fields[number]
    return {
        "name": str(entry.rank), "title": f"layout {entry.rank}", "proof": entry.proof,
        "bound": entry.bound, **_layout(entry.judged, parts.tables),
        "control": [
            [
                run.start + run.way * row.centre
                for run in plane.runs for row in run.rows if row.line
            ]
            for plane in sheets.planes
        ],
    }


def _layout(judged: Judged, tables: PageTables) -> Json:
    layout = judged.layout
    return {
        "total": judged.cost.total,
        "shapes": [tables.shape_of(layout, n) for n in range(len(layout.firsts))],
        "firsts": list(layout.firsts),
        "moves": [[i, move] for i, move in enumerate(layout.moves) if move],
    }
