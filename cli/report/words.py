"""Trade words and shop lengths: how a report says states, moves, seams and money."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from cli.report.lines import Style, clean, shorten, shorten_middle
from solver.case import Case, Penetration, Plane, State
from solver.findings.seam_order import at_height, from_line, seam_numbers
from solver.findings.tradeoff import count_phrase, money
from solver.result import JudgedPenetration, JudgedPlane
from solver.units import TICKS_PER_INCH, TICKS_PER_MM, format_length

__all__ = [
    "MARKS", "STATE_STYLE", "STATE_WORDS", "Lengths", "SeamNumbers", "count_phrase",
    "end_name", "id_of", "joined", "lay_words", "money", "move_words", "number_words", "plural",
    "size_words",
]

STATE_WORDS: Final[dict[State, str]] = {
    "clear": "clear", "tight": "tight", "crosses": "crosses", "on-seam": "on a seam",
    "crowded": "crowded", "spans": "spans",
}
STATE_STYLE: Final[dict[State, Style]] = {
    "clear": "", "tight": "warn", "crosses": "warn", "on-seam": "bad", "crowded": "warn",
    "spans": "",
}
MARKS: Final[dict[State, str]] = {
    "clear": "o", "tight": "t", "crosses": "x", "on-seam": "@", "crowded": "c", "spans": "#",
}
"""One letter for each state in the strip and beside the table; a clear curb is `#` too."""
LONGEST_NAME: Final = 32


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths as the reader of a case writes them, to the mark of the crew."""

    case: Case

    def near(self, ticks: int) -> str:
        """To the nearest mark, with its unit."""
        return format_length(2 * ticks, self.case.units, self.case.mark)

    def place(self, ticks: int) -> str:
        """A place along the eave, feet and inches apart where the case is in inches."""
        return format_length(2 * ticks, self.case.units, self.case.mark, feet=True)

    def place_up(self, halves: int) -> str:
        """A place rounded towards larger x: where something begins."""
        return self._up(halves, feet=True)

    def place_down(self, halves: int) -> str:
        """A place rounded towards smaller x: where something ends."""
        return format_length(halves, self.case.units, self.case.mark, how="down", feet=True)

    def near2(self, halves: int) -> str:
        """Half ticks to the nearest mark."""
        return format_length(halves, self.case.units, self.case.mark)

    def down2(self, halves: int) -> str:
        """Half ticks rounded towards less: a margin is never overstated."""
        return format_length(halves, self.case.units, self.case.mark, how="down")

    def up2(self, halves: int) -> str:
        """Half ticks rounded towards more: what is needed is never understated."""
        return self._up(halves, feet=False)

    def _up(self, halves: int, *, feet: bool) -> str:
        text = format_length(-halves, self.case.units, self.case.mark, how="down", feet=feet)
        return text.removeprefix("-") if text.startswith("-") or halves == 0 else f"-{text}"

    def fine(self, ticks: int) -> str:
        """What is finer than the crew's mark: a module, a change of it, what changes add up to."""
        return format_length(2 * ticks, self.case.units, self._fine_mark())

    def fine_place(self, ticks: int) -> str:
        """A place along the eave, finer than the crew's mark."""
        return format_length(2 * ticks, self.case.units, self._fine_mark(), feet=True)

    def _fine_mark(self) -> int:
        finest = TICKS_PER_INCH // 64 if self.case.units == "in" else TICKS_PER_MM // 10
        return min(self.case.rules.play_mark or finest, finest)

    def cell(self, text: str) -> str:
        """A length for a column whose heading names the unit: millimetres lose theirs."""
        return text.removesuffix(" mm")

    @property
    def unit(self) -> str:
        """The unit for a heading: nothing in inches, whose marks say it."""
        return "mm" if self.case.units == "mm" else ""


@lru_cache(maxsize=65536)
def id_of(text: str) -> str:
    """An id in a sentence: cleaned and of bearable length."""
    return shorten_middle(clean(text), LONGEST_NAME)


def end_name(plane: Plane, *, high: bool) -> str:
    """The name of an end of a plane, without the article that sentences put before it."""
    name = clean(plane.high_end if high else plane.low_end)
    return shorten(name.removeprefix("the ") or name, LONGEST_NAME)


def lay_words(lengths: Lengths, plane: Plane) -> str:
    """From where to where a plane is laid."""
    low, high = end_name(plane, high=False), end_name(plane, high=True)
    if from_line(lengths.case, plane):
        return f"laid both ways from a line {lengths.place(plane.start or 0)} from the {low}"
    start, finish = (high, low) if plane.lay == "right-to-left" else (low, high)
    way = "right-to-left" if plane.lay == "right-to-left" else "left-to-right"
    return f"laid {way}, from the {start} to the {finish}"


def number_words(case: Case, plane: Plane) -> str:
    """Where seams are numbered from."""
    if from_line(case, plane):
        return (f"seams are numbered from the line, which is seam 0, minus towards the "
                f"{end_name(plane, high=False)}")
    return f"seams are numbered from the {end_name(plane, high=plane.lay == 'right-to-left')}"


def plural(count: int, one: str, many: str | None = None) -> str:
    """ "1 pipe", "2 pipes", "1,200 pipes"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def joined(parts: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def size_words(pen: Penetration, lengths: Lengths) -> str:
    """What a penetration is: "3 1/2\" pipe", "38\" x 50\" curb"."""
    if pen.kind == "pipe":
        return f"{lengths.cell(lengths.near(pen.outside))} pipe"
    across, along = (lengths.cell(lengths.near(side)) for side in (pen.across, pen.along))
    return f"{across} x {along} curb"


def move_words(plane: Plane, stands: JudgedPenetration, lengths: Lengths) -> str:
    """A move with its direction: "2 1/2\" towards the west gable"; empty where it stays."""
    if not stands.moved:
        return ""
    end = end_name(plane, high=stands.moved > 0)
    return f"{lengths.near(abs(stands.moved))} towards the {end}"


class SeamNumbers:
    """Seams of one plane by number, counted from where laying starts.

    `y` is the height (ticks) at which they are named by where they stand; it matters in a fan only.
    """

    def __init__(self, plane: Plane, judged: JudgedPlane, y: int = 0) -> None:
        self._plane = plane
        self._seams = at_height(plane, judged, y).seams
        self._numbers = seam_numbers(plane, judged.seams)

    def of(self, seam: int) -> int:
        """The number of the seam at `seam` ticks."""
        return self._numbers[bisect_left(self._seams, seam)]

    def beside(self, stands: JudgedPenetration, longest: int | None = None) -> str:
        """The seams on both sides, the one nearer the start first: "16|17".

        On a plane laid both ways from a line the one of smaller x is first: "-2|-1". An edge is
        "end", or by its name of at most `longest` cells where that is given.
        """
        low = self._name(stands.seam_low, longest, high=False)
        high = self._name(stands.seam_high, longest, high=True)
        pair = (high, low) if self._plane.lay == "right-to-left" else (low, high)
        return "|".join(pair)

    def _name(self, seam: int | None, longest: int | None, *, high: bool) -> str:
        if seam is not None:
            return str(self.of(seam))
        if longest is None:
            return "end"
        return shorten(end_name(self._plane, high=high), longest)
