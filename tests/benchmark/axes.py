"""Roofs of pipes that cannot move as they grow, one size at a time: four engines side by side.

Every measurement is a process of its own. Wherever two engines finish they must prove the same
optimum. An engine that does not finish a size within the limit is not tried on larger ones.
"""

from __future__ import annotations

import json
import statistics
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from figures import MISSING, DifferentOptimumError, Table, seconds, times
from one_engine import BRUTE, DIRECT, HIGHS, TABLES
from processes import report_of
from roofs import fixed_roof

COARSE, FINE = "1/4", "1/16"
FINE_TABLES = "tables, fine"
DRAWING_NOTES = (
    f"{FINE_TABLES}: marks of {FINE} in; all others: of {COARSE} in. The tables settle the whole "
    "tie order and what stands beside the list,",
    "the others prove the cost alone. What did not finish a size was not tried on larger ones.",
)
_MB = 1_000_000
_SHORT = 1.0
"""Seconds: what took less is measured again, and the median taken."""


@dataclass(frozen=True)
class Series:
    """One line of a plot: an engine, and the mark the crew works to (inches)."""

    name: str
    engine: str
    mark: str


SERIES = (
    Series(TABLES, TABLES, COARSE),
    Series(FINE_TABLES, TABLES, FINE),
    Series(DIRECT, DIRECT, COARSE),
    Series(HIGHS, HIGHS, COARSE),
    Series(BRUTE, BRUTE, COARSE),
)


@dataclass(frozen=True)
class Axis:
    """What grows: its sizes, and the roof of a size and a mark."""

    key: str
    title: str
    sizes: tuple[int, ...]
    roof: Callable[[int, str], dict[str, Any]]


@dataclass(frozen=True)
class Cell:
    """One size for one series. Seconds are None where the limit was hit, peak (MB) if unknown."""

    seconds: float | None
    cpu: float | None
    cents: int | None
    peak: float | None


@dataclass
class Measured:
    """An axis with what was measured on it, by series and size; not tried: not there."""

    axis: Axis
    cells: dict[str, dict[int, Cell]] = field(default_factory=dict)

    def lines(self, what: Literal["seconds", "peak"]) -> dict[str, dict[int, float | None]]:
        """What was measured by series and size; seconds are None where they were cut off."""
        return {
            name: {
                size: cell.seconds if what == "seconds" else cell.peak
                for size, cell in cells.items() if what == "seconds" or cell.peak is not None
            }
            for name, cells in self.cells.items()
        }


def axes(*, quick: bool) -> tuple[Axis, ...]:
    """What grows, and in which steps."""
    pipes, odd, planes, eave = (
        ((3,), (1,), (2,), (8,)) if quick else
        ((10, 25, 50, 100, 200, 500), (0, 1, 2, 3), (1, 2, 5, 10, 20, 40),
         (50, 100, 200, 500, 1000, 2000))
    )
    few, short, middle, long = (3, 6, 6, 6) if quick else (12, 50, 100, 200)
    return (
        Axis("pipes", f"Pipes on a {long} ft eave, 1 odd panel", pipes,
             lambda n, mark: fixed_roof(1, n, long, 1, mark=mark)),
        Axis("odd panels", f"Odd panels: {few} pipes, {short} ft eave", odd,
             lambda n, mark: fixed_roof(1, few, short, n, mark=mark)),
        Axis("planes", f"Linked planes of {few} pipes, {middle} ft, 1 odd panel", planes,
             lambda n, mark: fixed_roof(n, few, middle, 1, mark=mark)),
        Axis("eave, ft", f"Feet of eave: {few} pipes, 1 odd panel", eave,
             lambda n, mark: fixed_roof(1, few, n, 1, mark=mark)),
    )


def one_cell(document: dict[str, Any], engine: str, limit: float, repeat: int) -> Cell:
    """One engine on one case, in processes of their own; the median of `repeat` where short."""
    told: list[dict[str, Any]] = []
    while not told or (len(told) < repeat and (told[-1]["seconds"] or limit) < _SHORT):
        told.append(report_of("one_engine.py", engine, str(limit), said=json.dumps(document))[1])
    took = [one["seconds"] for one in told]
    peaks = [one["peak"] for one in told if one["peak"] is not None]
    finished = None if None in took else statistics.median(took)
    cents = told[-1]["cents"] if finished is not None else None
    cpu = None if finished is None else statistics.median(one["cpu"] for one in told)
    return Cell(finished, cpu, cents, max(peaks) / _MB if peaks else None)


def measure(
    limit: float, repeat: int, *, quick: bool
) -> Iterator[tuple[list[Table], Measured]]:
    """Axis after axis: its tables, and what a plot needs.

    Raises:
        DifferentOptimumError: engines disagree about an optimum.
    """
    for number, axis in enumerate(axes(quick=quick)):
        measured = Measured(axis, {series.name: {} for series in SERIES})
        for size in axis.sizes:
            for series in SERIES:
                before = measured.cells[series.name]
                if all(cell.seconds is not None for cell in before.values()):
                    document = axis.roof(size, series.mark)
                    before[size] = one_cell(document, series.engine, limit, repeat)
            agreed(measured, size)
        letter = "abcdefgh"[2 * number: 2 * number + 2]
        yield [_seconds(measured, limit, letter[0]), _memory(measured, letter[1])], measured


