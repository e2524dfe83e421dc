"""Sentences of a replan for one run of a plane."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.words import Lengths, end_name
from solver.replan.answer import Replan, RestPanel, Run


class ReplanWords:
    """How one run is told: lengths to the tape mark, which a hooked tape reads."""

    def __init__(self, answer: Replan, run: Run) -> None:
        self.run, self.case = run, answer.case
        self.lengths = Lengths(self.case)
        field = self.case.field
        self.mark = self.case.panel.seam_back if field is None else field.tape_mark

    @property
    def start(self) -> str:
        """Where the laying of the run starts."""
        plane = self.run.plane
        if plane.lay == "from":
            towards = end_name(plane, high=self.run.front.sign > 0)
            return f"line, towards the {towards}"
        return end_name(plane, high=plane.lay == "right-to-left")

    def measured(self) -> str:
        """What was measured and by how much that is off."""
        front = self.run.front
        due = front.planned[-1]
        parts = [f"at the eave {self._off(front.eave, due)}"]
        top = due + front.tilt.top(front.seam) - front.tilt.start
        planned = self.lengths.fine_place(due)
        if front.leans or top != due:
            parts.append(f"at the ridge {self._off(front.taped_ridge, top)}")
        if top != due:
            planned += f" (at the ridge {self.lengths.fine_place(top)})"
        return f"Its centre was to stand {planned} from there; measured {', '.join(parts)}."

    def _off(self, measured: int, due: int) -> str:
        off = measured - due
        told = "as planned" if not off else (
            f"{self.lengths.fine(abs(off))} {'gained' if off > 0 else 'lost'}"
        )
        return f"{self.lengths.fine_place(measured)} ({told})"

    def decision(self) -> str:
        """The first panel that calls for one."""
        return f"First decision at panel {self.run.decision}: {self.run.why}."

    def width(self, panel: RestPanel) -> str:
        """Width of a panel, at the eave."""
        return self.lengths.fine(panel.width[0])

    def far(self, panel: RestPanel) -> str:
        """The tape's reading at the far edge of a panel; the end's for the last one."""
        if panel.kind == "last":
            return "(end of the run)"
        eave = self.lengths.fine_place(panel.far[0] - self.mark - self.run.front.datum)
        return eave

    def at_ridge(self) -> Iterator[str]:
        """What the tape reads otherwise at the ridge."""
        front = self.run.front
        lean = front.taped_ridge - front.eave
        if front.datum:
            yield ("Tape marks as on the field sheet: the tape is hooked at the corner of the eave "
                   f"that is {self.lengths.place(front.datum)} from where laying starts.")
        if front.tilt.full:
            yield ("Readings are at the eave; beside them what the tape reads at the ridge, hooked "
                   "at the rake there. Lay each seam to both.")
        elif lean:
            word = "more" if lean > 0 else "less"
            yield (f"Readings are at the eave; at the ridge each is {self.lengths.fine(abs(lean))} "
                   f"{word}.")

    def kind(self, panel: RestPanel) -> str:
        """What a panel is; in a fan also what its seam reads at the ridge."""
        if panel.kind == "last":
            return f"last (plan {self.lengths.fine(self.run.planned_last)})"
        if panel.kind == "module":
            return "other module" if panel.stretch is None else f"stretch {panel.stretch} from here"
        if self.run.front.tilt.full:
            return f"{panel.kind}, ridge {self.lengths.place(panel.far[1] - self.mark)}"
        return {"full": "full", "odd": "ODD PANEL"}[panel.kind]

    def beside(self, panel: RestPanel) -> str:
        """What else there is to say of the last panel: its width at the ridge, if that differs."""
        if panel.kind != "last" or panel.width[0] == panel.width[1]:
            return ""
        return f"{self.lengths.fine(panel.width[1])} at the ridge"

    def trouble(self) -> Iterator[str]:
        """Why nothing closes, and what would mend it."""
        yield from (f"Breaks a rule: {says}" for says in self.run.breaks)
        bad = self.run.least_bad
        if bad is None:
            if not self.run.legal and not self.run.breaks:
                yield ("No way to lay the rest obeys the rules, or none was found in the time; "
                       "what is listed is what comes nearest.")
            return
        least, cover = self.case.rules.min_end, self.case.panel.cover
        widths = [self.lengths.fine(bad.last[0])]
        if bad.last[0] != bad.last[1]:
            widths = [f"{widths[0]} at the eave", f"{self.lengths.fine(bad.last[1])} at the ridge"]
        yield (f"NOTHING CLOSES: the end nearest to a legal one is {' and '.join(widths)}, "
               f"{self.lengths.fine(bad.off)} too {'narrow' if bad.narrow else 'wide'} (it is to "
               f"be {self.lengths.near(least)} to {self.lengths.near(cover)}).")
        mend = bad.mend
        ways = []
        if mend.narrower is not None:
            ways.append(f"lay each of the {mend.panels} full panels "
                        f"{self.lengths.fine(mend.narrower)} narrower")
        if mend.wider is not None:
            ways.append(f"lay each full panel {self.lengths.fine(mend.wider)} wider, one panel "
                        "fewer" if bad.narrow else
                        f"lay each of the {mend.panels} full panels "
                        f"{self.lengths.fine(mend.wider)} wider")
        if mend.odd is not None:
            ways.append(f"one odd panel of {self.lengths.near(mend.odd)} in place of a full one")
        if not ways:
            yield ("Nothing that is still to lay mends it: seams already laid have to come up, or "
                   "the panel maker and whoever answers for the roof allow another end.")
        else:
            yield (f"What would mend it, if the panel maker and whoever answers for the roof "
                   f"agree: {'; or '.join(ways)}.")
