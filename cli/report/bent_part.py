"""Where a plane leaves the plain grid: its odd panels, and the stretches of another module."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cli.report.grid import Column, table
from cli.report.lines import NO_BREAK, Line, Span, wrap
from cli.report.words import Lengths, end_name, id_of, plural
from solver.case import Case, Plane
from solver.findings.left_out import bent_left_out, line_as_given
from solver.findings.seam_order import from_line, may_bend, seam_numbers
from solver.result import JudgedPlane


@dataclass(frozen=True, slots=True)
class Altered:
    """Stretches on end that are laid to the same other module (ticks)."""

    first_panel: int
    last_panel: int
    stretches: int
    full: int
    module: int


def altered(case: Case, plane: Plane, ends: JudgedPlane) -> list[Altered]:
    """The stretches of another module than the cover, those on end with the same one as one.

    An end panel takes what is left, so it is never named.
    """
    found: list[Altered] = []
    numbers = seam_numbers(plane, ends.seams)
    before = 0
    for one in ends.stretches:
        if one.module == case.panel.cover or not one.full:
            continue
        last = min(max(one.last_panel, min(numbers)), max(numbers))
        run = found[-1] if found else None
        joins = before * one.stretch > 0 and abs(one.stretch) == abs(before) + 1
        if run is not None and joins and run.module == one.module:
            found[-1] = Altered(run.first_panel, last, run.stretches + 1, run.full + one.full,
                                one.module)
        else:
            found.append(Altered(one.first_panel, last, 1, one.full, one.module))
        before = one.stretch
    return found


def bent_lines(case: Case, plane: Plane, ends: JudgedPlane) -> list[Line]:
    """Every odd panel in a sentence, and a table of the changed modules; nothing where none is."""
    runs = altered(case, plane, ends)
    lines: list[Line] = []
    for says in _odd_words(case, plane, ends, fine=bool(runs)):
        lines += wrap(says, first="  ", rest="    ", style="head")
    return [*lines, *_modules(case, plane, ends, runs)] if runs else lines


def bent_words(case: Case, plane: Plane, ends: JudgedPlane) -> list[str]:
    """The same in a few words: "panel 23 odd, 12 1/2"", "2-5 +1/64"", to break between only."""
    lengths = Lengths(case)
    parts = [f"panel {odd.panel} odd, {lengths.near(odd.width)}" for odd in ends.odd]
    parts += [
        f"panels {_range(run)} {_change(lengths, run.module - case.panel.cover, short=True)} each"
        for run in altered(case, plane, ends)
    ]
    return [part.replace(" ", NO_BREAK) for part in parts]


def counted_from(case: Case, plane: Plane, number: int) -> str:
    """ "panel 23 from the west gable", "panel 2 from the line towards the west gable (-2)"."""
    if not from_line(case, plane):
        return f"panel {number} from the {end_name(plane, high=plane.lay == 'right-to-left')}"
    minus = f" (number {number})" if number < 0 else ""
    return (f"panel {abs(number)} from the line towards the {end_name(plane, high=number > 0)}"
            f"{minus}")


def _odd_words(case: Case, plane: Plane, ends: JudgedPlane, *, fine: bool) -> Iterator[str]:
    lengths = Lengths(case)
    place = lengths.fine_place if fine else lengths.place
    from_low = "" if plane.lay == "left-to-right" else (
        f" (measured from the {end_name(plane, high=False)})")
    total = {True: 0, False: 0}
    for odd in sorted(ends.odd, key=lambda odd: (odd.panel < 0, abs(odd.panel))):
        less = case.panel.cover - odd.width
        before = total[odd.panel > 0]
        total[odd.panel > 0] += less
        behind = "everything behind it stands"
        back = f"{lengths.near(less)} back"
        if from_line(case, plane):
            behind = (f"everything beyond it, to the {end_name(plane, high=odd.panel > 0)}, "
                      "stands")
            back = f"{lengths.near(less)} nearer the line"
        if before:
            back += f" for it, {lengths.near(before + less)} in all"
        yield (f"ODD: {counted_from(case, plane, odd.panel)} is {lengths.near(odd.width)} wide, "
               f"from {place(odd.low)} to {place(odd.high)}{from_low}; {behind} {back}.")


def _modules(case: Case, plane: Plane, ends: JudgedPlane, runs: list[Altered]) -> list[Line]:
    lengths = Lengths(case)
    cover = case.panel.cover
    lines = wrap(
        f"MODULE CHANGED: lay the full panels named here to the module beside them, all others to "
        f"{lengths.fine(cover)}; an odd panel keeps its width.", first="  ", rest="    ",
        style="head",
    )
    at = dict(zip(seam_numbers(plane, ends.seams), ends.seams, strict=True))
    many = any(run.stretches > 1 for run in runs)
    unit = f"\n{lengths.unit}" if lengths.unit else ""
    columns = [
        Column("panels"), *([Column("stret-\nches", "right")] if many else []),
        Column("full\npanels", "right"), Column(f"module{unit}", "right"),
        Column(f"each{unit}"), Column(f"in all{unit}"),
        Column(f"last seam\nof it at{unit}", "right"),
    ]
    rows = []
    for run in runs:
        change = run.module - cover
        rows.append([
            Span(_range(run)), *([Span(str(run.stretches))] if many else []), Span(str(run.full)),
            Span(lengths.cell(lengths.fine(run.module))), Span(_change(lengths, change)),
            Span(_change(lengths, change * run.full)),
            Span(lengths.cell(lengths.fine_place(at[run.last_panel]))),
        ])
    lines += table(columns, rows, lead="   ")
    total = sum((run.module - cover) * run.full for run in runs)
    low = end_name(plane, high=False)
    says = f"Places of seams are from the {low}: check each there"
    if len(runs) > 1 and not from_line(case, plane):
        says += f". In all the changes take {_change(lengths, total)}" if total else (
            ". The changes make each other up")
    return [*lines, *wrap(f"{says}.", first="  ", rest="    ")]


def _range(run: Altered) -> str:
    if run.first_panel == run.last_panel:
        return str(run.first_panel)
    return f"{run.first_panel} to {run.last_panel}"


def _change(lengths: Lengths, ticks: int, *, short: bool = False) -> str:
    """ "1/64" wider", or short "+1/64""."""
    size = lengths.fine(abs(ticks))
    if short:
        return f"{'+' if ticks > 0 else '-'}{size}"
    return f"{lengths.cell(size)} {'wider' if ticks > 0 else 'narrower'}"


def left_out_lines(case: Case, where: str) -> list[Line]:
    """What a page on plain panels leaves out; nothing where the case knows no others.

    A plane laid both ways from a line has one start, the one the line leaves.
    """
    lines: list[Line] = []
    for says in bent_left_out(case, where):
        lines += wrap(says, first="  ", style="warn")
    for says in line_as_given([id_of(plane.id) for plane in case.planes if from_line(case, plane)]):
        lines += wrap(says, first="  ")
    return lines



def plain_words(case: Case) -> str:
    """What to say of a layout, on such a page, where the case knows others: "of full panels "."""
    return "of full panels " if may_bend(case) else ""


def allowed_words(case: Case) -> str:
    """What a plane may have: "up to 2 odd panels a plane, 9" to 17 15/16" wide"; else empty."""
    rules, lengths = case.rules, Lengths(case)
    parts = []
    if rules.odd_panels:
        wide = f"{lengths.near(rules.odd_min)} to {lengths.near(case.panel.cover - case.mark)}"
        if rules.odd_widths:
            wide = " or ".join(lengths.near(width) for width in rules.odd_widths)
        parts.append(f"up to {plural(rules.odd_panels, 'odd panel')} a plane, {wide} wide")
    if rules.play:
        parts.append(f"a module up to {lengths.fine(rules.play)} wider or narrower between two "
                     f"control lines, every {plural(rules.remeasure, 'panel')}")
    return "; ".join(parts)
