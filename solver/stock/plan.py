"""The stock plan: which sheets to buy or how much coil to run, and what to cut from them.

`stock_kinds` says what may share a blank, `stock_parts` what a plan holds. Verify before ordering.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Sequence
from contextlib import nullcontext
from dataclasses import replace
from fractions import Fraction
from typing import Final

from solver.case import Case
from solver.clock import Clock
from solver.errors import ChoiceError
from solver.stock.kinds import Kind, Sizes, flat_width, is_wider, kinds_of, parts_of
from solver.stock.metals import weight_kg, weight_lb
from solver.stock.parts import Blank, Cut, How, Keeps, Part, Pattern, StockPlan
from solver.units import TICKS_PER_INCH, TICKS_PER_MM

__all__ = ["Blank", "Cut", "Keeps", "Part", "Pattern", "StockPlan", "plan_stock", "used_area2"]

_M2: Final = (1000 * TICKS_PER_MM) ** 2
_FT2: Final = (12 * TICKS_PER_INCH) ** 2


def plan_stock(
    case: Case, cuts: Sequence[Cut], seconds: float, clock: Clock | None = None
) -> StockPlan:
    """The plan that takes the least length of stock (or coil), and then the fewest sheets.

    `seconds` limits the search; with enough of them the plan is the same on every machine. A stop
    request to `clock`, whose own limit holds too, ends it with the best plan so far.

    Raises:
        ChoiceError: the case has no sheet.
    """
    if case.sheet is None:
        raise ChoiceError("a stock plan needs a sheet: give the case a table [sheet]")
    sheet = case.sheet
    sizes = Sizes(case.panel.cover, sheet.male, sheet.female, sheet.turn_up)
    longest = max(sheet.stock) if sheet.stock else None
    wanted = [cut for cut in cuts if cut.count and not (longest and cut.length > longest)]
    shapes, marks = _alike(wanted)
    if not shapes:
        return _told(case, cuts, sizes, (), (), 0, True, True)
    from solver.model.stock import best_plan

    left = clock.left() if clock else None
    own = Clock(seconds if left is None else min(seconds, left))
    kinds = kinds_of(shapes, sizes, longest)
    with clock.stopping(own.stop) if clock else nullcontext():
        if clock and clock.over():
            own.stop()
        answer = best_plan([shape.count for shape in shapes], kinds, sheet.stock, own)
    blanks = _dealt(kinds, answer.made, shapes, marks, sizes)
    stock = _filled(blanks, answer.cuttings) if sheet.stock else ()
    proven = answer.length == answer.bound
    return _told(case, cuts, sizes, blanks, stock, answer.bound, proven, answer.fewest)


def used_area2(cut: Cut, sizes: Sizes) -> Fraction:
    """Twice the area of one piece in the flat, its bevels taken off (square ticks)."""
    foot, head = cut.bevels
    return 2 * flat_width(cut, sizes) * cut.length - cut.width * (abs(foot) + abs(head))


def _alike(cuts: Sequence[Cut]) -> tuple[list[Cut], list[deque[tuple[str, bool]]]]:
    """Shapes to be cut, whatever their mark; and what to hand out: marks, and which way they lie.

    A piece with no end aslant is the same whichever way it is turned.
    """
    shapes: dict[Cut, int] = {}
    marks: list[deque[tuple[str, bool]]] = []
    for cut in cuts:
        turned = cut.turned and any(cut.bevels)
        at = shapes.setdefault(replace(cut, mark="", count=1, turned=turned), len(shapes))
        if at == len(marks):
            marks.append(deque())
        marks[at].extend([(cut.mark, cut.turned)] * cut.count)
    return [replace(shape, count=len(marks[at])) for shape, at in shapes.items()], marks


def _dealt(
    kinds: Sequence[Kind],
    made: Sequence[int],
    shapes: Sequence[Cut],
    marks: Sequence[deque[tuple[str, bool]]],
    sizes: Sizes,
) -> tuple[Blank, ...]:
    """The blanks, longest first, with their marks."""
    blanks: dict[tuple[int, How, tuple[Part, ...]], int] = {}
    for kind, times in zip(kinds, made, strict=True):
        for _ in range(times):
            pieces: dict[int, list[tuple[str, bool]]] = {}
            for i in kind.of:  # twice the same shape in a blank takes two marks
                pieces.setdefault(i, []).append(marks[i].popleft())
            parts = []
            for part, i in zip(parts_of(kind, shapes, sizes), kind.of, strict=True):
                mark, turned = pieces[i].pop(0)
                parts.append(replace(part, mark=mark, turned=turned))
            key = kind.length, kind.how, tuple(parts)
            blanks[key] = blanks.get(key, 0) + 1
    return tuple(
        Blank(length, how, parts, count)
        for (length, how, parts), count in sorted(blanks.items(), key=lambda each: -each[0][0])
    )


def _filled(
    blanks: Sequence[Blank], cuttings: Sequence[tuple[tuple[int, tuple[int, ...]], int]]
) -> tuple[Pattern, ...]:
    """Put the blanks into their places: the longest blank into the longest place."""
    sheets = [cutting for cutting, times in cuttings for _ in range(times)]
    places = sorted(
        ((place, n) for n, (_, lengths) in enumerate(sheets) for place in lengths),
        key=lambda each: (-each[0], each[1]),
    )
    numbers = [number for number, blank in enumerate(blanks) for _ in range(blank.count)]
    inside: dict[int, list[int]] = {}
    for number, (_, sheet) in zip(numbers, places, strict=False):  # places may be left over
        inside.setdefault(sheet, []).append(number)
    alike = Counter((sheets[n][0], tuple(some)) for n, some in inside.items())
    order = sorted(alike.items(), key=lambda each: (-each[0][0], each[0][1]))
    return tuple(Pattern(length, some, count) for (length, some), count in order)


def _told(
    case: Case,
    cuts: Sequence[Cut],
    sizes: Sizes,
    blanks: tuple[Blank, ...],
    stock: tuple[Pattern, ...],
    bound: int,
    proven: bool,
    fewest: bool,
) -> StockPlan:
    """The plan with its sums."""
    sheet = case.sheet
    assert sheet is not None
    from_coil = sum(blank.length * blank.count for blank in blanks)
    length = sum(each.length * each.count for each in stock) if sheet.stock else from_coil
    longest = max(sheet.stock, default=0)
    longer = [cut for cut in cuts if cut.count and longest and cut.length > longest]
    used2 = sum(
        (used_area2(cut, sizes) * cut.count for cut in cuts if cut not in longer), Fraction(0)
    )
    area2 = 2 * length * sizes.width
    m2 = area2 / (2 * _M2)
    return StockPlan(
        blanks=blanks,
        stock=stock,
        length=length,
        bound=bound,
        proven=proven,
        fewest=fewest,
        sheet_width=sizes.width,
        sheets=sum(each.count for each in (stock or blanks)),
        area_m2=m2,
        area_ft2=area2 / (2 * _FT2),
        weight_kg=weight_kg(sheet.metal, sheet.thickness, m2),
        weight_lb=weight_lb(sheet.metal, sheet.thickness, m2),
        waste=max(float(100 * (1 - used2 / area2)), 0.0) if area2 else 0.0,
        wider=_marks(cut for cut in cuts if cut.count and is_wider(cut, sizes)),
        longer=_marks(longer),
    )


def _marks(cuts: Iterable[Cut]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cut.mark for cut in cuts))
