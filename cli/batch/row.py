"""What became of each case of a batch, and the exit code of them all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from cli.failures import DONE, FAULT, NO_LAYOUT, OUT_OF_TIME, WRONG_INPUT
from solver.batching import one as batch
from solver.batching.one import NO_FIGURES, Figures

DONE_BEFORE: Final = "done before"
STOPPED: Final = "stopped"
STOPPED_WORDS: Final = "stopped before it was done; the same command again goes on from here"
_CODES: Final = {
    batch.SOLVED: DONE, batch.NO_LAYOUT: NO_LAYOUT, batch.OUT_OF_TIME: OUT_OF_TIME,
    batch.WRONG_CASE: WRONG_INPUT, batch.FAULT: FAULT, STOPPED: OUT_OF_TIME,
}
_WORST_FIRST: Final = (FAULT, WRONG_INPUT, OUT_OF_TIME, NO_LAYOUT)


@dataclass(frozen=True, slots=True)
class Row:
    """A case: its path as found, the name of its result, what became of it.

    `came_to` is a state of `solver.batching.one` or STOPPED; `before` says that it was so in an
    earlier run, and nothing was solved in this one. `name` is empty where there is no result file.
    """

    file: str
    name: str
    came_to: str
    message: str = ""
    figures: Figures = NO_FIGURES
    before: bool = False

    @property
    def state(self) -> str:
        """What the summary says became of it."""
        return DONE_BEFORE if self.before else self.came_to


def unsolved(path: str) -> Row:
    """The row of a case as long as nothing is known of it."""
    return Row(path, "", STOPPED, STOPPED_WORDS)


def exit_code(rows: list[Row]) -> int:
    """The worst of all: a fault, a wrong case, no time, no layout."""
    codes = {_CODES[row.came_to] for row in rows}
    return next((code for code in _WORST_FIRST if code in codes), DONE)
