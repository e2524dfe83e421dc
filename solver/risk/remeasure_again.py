"""What knowing a position is worth where the best for every first width is not known in parts.

Odd panels, play and a line to lay from tie a whole plane together: the case is solved again.
"""

from __future__ import annotations

from dataclasses import replace

from solver.case import Case, Freeze, Penetration
from solver.checker.judge import judge
from solver.clock import Clock
from solver.freeing.marginals import NEVER
from solver.result import PROVEN, Judged
from solver.tabling.measured import Gain, true_positions, worth


class Again:
    """What is best once a position is known, by solving the case again."""

    possible = True

    def __init__(self, case: Case, clock: Clock) -> None:
        self.case, self.clock = case, clock

    def gain(self, i: int, first: Judged) -> tuple[int, Gain]:
        """The worth of knowing position `i`: exactly (cents times positions), and rounded.

        Raises:
            TimeoutError: the clock ran out.
        """
        pen, layout = self.case.penetrations[i], first.layout
        known = [self._with(i, (replace(pen, x=x, x_tol=0),)) for x in true_positions(pen)]
        keep = [judge(one, layout).cost.total for one in known]
        # Without it nothing costs more: what it needs and is charged for falls away. A join that
        # it belongs to is no part of solving.
        least = self._best(self._with(i, ()))
        best = [
            now if now <= least else min(now, self._best(one))
            for now, one in zip(keep, known, strict=True)
        ]
        return worth(pen, keep, best)

    def _with(self, i: int, pens: tuple[Penetration, ...]) -> Case:
        every = self.case.penetrations
        moves = tuple(
            pair for pair in self.case.freeze.moves if pens or pair[0] != every[i].id
        )
        return replace(
            self.case, penetrations=(*every[:i], *pens, *every[i + 1 :]), joins=(), covers=(),
            freeze=Freeze(self.case.freeze.firsts, moves),
        )

    def _best(self, case: Case) -> int:
        from solver.api import solve

        found = solve(case, top=1, clock=self.clock)
        if self.clock.over() or (found.layouts and found.layouts[0].proof != PROVEN):
            raise TimeoutError
        return found.layouts[0].judged.cost.total if found.layouts else NEVER
