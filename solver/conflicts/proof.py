"""Every group looked at again by the independent checker, which shares nothing with the search.

Which first widths are legal, what they leave clear and which of them meet are all the checker's own
judgement here: whole marks are tried one by one, whatever the tables say.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from solver.case import Case, alone
from solver.checker.judge import judge
from solver.conflicts.result import Relief, Starts
from solver.conflicts.world import must_links, without
from solver.errors import DisagreementError
from solver.layout import Layout
from solver.result import Judged

MOST_JUDGED: Final = 60_000
MOST_PAIRS: Final = 3_000
"""So many layouts are judged for one report, and so many pairs of linked planes for one group;
beyond, a group is judged in part, and that is said."""
_BAD_START: Final = {
    "end-rule", "piece-narrow", "piece-short", "whole-mark", "one-panel", "must-centre",
}


@dataclass(frozen=True)
class Proof:
    """`judged` starts seen to leave the group not all clear; `whole`: these were all of them.

    `nearest` (first width, margin in half ticks) is, for one pipe alone, the legal start with
    its largest margin; None for anything else.
    """

    judged: int
    whole: bool
    nearest: tuple[int, int] | None


class Prover:
    """Judges the groups of one part; `budget` (one entry) is shared by all parts of a report."""

    def __init__(self, case: Case, planes: tuple[int, ...], budget: list[int]) -> None:
        self.case, self.planes, self.budget = case, planes, budget
        self.links = must_links(case, planes)
        self._until = 0
        self._legal: dict[int, list[int]] = {}
        self._meets: dict[tuple[int, int, int, int], bool] = {}

    def part(self, case: Case, pens: tuple[int, ...]) -> Case:
        """The planes of this part alone, with some of what stands on them."""
        return _only(case, self.planes, pens)

    def witness(self, group: tuple[int, ...], starts: Starts, case: Case | None = None) -> None:
        """Insist that a start is legal and leaves a group clear, in `case` or the case itself."""
        judged = _judge(self.part(case or self.case, group), tuple(f for _, f in starts))
        if not _legal(judged) or any(pen.state != "clear" for pen in judged.penetrations):
            self._disagree(group, f"a start at {starts} leaves them clear, says the search")

    def relief(self, group: tuple[int, ...], relief: Relief) -> None:
        """Insist that a group is clear once these things are taken away."""
        self.witness(group, relief.starts, without(self.case, relief.things))

    def never(self, group: tuple[int, ...]) -> Proof:
        """Insist that no legal start of the part leaves the group clear.

        Raises:
            DisagreementError: the checker finds one that does.
        """
        before = self.budget[0]
        clear: dict[int, list[int]] = {}
        nearest: list[tuple[int, int]] = []
        whole = True
        for i in self.planes:
            mine = tuple(p for p in group if self.case.penetrations[p].plane
                         == self.case.planes[i].id)
            clear[i] = []
            small = _only(self.case, (i,), mine)
            alone = len(group) == 1 and self.case.penetrations[group[0]].kind == "pipe"
            for first in self.legal(i):
                if mine and self.budget[0] <= 0:
                    whole = False
                    break
                judged = self._judged(small, (first,)).penetrations if mine else ()
                if all(pen.state == "clear" for pen in judged):
                    clear[i].append(first)
                if alone and judged and judged[0].margin2 is not None:
                    nearest.append((judged[0].margin2, first))
        self._until = self.budget[0] - MOST_PAIRS
        whole = self._none_meet(group, clear) and whole
        best = max(nearest, key=lambda found: (found[0], -found[1]), default=None)
        return Proof(
            before - self.budget[0], whole, (best[1], best[0]) if best and whole else None)

    def legal(self, i: int) -> list[int]:
        """The first widths of a plane that the checker finds nothing wrong with."""
        if i not in self._legal:
            plane, cover, mark = self.case.planes[i], self.case.panel.cover, self.case.mark
            agreed = dict(self.case.freeze.firsts).get(plane.id)
            small = _only(self.case, (i,), ())
            if plane.width <= cover:
                tried = [plane.width]
            else:
                tried = sorted({*range(mark, cover, mark), cover})
            self._legal[i] = [
                first for first in tried
                if (first < plane.width or plane.width <= cover) and agreed in (None, first)
                and _legal(_judge(small, (first,)))
            ]
        return self._legal[i]

    def _none_meet(self, group: tuple[int, ...], clear: dict[int, list[int]]) -> bool:
        """Insist that no choice out of `clear` keeps the links; False where not all were judged."""
        for chosen in self._choices({}, clear):
            if chosen is None:
                return False
            self._disagree(group, f"a start at {chosen} leaves them clear, says the checker")
        return True

    def _choices(
        self, chosen: dict[int, int], clear: dict[int, list[int]]
    ) -> Iterator[dict[int, int] | None]:
        """Choices of first widths that keep all links; None once enough was judged."""
        rest = [i for i in self.planes if i not in chosen]
        if not rest:
            yield chosen
            return
        # A plane linked to one already chosen, and of those the one with the fewest choices.
        tied = [i for i in rest if any({a, b} <= {i, *chosen} and i in (a, b)
                                       for a, b, _ in self.links)]
        i = min(tied or rest, key=lambda plane: len(clear[plane]))
        for first in clear[i]:
            if self.budget[0] <= max(self._until, 0):
                yield None
                return
            if all(self._meet(i, first, j, chosen[j]) for j in chosen):
                yield from self._choices({**chosen, i: first}, clear)

    def _meet(self, i: int, first: int, j: int, other: int) -> bool:
        if not any({a, b} == {i, j} for a, b, _ in self.links):
            return True
        if i > j:
            i, first, j, other = j, other, i, first
        key = (i, first, j, other)
        if key not in self._meets:
            judged = self._judged(_only(self.case, (i, j), ()), (first, other))
            self._meets[key] = all(link.meet for link in judged.links)
        return self._meets[key]

    def _judged(self, case: Case, firsts: tuple[int, ...]) -> Judged:
        self.budget[0] -= 1
        return _judge(case, firsts)

    def _disagree(self, group: tuple[int, ...], what: str) -> None:
        ids = ", ".join(self.case.penetrations[p].id for p in group)
        raise DisagreementError(
            f"The checker and the search for conflicts disagree about {ids}: {what} (ticks). A "
            "fault of the program: neither view is to be trusted."
        )


def _only(case: Case, planes: tuple[int, ...], pens: tuple[int, ...]) -> Case:
    """Some planes, some penetrations and the must links between these planes, nothing else."""
    return replace(
        alone(case, tuple(case.planes[i].id for i in planes)),
        penetrations=tuple(case.penetrations[p] for p in pens),
        links=tuple(link for _, _, link in must_links(case, planes)),
    )


def _judge(case: Case, firsts: tuple[int, ...]) -> Judged:
    return judge(case, Layout(firsts, (0,) * len(case.penetrations)))


def _legal(judged: Judged) -> bool:
    """Whether the start itself is legal: end rule, whole marks, must links."""
    return not any(b.code in _BAD_START for b in judged.breaks) and all(
        link.meet for link in judged.links)
