"""The covers of a case against each other: the list over all of them, before the report of one."""

from __future__ import annotations

from cli.report.lines import BLANK, Line, clean, heading, wrap
from cli.report.ranked_table import Row, proof_lines, rows_table, wanted_counts, widths_lines
from cli.report.words import Lengths
from solver.result import Result


def covers_lines(result: Result) -> list[Line]:
    """The list over all covers; nothing where the case names one cover only."""
    if not result.across:
        return []
    lengths = Lengths(result.case)
    rows = []
    for place, found in enumerate(result.across, 1):
        entry = found.entry
        below = widths_lines(result.case, entry.judged)
        if place > 1:
            below += wrap(f"Against the first: {clean(entry.against_first.says)}.", first="     ")
        below += proof_lines(entry)
        rows.append(Row(str(place), entry.judged, entry.proof, below, lengths.near(found.cover)))
    best = lengths.near(result.across[0].cover)
    table = rows_table(rows, wanted_counts(result.case))
    lines = [heading("COVERS COMPARED"), *table, BLANK]
    lines += wrap(
        "Each one listed has less of something than each one above it; a cover that is not listed "
        f"has none among the first {len(rows)}.", first=" ", rest="   ",
    )
    lines += wrap("Panels of another cover cost otherwise themselves; that is not in these "
                  "figures.", first=" ", rest="   ")
    return [*lines, *wrap(f"What follows is for panels that cover {best}, the best of them.",
                          first=" ", rest="   ")]
