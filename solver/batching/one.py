"""One case of a batch, from bytes to the result file's text, so that any process can solve it.

A task holds all it takes: the case file and its CSV as bytes. A worker needs neither the files nor
the folder they came from. Whatever is wrong with one case becomes its answer, never an exception.
"""

from __future__ import annotations

import tempfile
import time
import traceback
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from solver import __version__
from solver.errors import CaseError, DisagreementError, OffseamError, Problem

if TYPE_CHECKING:
    from solver.case import Case
    from solver.clock import Clock

State = Literal["solved", "no layout", "time ran out", "wrong case", "fault of the program"]
SOLVED: Final = "solved"
NO_LAYOUT: Final = "no layout"
OUT_OF_TIME: Final = "time ran out"
WRONG_CASE: Final = "wrong case"
FAULT: Final = "fault of the program"
REPORT: Final = "please report it together with the case file"
_NO_TIME: Final = "time ran out before any layout was found: give more with --time"
_MOST_PROBLEMS: Final = 3


@dataclass(frozen=True, slots=True)
class Task:
    """A case to solve. `suffix` is the case file's; `sheet` the name and bytes of its CSV.

    `sha256` is of the case file's bytes followed by the CSV's. `top` is how many layouts to list,
    `limit` how many seconds the work may take (None: no limit).
    """

    suffix: str
    data: bytes = field(repr=False)
    sheet: tuple[str, bytes] | None = field(repr=False)
    sha256: str
    top: int
    limit: float | None


@dataclass(frozen=True, slots=True)
class Figures:
    """What a summary says of a result file. Money in cents; None where there is no such layout."""

    title: str = ""
    proof: str = ""
    cost: int | None = None
    usual: int | None = None
    blind: int | None = None
    counts: Mapping[str, int] | None = None
    guessed_rates: int = 0
    seconds: float | None = None

    @property
    def saving(self) -> int | None:
        """How much less than the usual layout the first one costs, in cents."""
        return None if self.cost is None or self.usual is None else self.usual - self.cost


NO_FIGURES: Final = Figures()


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a task. `text` is the result file, None where there is none.

    `message` says in a sentence what is wrong, `trace` where a fault happened, for who mends it.
    `version` is that of the program that solved it.
    """

    state: State
    message: str = ""
    text: str | None = field(default=None, repr=False)
    figures: Figures = NO_FIGURES
    stopped: str = ""
    trace: str = field(default="", repr=False)
    version: str = __version__


def solve_task(task: Task, begun: Callable[[Clock], None] | None = None) -> Answer:
    """Solve a task. Raises nothing: what goes wrong is in the answer.

    `begun` is called with the clock by which the work can be asked to end early.
    """
    began = time.monotonic()
    try:
        return _solved(task, begun)
    except CaseError as error:
        return Answer(WRONG_CASE, case_words(error))
    except TimeoutError:
        return Answer(OUT_OF_TIME, _NO_TIME, figures=_took(began))
    except Exception as error:
        trace = "".join(traceback.format_exception(error))
        return Answer(FAULT, fault_words(error), figures=_took(began), trace=trace)


def _took(began: float) -> Figures:
    return Figures(seconds=round(time.monotonic() - began, 3))


def _solved(task: Task, begun: Callable[[Clock], None] | None) -> Answer:
    from solver.api import solve
    from solver.clock import Clock
    from solver.document import dump, result_document

    clock = Clock(task.limit)
    if begun is not None:
        begun(clock)
    result = solve(_case(task), top=task.top, clock=clock)
    document = result_document(result)
    state, message = outcome(document)
    return Answer(state, message, dump(document), figures_of(document), result.stopped)


def _case(task: Task) -> Case:
    from solver.case_file.load import case_from_document
    from solver.case_file.load_file import parse

    document = parse(task.data, "", task.suffix)
    if task.sheet is None:
        return case_from_document(document, file="", sha256=task.sha256, beside=Path("."))
    name, rows = task.sheet
    with tempfile.TemporaryDirectory(prefix="offseam-") as folder:
        place = Path(folder, name)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(rows)
        return case_from_document(document, file="", sha256=task.sha256, beside=Path(folder))


def outcome(document: Mapping[str, Any]) -> tuple[State, str]:
    """What a result file says became of its case, and why where there is no layout."""
    if document["layouts"]:
        return SOLVED, "" if document["complete"] else "time ran out: the best found so far"
    if not document["complete"]:
        return OUT_OF_TIME, _NO_TIME
    reasons = [one["says"] for one in document["findings"] if one["severity"] == "error"]
    return NO_LAYOUT, " ".join(["no layout satisfies the rules.", *reasons[:_MOST_PROBLEMS]])


def figures_of(document: Mapping[str, Any]) -> Figures:
    """The figures of a result file.

    Raises:
        KeyError, TypeError, ValueError: it is no result file.
    """
    layouts, usual, blind = document["layouts"], document["usual"], document["blind"]
    first = layouts[0] if layouts else None
    return Figures(
        title=document["title"],
        proof=document["proof"] if first else "",
        cost=_cents(first["cost"]["total"]) if first else None,
        usual=_cents(usual["cost"]["total"]) if usual else None,
        blind=_cents(blind["mean"]) if blind else None,
        counts=first["counts"] if first else None,
        guessed_rates=len(document["rates"]["default"]),
        seconds=document["seconds"],
    )


def _cents(money: float) -> int:
    return round(money * 100)


def case_words(error: CaseError) -> str:
    """What is wrong with a case in a sentence or a few; its file is named beside them."""
    problems = [
        Problem("", one.where, one.key, one.got, one.want).sentence() for one in error.problems
    ]
    more = len(problems) - _MOST_PROBLEMS
    if more > 0:
        problems[_MOST_PROBLEMS:] = [f"and {more} more: offseam solve with this case tells all"]
    return "; ".join(problems)


def fault_words(error: BaseException) -> str:
    """A fault of the program in a sentence, with what to do about it."""
    if isinstance(error, MemoryError):
        return "the computer has too little memory for this case: split it into fewer planes"
    if isinstance(error, DisagreementError):
        return f"two of the program's own computations disagree; {REPORT}"
    return f"{what_happened(error)}; {REPORT}"


def what_happened(error: BaseException) -> str:
    """An error on one line: what it says, and where it happened unless it was raised on purpose."""
    said = " ".join(str(error).split())
    if isinstance(error, OffseamError):
        return said
    last = traceback.extract_tb(error.__traceback__)[-1:]
    where = f" in {Path(last[0].filename).name}, line {last[0].lineno}" if last else ""
    return f"{type(error).__name__}{f': {said}' if said else ''}{where}"
