"""An explanation as JSON values: lengths in the case's units."""

from __future__ import annotations

from typing import Any, Final

from solver.case import Case
from solver.conflicts.result import (
    Explanation,
    Group,
    Need,
    PairSum,
    Part,
    Relief,
    Run,
    SingleSum,
    Starts,
)
from solver.findings.left_out import left_out
from solver.units import to_number

FORMAT: Final = "offseam-why-1"
Json = dict[str, Any]


def why_document(case: Case, answers: list[Explanation], versions: dict[str, str]) -> Json:
    """The explanations of a case, one for each cover it compares, as JSON values."""
    return {
        "format": FORMAT,
        "title": case.title,
        "units": case.units,
        "versions": versions,
        "case_sha256": case.sha256,
        "answers": [_Writer(answer).answer() for answer in answers],
    }


class _Writer:
    def __init__(self, answer: Explanation) -> None:
        self.it = answer
        self.units = answer.case.units

    def ticks(self, value: int) -> float:
        return to_number(2 * value, self.units)

    def halves(self, value: int) -> float:
        return to_number(value, self.units)

    def runs(self, runs: tuple[Run, ...]) -> list[list[float]]:
        return [[self.ticks(low), self.ticks(high)] for low, high in runs]

    def starts(self, starts: Starts) -> Json:
        return {name: self.ticks(first) for name, first in starts}

    def answer(self) -> Json:
        it = self.it
        best = [pair for part in it.parts for pair in part.best]
        return {
            "cover": self.ticks(it.case.panel.cover),
            "all_clear": it.all_clear,
            "starts": self.starts(tuple(best)) if it.all_clear else None,
            "reasons": [
                {"code": f.code, "about": list(f.about), "says": f.says} for f in it.reasons
            ],
            "left_out": left_out(it.case, "this explanation"),
            "groups_found": it.found,
            "groups_shown": len(it.groups),
            "complete": not it.stopped and all(part.complete for part in it.parts),
            "parts": [self.part(part) for part in it.parts],
            "groups": [self.group(group) for group in it.groups],
        }

    def part(self, part: Part) -> Json:
        return {
            "planes": list(part.planes),
            "penetrations": part.penetrations,
            "all_clear": part.all_clear,
            "best": {
                "starts": self.starts(part.best),
                "not_clear": list(part.not_clear),
                "proven": part.proven or not part.not_clear,
                "runs": self.runs(part.runs),
            } if part.best else None,
            "groups_found": part.found,
            "complete": part.complete,
            "complete_to": part.complete_to,
            "ended": part.ended,
            "often": dict(part.often),
        }

    def group(self, group: Group) -> Json:
        entry: Json = {
            "penetrations": list(group.ids),
            "members": [
                {"id": member.id, "plane": member.plane, "clear_starts": self.runs(member.runs)}
                for member in group.members
            ],
            "without": [
                {"drop": each.id, "starts": self.starts(each.starts)} for each in group.without
            ],
            "takes_part": [self.relief(relief) for relief in group.reliefs],
            "judged": {"starts": group.judged, "all": group.whole},
        }
        if group.pair is not None:
            entry["pair"] = self.pair(group.pair)
        if group.single is not None:
            entry["single"] = self.single(group.single)
        if group.linked is not None:
            entry["linked"] = {
                "plane": group.linked.plane,
                "links_leave": self.runs(group.linked.left),
                "clear_starts": self.runs(group.linked.wanted),
            }
        return entry

    def relief(self, relief: Relief) -> Json:
        return {
            "without": [{"what": t.kind, "about": list(t.about)} for t in relief.things],
            "starts": self.starts(relief.starts),
            "runs": self.runs(relief.runs),
        }

    def need(self, need: Need) -> Json:
        return {
            "id": need.id,
            "from_seam_before": self.halves(need.before2),
            "from_seam_after": self.halves(need.after2),
        }

    def pair(self, pair: PairSum) -> Json:
        return {
            "needs": [self.need(pair.one), self.need(pair.other)],
            "apart": self.ticks(pair.apart),
            "whole_covers": pair.pans,
            "over": self.ticks(pair.over),
            "short": self.ticks(pair.short),
            "seam_needs": [self.halves(pair.between2), self.halves(pair.around2)],
            "further": self.halves(pair.further2),
            "nearer": self.halves(pair.nearer2),
        }

    def single(self, single: SingleSum) -> Json:
        near = single.nearest
        return {
            "too_wide": self.need(single.need) if single.need is not None else None,
            "end": single.end or None,
            "end_room": self.halves(single.end_room2),
            "needed": self.halves(single.needed2),
            "nearest": None if near is None else {
                "start": self.ticks(near[0]), "margin": self.halves(near[1]),
            },
        }
