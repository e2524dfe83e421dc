"""The ranked table: what each layout costs, what it does, and what it buys against the first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from cli.report.bent_part import bent_words
from cli.report.grid import Column, fitted, head_lines, row_line, widths
from cli.report.lines import BLANK, NO_BREAK, WIDTH, Line, Span, Style, clean, heading, line, wrap
from cli.report.words import Lengths, count_phrase, id_of, joined, money, plural
from solver.case import Case
from solver.findings.seam_order import from_line
from solver.result import COUNT_NAMES, PROVEN, Judged, Ranked, Result

HEADINGS: Final = {
    "on-seam": "on a\nseam", "seams_cut": "seams\ncut", "crosses": "cross\na seam",
    "tight": "tight", "crowded": "curbs\nclose", "moved": "pipes\nmoved",
    "links_missed": "links\nmissed", "off_centre": "centres\nmissed",
    "unlanded": "walls\nmissed", "odd_panels": "odd\npanels", "uneven": "ends\nuneven",
    "stock": "sheet\nstock",
}
_STYLES: Final[dict[str, Style]] = {
    "on-seam": "bad", "crosses": "warn", "tight": "warn", "crowded": "warn", "moved": "moved",
}
_MOST_BREAKS: Final = 3
_MOST_AGREED: Final = 12
_MOST_BENT: Final = 24
_FEW_PLANES: Final = 6
"""Up to so many planes the layouts listed for comparison show their widths too."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its name, the layout, its proof in a word, the lines below it, and its cover."""

    name: str
    judged: Judged
    proof: str
    below: list[Line]
    cover: str = ""


def ranked_lines(result: Result) -> list[Line]:
    """The list, the usual layout, the best as drawn, and the blind start."""
    case = result.case
    rows = [
        Row(str(entry.rank), entry.judged, entry.proof, _below_entry(case, entry))
        for entry in result.layouts
    ]
    if result.usual is not None:
        below = [*widths_lines(case, result.usual, most=_FEW_PLANES), *_breaks(result.usual)]
        rows.append(Row("usual", result.usual, "", below))
    if result.as_drawn is not None:
        below = widths_lines(case, result.as_drawn, most=_FEW_PLANES)
        rows.append(Row("as drawn", result.as_drawn, "", below))
    lines = [heading("LAYOUTS, BEST FIRST" if result.layouts else "FOR COMPARISON")]
    lines += rows_table(rows, wanted_counts(case))
    lines += _notes(result, rows)
    return lines


def wanted_counts(case: Case) -> list[str]:
    """Counts to be shown even where they are nothing everywhere: the case asks for them."""
    asked = (
        ("off_centre", bool(case.centres)),
        ("unlanded", any(pen.detail == "ribbed" for pen in case.penetrations)),
        ("stock", case.rates.each["area"].given),
    )
    return [name for name, wanted in asked if wanted]


def rows_table(rows: Sequence[Row], wanted: Sequence[str] = ()) -> list[Line]:
    """Rows with their cost, their counts that are not all nothing or that are `wanted`, and the
    lines below each."""
    names = [
        name for place, name in enumerate(COUNT_NAMES)
        if name in wanted or any(row.judged.counts[place] for row in rows)
    ]
    proof = any(row.proof for row in rows)
    while True:
        columns = [Column("rank")]
        if any(row.cover for row in rows):
            columns.append(Column("cover", "right"))
        columns.append(Column("extra\ncost", "right"))
        columns += [Column(HEADINGS[name], "right") for name in names]
        if proof:
            columns.append(Column("proof"))
        cells = [_cells(row, names, proof) for row in rows]
        sizes, gap = fitted(widths(columns, cells), columns, WIDTH - 1)
        if sum(sizes) + gap * (len(sizes) - 1) <= WIDTH - 1 or not names:
            break
        names.pop()  # told in words below instead
    left_out = [name for name in COUNT_NAMES if name not in names]
    lines = head_lines(columns, sizes, gap, " ")
    for row, cell in zip(rows, cells, strict=True):
        lines.append(row_line(columns, sizes, gap, cell, " "))
        told = [
            count_phrase(name, count)
            for name, count in zip(COUNT_NAMES, row.judged.counts, strict=True)
            if count and name in left_out
        ]
        if told:
            lines += wrap(f"also {', '.join(told)}", first="     ")
        lines += [*row.below, BLANK]
    return lines[:-1]