def agreed(measured: Measured, size: int) -> int:
    """How many engines proved the optimum of a size; insist that it is the same one.

    Raises:
        DifferentOptimumError: it is not.
    """
    proved = {
        series.name: cell.cents
        for series in SERIES
        if series.mark == COARSE and (cell := measured.cells[series.name].get(size)) is not None
        and cell.seconds is not None
    }
    if len(set(proved.values())) > 1:
        told = "; ".join(f"{name}: {cents}" for name, cents in proved.items())
        raise DifferentOptimumError(
            f"{measured.axis.key} {size}: optima in cents differ: {told}"
        )
    return len(proved)


def _seconds(measured: Measured, limit: float, letter: str) -> Table:
    axis = measured.axis
    table = Table(
        f"growth, {axis.key}", f"5{letter}. {axis.title}: seconds to the optimum",
        (axis.key, *(series.name for series in SERIES), "agree", "optimum"),
    )
    for size in axis.sizes:
        cells = [measured.cells[series.name].get(size) for series in SERIES]
        many = agreed(measured, size)
        cents = next((cell.cents for cell in cells if cell and cell.cents is not None), None)
        table.rows.append((
            str(size),
            *(MISSING if cell is None else f">{limit:g}" if cell.seconds is None
              else seconds(cell.seconds) for cell in cells),
            f"{many} of 4", MISSING if cents is None else f"{cents / 100:,.2f}",
        ))
        ours = cells[0]
        for series, cell in zip(SERIES, cells, strict=True):
            if cell is None:
                table.keep(str(size), series.name, None, "s", note="not tried")
                continue
            over = "" if cell.seconds is not None else f">{limit:g} s"
            table.keep(str(size), series.name, cell.seconds, "s", note=over)
            table.keep(str(size), f"{series.name}, processor", cell.cpu, "s", note=over)
            if ours and ours.seconds and series is not SERIES[0]:
                table.keep(str(size), f"{series.name} over {TABLES}",
                           (cell.seconds or limit) / ours.seconds, "ratio",
                           note="at least" if over else "")
        table.keep(str(size), "engines that agree", many, "engines")
    table.notes += [_ahead(measured, limit), *_reading(limit)] if letter == "a" else [
        _ahead(measured, limit)]
    return table


def _reading(limit: float) -> list[str]:
    return [
        "In process, after loading.",
        f"'{FINE_TABLES}': marks of {FINE} in; all others: of {COARSE} in. '>{limit:g}': not",
        "proven by then; '-': not tried, as a smaller one was not. The tables settle the whole tie",
        "order and what stands beside the list; the others prove the cost alone. 'agree': how many",
        f"engines proved the optimum at {COARSE} in, the same one, or this program fails.",
    ]


def _ahead(measured: Measured, limit: float) -> str:
    """How much sooner the tables are than each other engine where that finished last."""
    said = []
    for series in SERIES[2:]:
        ours, theirs = measured.cells[TABLES], measured.cells[series.name]
        done = [n for n, cell in theirs.items() if cell.seconds is not None]
        if not done:
            said.append(f"{series.name} finished none")
            continue
        mine, other = ours.get(done[-1]), theirs[done[-1]].seconds
        if mine and mine.seconds and other:
            said.append(f"{series.name} {times(other / mine.seconds)} (at {done[-1]})")
    return "Seconds over the tables' where each last finished: " + ", ".join(said) + "."


def _memory(measured: Measured, letter: str) -> Table:
    axis = measured.axis
    table = Table(
        f"growth, {axis.key}, memory", f"5{letter}. The same: peak memory of the process, MB",
        (axis.key, *(series.name for series in SERIES)),
    )
    for size in axis.sizes:
        cells = [measured.cells[series.name].get(size) for series in SERIES]
        table.rows.append((
            str(size),
            *(MISSING if cell is None or cell.peak is None else f"{cell.peak:.0f}"
              for cell in cells),
        ))
        for series, cell in zip(SERIES, cells, strict=True):
            if cell is not None:
                table.keep(str(size), series.name, cell.peak, "MB",
                           note="" if cell.peak is not None else "unknown")
    if letter == "b":
        table.notes.append("The libraries an engine loads are in it; of what was cut off, so far.")
    return table


def most_memory(found: list[Measured]) -> float | None:
    """The most memory that the tables needed on any axis (MB)."""
    peaks = [
        cell.peak for measured in found for series in SERIES if series.engine == TABLES
        for cell in measured.cells[series.name].values() if cell.peak is not None
    ]
    return max(peaks, default=None)
