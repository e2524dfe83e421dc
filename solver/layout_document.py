"""A judged layout as plain JSON values in the case's units and currency."""

from __future__ import annotations

from typing import Any

from solver.case import Case, Plane
from solver.case_parts import Outline
from solver.result import (
    COUNT_NAMES,
    Cost,
    Judged,
    JudgedCentre,
    JudgedPenetration,
    JudgedStretch,
    Ranked,
)
from solver.units import to_number

Json = dict[str, Any]


def money_number(cents: int) -> float:
    """Cents as currency units; two decimals are exact enough for a JSON number."""
    return cents / 100


class LayoutWriter:
    """Writes layouts of one case."""

    def __init__(self, case: Case) -> None:
        self.case = case

    def ticks(self, value: int | None) -> float | None:
        return None if value is None else to_number(2 * value, self.case.units)

    def halves(self, value: int | None) -> float | None:
        return None if value is None else to_number(value, self.case.units)

    def penetration(self, pen: JudgedPenetration) -> Json:
        return {
            "id": pen.id,
            "plane": pen.plane,
            "x": self.ticks(pen.x),
            "moved": self.ticks(pen.moved),
            "state": pen.state,
            "room": self.halves(pen.room2),
            "needed": self.halves(pen.needed2),
            "margin": self.halves(pen.margin2),
            "seams_cut": pen.seams_cut,
            "seam_low": self.ticks(pen.seam_low),
            "seam_high": self.ticks(pen.seam_high),
            "clear_from": self.halves(pen.clear_from2),
            "clear_to": self.halves(pen.clear_to2),
            "worst_room": self.halves(pen.worst_room2),
            "worst_margin": self.halves(pen.worst_margin2),
            "at_risk": pen.at_risk,
            **({} if pen.landed is None else {"landed": list(pen.landed)}),
        }

    def centre(self, centre: JudgedCentre) -> Json:
        """`off` is null where a rib is asked for and the plane has none."""
        return {
            "plane": centre.plane,
            "what": centre.what,
            "at": self.ticks(centre.at),
            "on": centre.on,
            "hit": centre.hit,
            "off": self.halves(centre.off2),
        }

    def shape(self, plane: Plane) -> Json:
        """What the case says of a plane beyond its width and length; points are on the slope."""
        shape: Json = {}
        if plane.outline is not None:
            shape["outline"] = self.outline(plane.outline)
        if plane.holes:
            shape["holes"] = [
                {"what": hole.what, "outline": self.outline(hole.outline)} for hole in plane.holes
            ]
        if plane.pitch is not None:
            shape["pitch"] = plane.pitch.text
        return shape

    def outline(self, outline: Outline) -> list[Json]:
        """Points counter-clockwise; `edge` is the kind of the one that begins there."""
        return [
            {"x": self.ticks(x), "y": self.ticks(y), "edge": kind}
            for (x, y), kind in zip(outline.points, outline.kinds, strict=True)
        ]

    def stretch(self, stretch: JudgedStretch) -> Json:
        """`change` is how much wider (+) or narrower each of its `full` panels is laid."""
        return {
            "stretch": stretch.stretch,
            "panels": [stretch.first_panel, stretch.last_panel],
            "full": stretch.full,
            "module": self.ticks(stretch.module),
            "change": self.ticks(stretch.module - self.case.panel.cover),
        }

    def layout(self, judged: Judged, windows: tuple[tuple[int, int], ...] | None = None) -> Json:
        planes = []
        for place, (given, plane) in enumerate(zip(self.case.planes, judged.planes, strict=True)):
            entry: Json = {
                "id": plane.id,
                "low_end": given.low_end,
                "high_end": given.high_end,
                "lay": given.lay,
                "from": self.ticks(given.start),
                **self.shape(given),
                "first": self.ticks(plane.first),
                "last": self.ticks(plane.last),
                "panels": plane.panels,
                "seams": [self.ticks(seam) for seam in plane.seams],
                "odd": [
                    {
                        "panel": odd.panel, "width": self.ticks(odd.width),
                        "low": self.ticks(odd.low), "high": self.ticks(odd.high),
                    }
                    for odd in plane.odd
                ],
            }
            if self.case.rules.play:
                entry["stretches"] = [self.stretch(stretch) for stretch in plane.stretches]
            if plane.top is not None:
                entry["top"] = [self.ticks(width) for width in plane.top]
            if windows is not None:
                entry["window"] = [self.ticks(end) for end in windows[place]]
            planes.append(entry)
        return {
            "cost": cost_document(judged.cost),
            "counts": counts_document(self.case, judged),
            "planes": planes,
            "links": [
                {
                    "planes": list(link.planes), "meet": link.meet,
                    "strays": self.halves(link.strays2),
                }
                for link in judged.links
            ],
            "centres": [self.centre(centre) for centre in judged.centres],
            "penetrations": [self.penetration(pen) for pen in judged.penetrations],
        }

    def entry(self, entry: Ranked) -> Json:
        against = entry.against_first
        return {
            "rank": entry.rank,
            "bound": money_number(entry.bound),
            "proof": entry.proof,
            **self.layout(entry.judged, entry.windows),
            "against_first": {
                "gains": against.gains,
                "gives": against.gives,
                "money": money_number(against.money),
                "says": against.says,
            },
        }


def counts_document(case: Case, judged: Judged) -> Json:
    """The counts by name; `stock` only where the case charges sheets by their area."""
    counts: Json = dict(zip(COUNT_NAMES, judged.counts, strict=True))
    if not case.rates.each["area"].given:
        del counts["stock"]
    return counts


def cost_document(cost: Cost) -> Json:
    """The cost and its parts in currency units; `stock` only where any is charged."""
    return {
        "total": money_number(cost.total),
        "flashing": money_number(cost.flashing),
        "moves": money_number(cost.moves),
        "odd_panels": money_number(cost.odd_panels),
        "look": money_number(cost.look),
        "play": money_number(cost.play),
        **({"stock": money_number(cost.stock)} if cost.stock else {}),
    }
