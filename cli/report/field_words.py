"""How a field sheet says things, on paper and in the spreadsheet: one place for each sentence."""

from __future__ import annotations

from typing import Final

from cli.report.lines import clean
from cli.report.words import Lengths, end_name, id_of, joined, plural, size_words
from solver.case import Case, Plane
from solver.field.limits import tape_fineness
from solver.field.parts import Ahead, Closing, Diagonal, NoLine, PanelWidth, Row, Run, Triangle
from solver.findings.seam_order import from_line
from solver.units import TICKS_PER

PINS: Final = "Pipes and curbs must never pin a panel: no fastener through both, a gap all round."
CAUTIONS: Final = (
    "FALL PROTECTION for everyone on the roof, from the first line to the last panel.",
    "OPEN HOLES: every one covered, the cover fastened and marked, until its flashing is on.",
    PINS,
    "The panel maker's written details, the local code and the licensed trades govern.",
)


class FieldWords:
    """The words of one plane of a case."""

    def __init__(self, case: Case, plane: Plane) -> None:
        self.case, self.plane = case, plane
        self.lengths = Lengths(case)
        self.both = from_line(case, plane)

    def exact(self, ticks: int) -> str:
        """A width to the mark, or finer where it is no whole number of them."""
        whole = ticks % tape_fineness(self.case) == 0
        return self.lengths.near(ticks) if whole else self.lengths.fine(ticks)

    def mark(self, mark: int) -> str:
        """Which part of a seam the tape reads to."""
        if not mark:
            return "Mark: the seam's centre."
        return (f"Mark: the leg face {self.exact(abs(mark))} {'before' if mark > 0 else 'behind'} "
                "the seam's centre, as seen from the start.")

    def widths(self) -> str:
        """What the widths on the sheet are, so that no pan is ripped to them."""
        return ("Panel widths: what a panel covers, seam's centre to seam's centre or end; what to "
                "cut stands in the list of panels.")

    def far_end(self, run: Run) -> str:
        """What a run is laid towards."""
        return end_name(self.plane, high=run.way == 1)

    def start(self, run: Run) -> str:
        """What a run is laid from."""
        if self.both:
            return (f"the line, {self.lengths.place(self.plane.start or 0)} from the "
                    f"{end_name(self.plane, high=False)}")
        return f"the {end_name(self.plane, high=run.way == -1)}"

    def hook(self, run: Run) -> list[str]:
        """Where the tape is hooked, and where it finds no eave."""
        place = self.lengths.place
        said = f"{'Hold' if self.both else 'Hook'} the tape at {self.start(run)}"
        if run.datum:
            said = (f"Hook the tape at the corner of the eave that is {place(run.datum)} from "
                    f"{self.start(run)}, and run it along the eave. Minus: so far back from that "
                    "corner, on the line of the eave carried on")
        notes = [f"{said}, at the eave, towards the {self.far_end(run)}." if not run.datum else
                 f"{said}."]
        if run.gaps:
            gaps = joined([f"from {place(low)} to {place(high)}" for low, high in run.gaps])
            notes.append(f"No eave {gaps}: carry its line on with a string, or measure there from "
                         "the control line, square to it.")
        return notes

    def number(self, row: Row) -> str:
        """A row's first cell."""
        if row.kind == "start":
            return "0" if self.both else "start"
        return "end" if row.kind == "end" else str(row.number)

    def stop(self, row: Row) -> str:
        """Why the crew stops here, in a word or two; empty where it does not."""
        if row.line or row.closing:
            return f"CONTROL {row.line}" if row.line else "CLOSING"
        kinds = [ahead.pen.kind for ahead in row.here]
        if not kinds:
            return "measure" if row.measure else ""
        also = "+meas." if self.plane.lean is None else "+meas"
        return ("CURB" if "curb" in kinds else "PIPE") + (also if row.measure else "")

    def stops(self, row: Row) -> list[str]:
        """All of them, for the spreadsheet."""
        said = [f"control line {row.line}"] if row.line else []
        said += ["closing begins"] if row.closing else []
        said += ["obstruction"] if row.here else []
        return said + (["measure back"] if row.measure else [])

    def short(self, ahead: Ahead | None) -> str:
        """The next obstruction for a narrow cell."""
        if ahead is None:
            return ""
        low = "start" if ahead.low is None else str(ahead.low)
        way = "past" if self.plane.lean is None else "at"  # no room for more beside the ridge's
        return f"{id_of(ahead.pen.id)} {way} {low}"

    def ahead(self, ahead: Ahead) -> str:
        """ "V3 between 16 and 17, its centre 7 1/4" past 16"."""
        low, high = self._name(ahead.low), "the end" if ahead.high is None else str(ahead.high)
        name = id_of(ahead.pen.id)
        where = f"between {low} and {high}"
        if ahead.on:
            where = f"ON SEAM {low}"
        elif ahead.high is None:
            where = f"between {low} and the far end"
        past = f"{self.lengths.near(abs(ahead.past))} {'past' if ahead.past >= 0 else 'before'}"
        said = f"{name} {where}, its centre {past} {low}"
        if ahead.cut:
            cut = [str(number) for number in ahead.cut]
            texts = cut if len(cut) <= 3 else [f"{cut[0]} to {cut[-1]}"]
            said += f"; cuts seam{'s' if len(cut) > 1 else ''} {joined(texts)}"
        return said

    def here(self, ahead: Ahead) -> str:
        """The same at the place itself, with what it is and how far up the slope."""
        size = size_words(ahead.pen, self.lengths)
        return f"{self.ahead(ahead)}; {size}, {self.lengths.place(ahead.pen.y)} up the slope"

    def lay(self, one: PanelWidth) -> str:
        """What is told of panels before they go on."""
        wide = self.exact(one.width)
        if one.kind == "end" and one.top not in (None, one.width):
            return (f"Panel {one.first}: {wide} at the eave, {self.exact(one.top or 0)} at the "
                    "ridge: ripped to a taper.")
        if one.kind == "end":
            full = one.width == self.case.panel.cover
            return f"Panel {one.first}: {wide}, " + ("a full panel." if full else "ripped.")
        if one.kind == "odd":
            return f"Panel {one.first} is ODD: {wide}."
        if one.first == one.last:
            return f"Panel {one.first}: lay it to {wide}."
        return f"Panels {one.first} to {one.last}: lay each to {wide}."

    def no_line(self, one: NoLine) -> str:
        """Why there is no control line."""
        near = f"No control line near {self.lengths.place(one.target)}"
        if not one.eave:
            return f"{near}: no seam there starts at the eave."
        names = joined([id_of(name) for name in one.about])
        return f"{near}: every seam there runs through {names}. Measure from the line before it."

    def triangle(self, one: Triangle | None) -> str:
        """The squaring triangle."""
        per = TICKS_PER[self.case.units]
        if self.plane.lean is not None and self.plane.lean.fan:
            return ("Fanned: no seam is square to the eave. Chalk every control line from its mark "
                    "at the eave to its mark at the ridge.")
        if one is None:
            unit = "feet" if self.case.units == "in" else "half metres"
            return f"3-4-5: no triangle of whole {unit} fits on this eave; square by the diagonal."
        place, units = self.lengths.place, one.n * one.unit // per
        times = f"{one.n} ft" if self.case.units == "in" else f"{units / 1000:g} m"
        where = "at the start" if one.seam is None else (
            f"at the mark of seam {one.seam}, {place(one.at)} on the tape")
        towards = end_name(self.plane, high=one.way == 1)
        return (f"3-4-5 by {times}: right angle {where}; {place(one.along)} along the eave towards "
                f"the {towards}, {place(one.up)} up the slope, then {place(one.across)} from end "
                "to end.")

    def diagonal(self, one: Diagonal) -> str:
        """A rectangle's diagonal, and what one that reads too long means."""
        place, near = self.lengths.place, self.lengths.near
        what = (f"Panel {one.panel}, {near(one.wide)}" if one.panel is not None else
                f"Start to control line 1 (mark of seam {one.seam}), {place(one.wide)}")
        said = f"{what} by {place(one.long)}: diagonal {place(one.length)}."
        for number, (extra, top) in enumerate(one.off):
            said += (f" {near(extra)} long: the top leans {near(top)} away from the start" if not
                     number else f"; {near(extra)} long: {near(top)}")
        return f"{said}." if one.off else said

    def heights(self, hook: int) -> str:
        """What is told once where the height of a pipe that stands there is not known."""
        return (f"A pipe over {self.lengths.near(hook)} high: a hooked pan cannot be dropped over "
                "it. Slit the pan.")

    def closing(self, one: Closing) -> list[str]:
        """The closing stretch, a sentence each."""
        place, down = self.lengths.place, self.lengths.down2
        begin = self._name(one.seam)
        says = [f"Closing begins at seam {begin}: {place(one.remains)} from its mark to the far "
                f"end, {plural(one.panels, 'panel')}; the last is {self.exact(one.last)} as "
                f"listed and may be {self.lengths.up2(2 * one.last_least)} to "
                f"{down(2 * one.last_most)}."]
        if one.play:
            each = "the one full panel" if one.full == 1 else f"each of the {one.full} full panels"
            says.append(f"Lay {each} {self.exact(one.least)} to "
                        f"{self.exact(one.most)} as needed, all alike; the last takes the "
                        "rest.")
        else:
            says.append("The full panels may take up or give nothing: rip the last."
                        if one.full else "Rip the last.")
        says.append(f"It still closes if seam {begin} reads up to {down(2 * one.ahead)} more, or "
                    f"up to {down(2 * one.behind)} less, than listed. Beyond that STOP: the rest "
                    "has to be planned again.")
        if one.about:
            names = joined([id_of(name) for name in one.about])
            says.append(f"Seams shifted here change the room beside {names}: check it first.")
        return says

    def title(self) -> str:
        """The case's title."""
        return clean(self.case.title).strip() or "(no title)"

    def edition(self, rank: int, proven: bool) -> str:
        """Revision, date and layout."""
        case = self.case
        return "; ".join([
            f"Revision {clean(case.revision)}" if case.revision else "No revision given",
            f"dated {clean(case.date)}" if case.date else "no date given",
            f"layout {rank} of the ranked list" + ("" if proven else " (not proven best)"),
        ]) + "."

    def _name(self, seam: int | None) -> str:
        return "the start" if seam is None else str(seam)