def _cells(row: Row, names: Sequence[str], proof: bool) -> list[Span]:
    counts = dict(zip(COUNT_NAMES, row.judged.counts, strict=True))
    return [
        Span(row.name, "head" if row.name == "1" else ""),
        *([Span(row.cover)] if row.cover else []),
        Span(money(row.judged.cost.total), "head" if row.name == "1" else ""),
        *(
            Span(f"{counts[name]:,}" if counts[name] else "-",
                 _STYLES.get(name, "") if counts[name] else "quiet")
            for name in names
        ),
        *([Span(row.proof, "good" if row.proof == PROVEN else "warn")] if proof else []),
    ]


def _below_entry(case: Case, entry: Ranked) -> list[Line]:
    lines = widths_lines(case, entry.judged) + _windows(case, entry)
    if entry.rank > 1:
        lines += wrap(f"Against layout 1: {clean(entry.against_first.says)}.", first="     ")
    return lines + proof_lines(entry)


def proof_lines(entry: Ranked) -> list[Line]:
    """How far an entry may still be from the best; nothing where it is proven."""
    if entry.proof == PROVEN:
        return []
    gap = entry.judged.cost.total - entry.bound
    return wrap(
        f"Not proven: nothing here can cost less than {money(entry.bound)}, so at most "
        f"{money(gap)} could still be saved.", first="     ", style="warn",
    )


def widths_lines(case: Case, judged: Judged, *, most: int | None = None) -> list[Line]:
    """First and last width of every plane; nothing where there are more than `most` planes."""
    if most is not None and len(judged.planes) > most:
        return []
    lengths = Lengths(case)
    parts = []
    for plane in judged.planes:
        ends = f"{lengths.near(plane.first)} / {lengths.near(plane.last)}"
        parts.append(f"{id_of(plane.id)} {ends}" if plane.seams else f"{id_of(plane.id)} one panel")
    # A blank inside one plane's entry must not become a line break.
    text = "; ".join(part.replace(" ", NO_BREAK) for part in parts)
    lines = wrap(f"{_ends_head(case)}: {text}", first="     ", rest="       ")
    bent = [
        f"{id_of(plane.id)}{NO_BREAK}{part}"
        for given, plane in zip(case.planes, judged.planes, strict=True)
        for part in bent_words(case, given, plane)
    ]
    if not bent:
        return lines
    shown = bent[:_MOST_BENT]
    if more := len(bent) - len(shown):
        shown.append(f"and {more:,} more")
    return lines + wrap("; ".join(shown), first="     ", rest="       ")


def _ends_head(case: Case) -> str:
    """What the two widths of a plane are; on one laid both ways neither is laid first."""
    both_ways = [from_line(case, plane) for plane in case.planes]
    if all(both_ways):
        return "ends"
    return "first / last" + (" (laid both ways: low / high end)" if any(both_ways) else "")


def _windows(case: Case, entry: Ranked) -> list[Line]:
    """How far off each plane may start, so that a best layout nobody can build shows as one."""
    if len(entry.judged.planes) > _FEW_PLANES:
        return []
    lengths = Lengths(case)
    parts = []
    for given, plane, (low, high) in zip(
        case.planes, entry.judged.planes, entry.windows, strict=True
    ):
        if plane.seams and given.start is None:
            span = "must be exact"
            if high > low:
                span = f"{lengths.near(low)} to {lengths.near(high)}"
            parts.append(f"{id_of(plane.id)} {span}".replace(" ", NO_BREAK))
    if not parts:
        return []
    return wrap(f"start may be: {'; '.join(parts)}{_follow(case)}", first="     ", rest="       ")


def _follow(case: Case) -> str:
    """A start within its play leaves states as they are, but not seams that meet."""
    linked = list(dict.fromkeys(name for link in case.links for name in link.planes))
    if not linked:
        return ""
    if len(linked) == 2 == len(case.planes):
        return "; if one is off, the other slope must follow"
    names = joined([id_of(name) for name in linked])
    return f"; if one of {names} is off, the slopes linked to it must follow"


