"""What a survey came to, for JSON: lengths as numbers of the case's units (floats, for reading)."""

from __future__ import annotations

from typing import Any

from solver.survey.surveyed import Surveyed
from solver.units import TICKS_PER


def survey_document(found: Surveyed) -> dict[str, Any]:
    """Corners, how each is out, readings, lengths against the drawing, how the plane leans."""
    per = TICKS_PER[found.units]

    def size(ticks: float) -> float:
        return round(ticks / per, 6) + 0.0  # no minus zero

    return {
        "how": found.how,
        "corners": [
            {
                "corner": out.corner, "x": size(x), "y": size(y), "angle": round(out.angle, 6),
                "out": size(out.out), "over": size(out.over), "within_0_005": out.within,
            }
            for out, (x, y) in zip(found.outs, found.corners, strict=True)
        ],
        "readings": [
            {
                "name": one.name, "read": size(one.read), "fits": size(one.computed),
                "residual": size(one.residual), "fitted": one.fitted,
                "alone": None if one.alone is None else size(one.alone),
            }
            for one in found.readings
        ],
        "worst": None if found.worst is None else found.worst.name,
        "diagonals": {name: size(found.length(name)) for name in ("up", "down")},
        "against_drawing": [
            {"name": name, "drawn": size(drawn), "differs": size(more)}
            for name, drawn, more in found.against_drawing
        ],
        "low_lean": size(found.low_lean), "high_lean": size(found.high_lean),
        "ridge_longer": size(found.ridge_longer), "ridge_rise": size(found.ridge_rise),
        "rakes_parallel": found.rakes_parallel, "ridge_parallel": found.ridge_parallel,
    }  # fmt: skip
