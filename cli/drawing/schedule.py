"""The schedule of a plane: one row a penetration, texts only, the same on SVG and DXF."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from cli.report.lines import clean
from cli.report.obstacle import foul_of_end
from cli.report.stub_words import STATUS, with_inches
from cli.report.words import STATE_WORDS, Lengths
from solver.case import Case
from solver.drawing.parts import Scene, Side, Standing
from solver.risk.creep import has_tolerances

LEAST_TEXT: Final = 4


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, the group it stands under ("" for none), whether figures stand in it
    (to the right) and how narrow its text may be folded (characters; 0: never)."""

    head: str
    group: str = ""
    right: bool = False
    fold: int = 0


@dataclass(frozen=True, slots=True)
class Schedule:
    """Columns, rows of texts as wide as the columns, and notes that say how to read them."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


class Words:
    """How lengths and places are said on the drawings of one case."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._lengths = Lengths(case)

    def place(self, ticks: int) -> str:
        """A distance as a tape shows it, feet and inches apart; millimetres without their unit."""
        return self._lengths.cell(with_inches(self._lengths.place(ticks)))

    def near(self, ticks: int) -> str:
        """A width or size."""
        return self._lengths.cell(self._lengths.near(ticks))

    def full(self, ticks: int) -> str:
        """A width or size with its unit."""
        return self._lengths.near(ticks)

    def down2(self, halves: int) -> str:
        """Half ticks, rounded towards less: a margin is never overstated."""
        return self._lengths.cell(self._lengths.down2(halves))

    def size(self, one: Standing) -> str:
        """Kind and size: "pipe 3 1/2\\", base 8 1/2\\"", "curb 22\\" x 45\\""."""
        pen = one.pen
        if pen.kind == "curb":
            built = {"flange": "", "ribbed": ", ribbed", "close": ", built close"}[pen.detail]
            return f"curb {self.near(pen.across)} x {self.near(pen.along)}{built}"
        what = clean(pen.use) if pen.use else "pipe"
        return f"{what} {self.near(pen.outside)}, base {self.near(pen.base)}"

    def grid(self, one: Standing) -> str:
        """Grid line and distance: "4 + 2' 3 1/2\\""; + is towards the high end."""
        name = clean(one.datum.name)
        if one.off == 0:
            return f"on {name}"
        return f"{name} {'+' if one.off > 0 else '-'} {self.place(abs(one.off))}"

    def state(self, scene: Scene, one: Standing) -> str:
        """The state in a word or two."""
        if one.stands.at_risk:
            return "clear, at risk"
        meets_end = one.stands.state == "on-seam" and foul_of_end(
            self.case, scene.plane, scene.judged, one.pen, one.stands
        )
        return "meets end" if meets_end else STATE_WORDS[one.stands.state]

    def action(self, one: Standing) -> str:
        """What is to be done with it, or why it stays."""
        agreed = " (agreed)" if dict(self.case.freeze.moves).get(one.pen.id) is not None else ""
        if one.moved and one.move_towards is not None:
            size = self.full(abs(one.stands.moved))
            return f"MOVE {size} towards {clean(one.move_towards.says())}{agreed}"
        if one.pen.hold:
            return f"held: {clean(one.pen.hold)}"
        if one.pen.status == "fixed":
            return "stays: fixed"
        return f"stays{agreed}"


def schedule_of(case: Case, scene: Scene) -> Schedule:
    """The schedule of one plane, in increasing x of where things finally stand."""
    words = Words(case)
    low, high = clean(scene.low_end.says()), clean(scene.high_end.says())
    plan = scene.plane.pitch is not None
    shifts = has_tolerances(case)
    below, above = f"towards {low}", f"towards {high}"
    columns = [
        Column("tag"), Column("kind and size", fold=10), Column("plane"),
        Column("grid + x", fold=9), Column("x", right=True), Column("y on slope", right=True),
        *([Column("y in plan", right=True)] if plan else []),
        Column("state"), Column("status"),
        Column("seam", below), Column("at", below, right=True),
        Column("margin", below, right=True),
        Column("seam", above), Column("at", above, right=True),
        Column("margin", above, right=True),
        Column("tolerance"), *([Column("worst", right=True)] if shifts else []),
        Column("action", fold=16), Column("rev"),
    ]
    rows = tuple(
        (
            clean(one.pen.id), words.size(one), clean(scene.plane.id), words.grid(one),
            words.place(one.stands.x), words.place(one.pen.y),
            *([words.place(one.y_plan or 0)] if plan else []),
            words.state(scene, one), STATUS[one.pen.status],
            *_side(words, one.low), *_side(words, one.high),
            f"± {words.near(one.pen.x_tol)}" if one.pen.x_tol else "not given",
            *([_margin(words, one.stands.worst_margin2)] if shifts else []),
            words.action(one), clean(case.revision) or "–",
        )
        for one in scene.penetrations
    )
    return Schedule(tuple(columns), rows, tuple(_notes(case, scene, low, high, shifts=shifts)))


def _side(words: Words, side: Side) -> tuple[str, str, str]:
    seam = "end" if side.seam is None else str(side.seam)
    return seam, words.place(side.distance), _margin(words, side.margin2)


def _margin(words: Words, margin2: int | None) -> str:
    return "–" if margin2 is None else words.down2(margin2)


def _notes(case: Case, scene: Scene, low: str, high: str, *, shifts: bool) -> list[str]:
    unit = "Lengths in millimetres. " if case.units == "mm" else ""
    notes = [
        f"{unit}x: centre along the eave from {low}. grid + x: from the grid line, or the end, "
        f"named; + towards {high}, - towards {low}.",
        "at: from the centre of the penetration to the centre of that seam, or to that end of the "
        "roof. margin: what is left on that side beyond all the room it needs; - is missing. "
        "tolerance: how far its position may be off as entered.",
    ]
    if shifts:
        notes[-1] += " worst: the least margin when seams and position are off as far as allowed."
    if scene.plane.pitch is not None:
        notes[0] += f" Pitch {clean(scene.plane.pitch.text)}."
    return notes