def _breaks(judged: Judged) -> list[Line]:
    lines: list[Line] = []
    for breach in judged.breaks[:_MOST_BREAKS]:
        lines += wrap(f"Breaks a rule: {clean(breach.says)}", first="     ", style="warn")
    more = len(judged.breaks) - _MOST_BREAKS
    if more > 0:
        lines.append(line(f"     and {plural(more, 'more broken rule')}"))
    return lines


def _notes(result: Result, rows: Sequence[Row]) -> list[Line]:
    lines: list[Line] = [BLANK]
    if any(row.judged.counts[COUNT_NAMES.index("uneven")] for row in rows):
        lines += wrap(_uneven_words(result.case), first=" ", rest="   ")
    charged = wanted_counts(result.case)
    if "unlanded" in charged:
        lines += wrap("Walls missed: walls of ribbed curbs on which no seam lands.", first=" ",
                      rest="   ")
    if "stock" in charged:
        lines += wrap(_stock_words(result.case), first=" ", rest="   ")
    if result.usual is None and result.layouts:
        lines += wrap("There is no usual layout and no blind start to compare with: a plane has "
                      "legal ends only with odd panels or play.", first=" ", rest="   ")
    if result.as_drawn is None and (result.usual is not None or result.layouts):
        says = "with nothing moved no layout obeys the rules" if result.complete else (
            "nothing was found in time")
        lines += wrap(f"As drawn: {says}.", first=" ")
    if result.as_drawn is not None and not result.complete:
        lines += wrap("As drawn: the best found by then.", first=" ")
    if result.blind is not None:
        starts = sum(result.blind.starts.values())
        lines += wrap(
            f"Blind start (each plane started at any of its legal first widths, "
            f"{starts:,} in all, nothing moved): mean {money(result.blind.mean)}, "
            f"worst {money(result.blind.worst)}.", first=" ", rest="   ",
        )
    if result.layouts:
        lines += _savings(result)
    lines += _agreed(result)
    lines += wrap(
        "Money is the extra over the same roof with every penetration clear, in the case's own "
        "currency units.", first=" ", rest="   ",
    )
    return lines


def _uneven_words(case: Case) -> str:
    each = "whole inch" if case.units == "in" else "25 mm"
    free = Lengths(case).near(case.rules.uneven_free)
    return (f"Ends uneven: one unit for each {each} by which the first and last panel of a plane "
            f"differ beyond {free}, added up over the planes.")


def _stock_words(case: Case) -> str:
    each = "square foot" if case.units == "in" else "tenth of a square metre"
    return (f"Sheet stock: one unit for each {each} of sheets, rounded up on each plane. It is "
            "charged in full, not as an extra.")


def _agreed(result: Result) -> list[Line]:
    """What it costs to leave in place what is agreed already."""
    freeze = result.case.freeze
    if result.unfrozen is None or not result.layouts:
        return []
    parts = []
    for what, named in (("first panel of", freeze.firsts), ("place of", freeze.moves)):
        if named:
            shown = [id_of(name) for name, _ in named[:_MOST_AGREED]]
            if more := len(named) - len(shown):
                shown.append(f"{more:,} more")
            parts.append(f"{what} {joined(shown)}")
    dearer = result.layouts[0].judged.cost.total - result.unfrozen
    costs = f"costs {money(dearer)} more than" if dearer > 0 else "costs no more than"
    return wrap(f"What is agreed ({'; '.join(parts)}) {costs} starting free.", first=" ",
                rest="   ")


def _savings(result: Result) -> list[Line]:
    best = result.layouts[0].judged.cost.total
    against = []
    for name, cents in (
        ("the usual layout", None if result.usual is None else result.usual.cost.total),
        ("the blind mean", None if result.blind is None else result.blind.mean),
    ):
        if cents is not None:
            word = "saves" if cents >= best else "costs more:"
            against.append((word, f"{money(abs(cents - best))} against {name}"))
    if not against:
        return []
    says = f"Layout 1 {against[0][0]} {against[0][1]}"
    for (before, _), (word, amount) in pairwise(against):
        says += f" and {amount}" if word == before else f" and {word} {amount}"
    return wrap(f"{says}.", first=" ", rest="   ")
