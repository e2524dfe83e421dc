"""How the panel list says widths, legs, end cuts and laps, on paper and in the spreadsheet."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from cli.report.lines import clean
from cli.report.words import Lengths, joined, plural
from solver.case import Case
from solver.panels.document import area_number
from solver.panels.list import rounded
from solver.panels.parts import Across, Cut, EndKind, Mark, Notch, PanelPiece

LEG_WORDS: Final = {"male": "male", "female": "female", "turned up": "turn up", "none": "point"}
KIND_WORDS: Final[dict[EndKind, str]] = {
    "eave": "eave", "ridge": "ridge", "rake": "rake", "hip": "hip", "valley": "valley",
    "wall": "wall", "curb": "curb", "across": "panels across",
}
_SHORT: Final = {"panels across": "across"}


class PanelWords:
    """The words of one case."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.lengths = Lengths(case)

    def width(self, ticks: Fraction | int) -> str:
        """A width, to the mark."""
        return self.lengths.near(rounded(ticks, self.case.mark))

    def long(self, ticks: Fraction | int) -> str:
        """A length, feet and inches apart, to the mark."""
        return self.lengths.place(rounded(ticks, self.case.mark))

    def area(self, square: Fraction | int) -> str:
        """An area in the case's unit, to one decimal."""
        unit = "sq ft" if self.case.units == "in" else "m²"
        return f"{area_number(square, self.case.units):,.1f} {unit}"

    def ends(self, cuts: Sequence[Cut]) -> str:
        """What an end lies on, for a narrow column: "ridge+hip"."""
        words = [KIND_WORDS[cut.kind] for cut in cuts]
        return "+".join(dict.fromkeys(_SHORT.get(word, word) for word in words))

    def cuts(self, cuts: Sequence[Cut]) -> str:
        """An end cut in words; empty for one square cut."""
        if len(cuts) == 1:
            return self._slant(cuts[0]) if cuts[0].long else ""
        parts = []
        for cut in cuts:
            wide = self.width(cut.right[0] - cut.left[0])
            back = min(cut.left[1], cut.right[1])
            how = self._slant(cut) if cut.long else "square"
            off = f", {self.width(back)} back" if rounded(back, self.case.mark) else ""
            parts.append(f"{KIND_WORDS[cut.kind]} {how} for {wide}{off}")
        return f"in {len(cuts)} cuts from the left: " + "; then ".join(parts)

    def _slant(self, cut: Cut) -> str:
        cover = self.case.panel.cover
        rise = self.width(cut.slant * cover)
        return (f"{cut.degrees:.1f}° from square, {rise} over {self.width(cover)}, "
                f"{cut.long} side long")

    def made(self, piece: PanelPiece) -> str:
        """What is said of a piece that is no plain full or ripped pan."""
        if piece.made == "re-formed":
            return "odd width: ripped from a full sheet and one leg formed anew, both legs kept"
        if piece.made == "two male":
            return ("two male legs, for the line that laying starts from: hooked over from both "
                    "sides")
        if piece.made == "spread":
            return f"a full pan laid to {self.lengths.fine(piece.finished)}"
        return ""

    def laps(self, piece: PanelPiece) -> str:
        """Lengths and end laps; empty where there is one length."""
        if not piece.laps:
            return ""
        lengths = joined([self.long(length) for length in piece.lengths])
        at = joined([self.long(lap.y - piece.bottom) for lap in piece.laps])
        begin = "a lap begins" if len(piece.laps) == 1 else "laps begin"
        said = f"{len(piece.lengths)} lengths from its lower end up: {lengths}; {begin} at {at}"
        moved = [self.long(abs(lap.shifted)) + (" up" if lap.shifted > 0 else " down")
                 for lap in piece.laps if rounded(lap.shifted, self.case.mark)]
        if moved:
            said += f", shifted {joined(moved)} to keep off flashings and end cuts"
        near = list(dict.fromkeys(clean(name) for lap in piece.laps for name in lap.near))
        if near:
            said += f"; A LAP CANNOT BE KEPT OFF THE FLASHING OF {joined(near)}"
        if any(lap.bevel for lap in piece.laps):
            said += "; A LAP FALLS INTO AN END CUT"
        return said

    def notches(self, piece: PanelPiece) -> str:
        """What a piece is cut out for."""
        groups: dict[tuple[str, Fraction, Fraction], list[Notch]] = {}
        for notch in piece.notches:
            groups.setdefault((notch.name, notch.low, notch.high), []).append(notch)
        said = []
        for (name, low, high), notches in groups.items():
            left = joined([f"{self._narrow(one.left)} at its {one.side}" for one in notches])
            said.append(f"{clean(name)} from {self.long(low - piece.bottom)} to "
                        f"{self.long(high - piece.bottom)} up from its lower end, leaving {left}")
        return "cut out for " + joined(said) if said else ""

    def _narrow(self, left: Fraction) -> str:
        least = self.case.rules.min_piece
        said = self.width(left)
        return f"{said} (LESS THAN THE {self.width(least)} OF A PIECE)" if left < least else said

    def numbers(self, mark: Mark) -> str:
        """The panels that a mark stands for: "panels 2 and 8 to 20"."""
        numbers = sorted({piece.panel for piece in mark.pieces})
        runs: list[list[int]] = []
        for number in numbers:
            if runs and number == runs[-1][1] + 1:
                runs[-1][1] = number
            else:
                runs.append([number, number])
        texts = [
            str(low) if low == high else f"{low} to {high}" if high > low + 1 else f"{low}, {high}"
            for low, high in runs
        ]
        return ("panel " if len(numbers) == 1 else "panels ") + joined(texts)

    def notes(self, mark: Mark) -> list[str]:
        """All that is said below a row of the list."""
        piece = mark.piece
        said = [self.numbers(mark)]
        for where, cuts in (("lower end", piece.lower), ("upper end", piece.upper)):
            if words := self.cuts(cuts):
                said.append(f"{where} {words}")
        said += [self.made(piece), self.notches(piece), self.laps(piece)]
        return [words for words in said if words]

    def across(self, one: Across) -> str:
        """What is said of panels laid across."""
        return (f"laid across above {clean(one.curb)}, {self.width(one.between)} between the seams "
                f"beside it, {self.long(one.height)} up the slope; the uppermost is ripped to fit, "
                "where the roof narrows they are cut to it")

    def pieces(self, count: int) -> str:
        """ "27 pieces"."""
        return plural(count, "piece")
