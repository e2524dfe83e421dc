"""Which first widths the pieces of a plane with an outline allow, before there is a whole case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.case import Case, Panel, Plane, Rules
from solver.case_file import resolve
from solver.case_file.entries_rates import RatesEntry
from solver.units import Units


@dataclass(frozen=True, slots=True)
class Shaped:
    """A plane with an outline at one cover (ticks), and the rules that hold there."""

    plane: Plane
    cover: int
    rules: Rules
    mark: int
    units: Units

    def legal(self, firsts: Sequence[int], bends: bool) -> list[bool]:
        """Which first widths (ticks, at most the cover) leave no piece that breaks a rule.

        `bends`: odd panels or play may mend all but the first panel.
        """
        import numpy as np  # here, as only this needs to wait for it

        from solver.shape.outline import legal_mask, strip_faults

        case = self._case()
        if bends:
            back, wide = self.plane.lay == "right-to-left", self.plane.width
            strips = [(wide - first, wide) if back else (0, first) for first in firsts]
            return [not strip_faults(case, self.plane, low, high) for low, high in strips]
        allowed: list[bool] = legal_mask(
            case, self.plane, np.array(firsts, dtype=np.int64)
        ).tolist()
        return allowed

    def _case(self) -> Case:
        """As much of a case as pieces are judged by."""
        return Case(
            file="", sha256="", title="", units=self.units, setting="new", mark=self.mark,
            step=self.mark, panel=Panel(self.cover, 0, 0), rules=self.rules,
            rates=resolve.rates(RatesEntry()), planes=(self.plane,), links=(), penetrations=(),
        )  # fmt: skip
