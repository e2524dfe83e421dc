"""The phrases of the stub-up list, the same on paper and in the spreadsheet.

Every distance is positive and says towards what it goes: no sign and no left or right to misread.
"""

from __future__ import annotations

import re
from typing import Final

from cli.report.lines import clean
from solver.case import Case, State
from solver.case_file.fittings import ANGLE_WORDS, FittingPair
from solver.stubs.landmarks import Landmark
from solver.stubs.list import PlaneSheet, StubRow
from solver.stubs.stretch import Limit, Stretch
from solver.stubs.vent_notes import is_vent
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, format_length

STATUS: Final = {"fixed": "fixed", "stubbed": "roughed in", "planned": "drawn only"}
_NOT_CLEAR: Final[dict[State, str]] = {
    "tight": "stands tight in its pan",
    "crosses": "has its flashing cross a seam, and is flashed for that",
    "on-seam": "stands on a seam, and the pan is spliced for that",
}
_BARE_FRACTION: Final = re.compile(r"' (\d+/\d+\")")
_FINEST: Final = {"in": TICKS_PER_INCH // 64, "mm": TICKS_PER_MM // 10}


class StubWords:
    """Phrases about the rows of one plane's sheet."""

    def __init__(self, case: Case, sheet: PlaneSheet) -> None:
        self.case = case
        self.sheet = sheet

    def tape(self, ticks: float, mark: int | None = None) -> str:
        """A length as a tape shows it: `1' 0 3/4"` and not `1' 3/4"`."""
        text = format_length(2 * round(ticks), self.case.units, mark or self.case.mark, feet=True)
        return with_inches(text)

    def room(self, ticks: float) -> str:
        """A length that must be free, rounded up to a mark."""
        mark = self.case.mark
        return self.tape(-(-round(ticks) // mark) * mark)

    def datum(self, row: StubRow) -> str:
        """Where the tape is held: "grid line 4"."""
        return clean(row.taping.datum.says())

    def way(self, mark: Landmark, *, high: bool) -> str:
        """A direction: "towards grid line 5 (east gable side)", "towards the east gable"."""
        if mark.kind == "end":
            return f"towards {clean(mark.says())}"
        end = self.sheet.high_end if high else self.sheet.low_end
        return f"towards {clean(mark.says())} ({clean(end.name)} side)"

    def place(self, row: StubRow, x: int, mark: int | None = None, *, inner: int = 0) -> str:
        """A centre from the datum: `2' 3 1/2" towards grid line 5`, or "on it".

        `inner` +1 or -1 rounds towards larger or smaller x: a stretch is never overstated.
        """
        at = self.marked(row, x, mark, inner)
        towards = row.taping.towards(at)
        if towards is None:
            return "on it"
        apart = self.tape(abs(at - row.taping.datum.x), mark)
        return f"{apart} towards {clean(towards.says())}"

    def marked(self, row: StubRow, x: int, mark: int | None, inner: int) -> int:
        """`x` on the nearest mark of a tape held at the datum, or on the next one inwards."""
        step, datum = mark or self.case.mark, row.taping.datum.x
        if inner > 0:
            return -((datum - x) // step) * step + datum
        if inner < 0:
            return (x - datum) // step * step + datum
        return round((x - datum) / step) * step + datum

    def ends(self, row: StubRow) -> tuple[str, str] | None:
        """The acceptable stretch, from smaller to larger x, rounded inwards; None without one."""
        if not isinstance(row.stretch, Stretch):
            return None
        low, high = row.stretch.low.x, row.stretch.high.x
        mark: int | None = row.tape_mark
        if self.marked(row, low, mark, 1) > self.marked(row, high, mark, -1):
            mark = min(row.tape_mark, _FINEST[self.case.units])
        if self.marked(row, low, mark, 1) > self.marked(row, high, mark, -1):
            only = self.place(row, row.taped, mark)
            return only, only
        return self.place(row, low, mark, inner=1), self.place(row, high, mark, inner=-1)

    def centre(self, row: StubRow, x: int, mark: int | None = None) -> str:
        """A centre in full: `2' 3 1/2" from grid line 4 towards grid line 5`."""
        return self._from_datum(row, self.place(row, x, mark))

    def _from_datum(self, row: StubRow, place: str) -> str:
        apart, between, way = place.partition(" towards ")
        if not between:
            return f"on {self.datum(row)}"
        if row.taping.datum.kind == "end":  # a plane lies on one side of its end only
            return f"{apart} from {self.datum(row)}"
        return f"{apart} from {self.datum(row)} towards {way}"

    def acceptable(self, row: StubRow) -> str:
        """The stretch in a sentence, or why there is none."""
        if isinstance(row.stretch, Limit):
            return f"only as drawn: it stands against a rule already ({limit_words(row.stretch)})"
        if not row.listed:
            return "stays where it is"
        ends = self.ends(row)
        if ends is None:
            return f"only as drawn: there it {_NOT_CLEAR[row.stands.state]}; ask before moving it"
        low, high = ends
        if low == high:
            return f"only {self._from_datum(row, low)}: nothing to spare"
        (one, _, side), (other, _, other_side) = (
            end.partition(" towards ") for end in (low, high)
        )
        if side and side == other_side:
            if row.taped < row.taping.datum.x:
                one, other = other, one
            return self._from_datum(row, f"{one} to {other} towards {side}")
        return f"from {self._from_datum(row, low)} to {self._from_datum(row, high)}"

    def limits(self, row: StubRow) -> str:
        """What ends the stretch on each side."""
        if not isinstance(row.stretch, Stretch):
            return ""
        low, high = limit_words(row.stretch.low), limit_words(row.stretch.high)
        return low if low == high else f"{low}; {high}"

    def bay(self, row: StubRow) -> str:
        """The pan a centre ends in: "between seams 6 and 7, counted from the west gable"."""
        bay, start = row.bay, clean(self.sheet.start.says())
        if self.sheet.start.kind == "line":
            start += f" (seam 0), minus towards {clean(self.sheet.low_end.says())}"
        if bay.on is not None:
            return f"ON seam {bay.on}, counted from {start}"
        low, high = bay.low_no, bay.high_no
        if low is None and high is None:
            return "in a pan without seams, the only one"
        if low is None or high is None:
            number = high if low is None else low
            end = self.sheet.low_end if low is None else self.sheet.high_end
            return f"between {clean(end.says())} and seam {number}, counted from {start}"
        return f"between seams {min(low, high)} and {max(low, high)}, counted from {start}"

    def beside(self, row: StubRow) -> tuple[str, str]:
        """Distances of the set-to position from what bounds the pan, from smaller to larger x."""
        bay, x, sheet = row.bay, row.stands.x, self.sheet
        sides = (
            (bay.low, bay.low_no, sheet.low_end), (bay.high, bay.high_no, sheet.high_end),
        )
        said = []
        for seam, number, end in sides:
            if seam is None:
                said.append(f"{self.tape(abs(end.x - x))} from {clean(end.says())}")
            else:
                said.append(f"{self.tape(abs(seam - x))} from seam {number}")
        return said[0], said[1]

    def check(self, row: StubRow) -> str:
        """The two distances, the one on the side where laying starts first."""
        low, high = self.beside(row)
        plane = self.sheet.plane
        if plane.lay == "right-to-left" or (plane.start or 0) > row.stands.x:
            low, high = high, low
        return f"{low}, {high}"

    def move(self, row: StubRow) -> str:
        """A move with its direction; empty where the pipe stays."""
        if row.towards is None:
            return ""
        size = self.tape(abs(row.stands.moved))
        return f"{size} {self.way(row.towards, high=row.stands.moved > 0)}"

    def size(self, row: StubRow) -> str:
        """Nominal size where given, and the outside: `nominal 3, 3 1/2" outside`."""
        pen = row.pen
        if pen.kind == "curb":
            return f"{self.tape(pen.across)} x {self.tape(pen.along)} curb"
        outside = f"{self.tape(pen.outside)} outside"
        return f"nominal {clean(pen.nominal)}, {outside}" if pen.nominal else outside

    def status(self, row: StubRow) -> str:
        """How far the pipe is: "roughed in"; a frozen one is "agreed before" as well."""
        return STATUS[row.pen.status] + (", agreed before" if row.frozen else "")

    def what(self, row: StubRow) -> str:
        """Status and use: "roughed in, vent"."""
        return self.status(row) + (f", {clean(row.pen.use)}" if row.pen.use else "")

    def making(self, row: StubRow) -> str:
        """How the pipe gets there, in a sentence or three."""
        pen = row.pen
        if not row.listed:
            return f"fixed: {clean(pen.hold)}" if pen.hold else "fixed"
        if not row.stands.moved:
            return "nothing to make: it stays as drawn"
        if pen.status == "planned":
            return "not roughed in yet: run it up here from the start, no offset needed"
        if row.pair is not None:
            return self._with_fittings(row, row.pair)
        runs = "; ".join(
            f"{ANGLE_WORDS[pair.angle]}: travel {self.tape(pair.travel)}, advance "
            f"{self.tape(pair.advance)}" for pair in row.pairs
        )
        whose = f"nominal size {clean(pen.nominal)}" if pen.nominal else "this pipe"
        return (
            f"two equal fittings, centre to centre: {runs}. Geometry only: fitting dimensions for "
            f"{whose} were not given, so check that the offset can be made"
        )

    def _with_fittings(self, row: StubRow, pair: FittingPair) -> str:
        assert pair.least is not None and pair.height is not None and pair.between is not None
        fits = {
            True: f"fits the {self.tape(row.pen.headroom or 0)} given",
            False: "",
            None: "headroom not given: check it",
        }[pair.fits]
        return (
            f"two {ANGLE_WORDS[pair.angle]} fittings. Centre to centre: travel "
            f"{self.tape(pair.travel)}, advance {self.tape(pair.advance)}. "
            f"{self.tape(max(pair.between, 0))} between their ends. Least offset "
            f"{self.room(pair.least)}. Headroom needed {self.room(pair.height)}, end to end; {fits}"
        )

    def vent(self, row: StubRow) -> str:
        """What is to be asked about this vent itself; empty where nothing is."""
        return "; ".join(note.short for note in row.vent) if is_vent(row.pen) else ""


def with_inches(text: str) -> str:
    """`1' 3/4"` as `1' 0 3/4"`, which nobody takes for 1 3/4"."""
    return _BARE_FRACTION.sub(r"' 0 \1", text)


def limit_words(limit: Limit) -> str:
    """What ends a stretch: "spacing to V4"."""
    about = clean(limit.about)
    return {
        "seams": "clear of seams and end laps",
        "edge": "distance from the plane's end",
        "keepout": f"keep-out {about}" if about else "keep-out",
        "spacing": f"spacing to {about}",
        "reach": "reach",
        "fittings": "what fittings can make",
    }[limit.kind]
