"""The least stock by trying everything, sharing no code with the solver; and a plan looked over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from solver.case import Case
from solver.case_parts import Sheet
from solver.stock.plan import Cut, Part, StockPlan
from tests.unit.builders import inches, make_case

COVER, MALE, FEMALE, TURN_UP = inches(18), inches("1 1/4"), inches("1 1/2"), inches(1)
WIDTH = COVER + MALE + FEMALE
Point = tuple[Fraction, Fraction]


def make_sheet(*stock: int, thickness: int = inches("1/64"), cover: int = COVER) -> Case:
    """A case whose sheet comes in these lengths; in coil if none is given."""
    sheet = Sheet(
        metal="steel", thickness=thickness, gauge=None, male=MALE, female=FEMALE, turn_up=TURN_UP,
        eave_hook=0, ridge_up=0, hip_up=0, valley_hook=0, wall_up=0, max_length=None,
        lap=inches(6), stock=stock, clip_spacing=inches(24), fasteners=2, given=True,
    )  # fmt: skip
    return replace(make_case(cover=cover), sheet=sheet)


def corners(cut: Cut) -> list[Point]:
    """A full pan's corners as it lies face up with its male leg right: lower left, lower right,
    upper right, upper left; an end that is no straight bevel is taken as square. Built as seen from
    outside and then, if need be, turned by half a turn.
    """
    width, length = Fraction(cut.width), Fraction(cut.length)
    foot, head = (Fraction(rise or 0) for rise in (cut.foot, cut.head))
    foot, head = (rise if abs(rise) <= length else Fraction(0) for rise in (foot, head))
    lower = (max(-foot, Fraction(0)), max(foot, Fraction(0)))
    upper = (length - max(head, Fraction(0)), length - max(-head, Fraction(0)))
    seen = [(Fraction(0), lower[0]), (width, lower[1]), (width, upper[1]), (Fraction(0), upper[0])]
    if not cut.turned:
        return seen
    half = [(width - x, length - y) for x, y in seen]
    return [half[2], half[3], half[0], half[1]]


def end_to_end(below: Cut, above: Cut) -> int | None:
    """The least length of both, the second slid down onto the first; None if they may not share."""
    if below.keeps != "both" or above.keeps != "both" or below.width != above.width:
        return None
    if below.flat or above.flat:
        return None
    one, other = corners(below), corners(above)
    apart = max(one[3][1] - other[0][1], one[2][1] - other[1][1])
    return -int(-(apart + above.length) // 1)


def blank_lengths(a: Cut, b: Cut) -> Iterator[int]:
    """The lengths of a blank that gives both."""
    legs = "".join({"both": "mf", "male": "m", "female": "f", "none": ""}[c.keeps] for c in (a, b))
    flat = sum(c.width + TURN_UP * (c.keeps != "both") + TURN_UP * (c.keeps == "none")
               for c in (a, b))
    if "both" not in (a.keeps, b.keeps) and len({*legs}) == len(legs) and flat <= COVER \
            and not a.flat and not b.flat:
        yield max(a.length, b.length)
    for one, other in ((a, b), (b, a)):
        if (length := end_to_end(one, other)) is not None and length < a.length + b.length:
            yield length


def all_blanks(cuts: Sequence[Cut]) -> Iterator[tuple[int, ...]]:
    """The lengths of the blanks, for every way to pair pieces or not."""
    if not cuts:
        yield ()
        return
    first, rest = cuts[0], cuts[1:]
    for others in all_blanks(rest):
        yield (first.length, *others)
    for i, partner in enumerate(rest):
        for length in blank_lengths(first, partner):
            for others in all_blanks([*rest[:i], *rest[i + 1 :]]):
                yield (length, *others)


def least_stock(cuts: Sequence[Cut], stock: Sequence[int]) -> tuple[int, int]:
    """Least length of stock and, for that, the fewest sheets; of coil and blanks without stock."""
    pieces = [cut for cut in cuts for _ in range(cut.count)]

    @cache
    def packed(blanks: tuple[int, ...]) -> tuple[int, int] | None:
        if not blanks:
            return 0, 0
        if not stock:
            return sum(blanks), len(blanks)
        best = None
        for mask in range(1 << (len(blanks) - 1)):  # who lies in the stock length of the first
            inside = [b for i, b in enumerate(blanks[1:]) if mask >> i & 1]
            fitting = [each for each in stock if each >= blanks[0] + sum(inside)]
            outside = tuple(b for i, b in enumerate(blanks[1:]) if not mask >> i & 1)
            if fitting and (other := packed(outside)) is not None:
                total = other[0] + min(fitting), other[1] + 1
                best = total if best is None else min(best, total)
        return best

    found = [packed(tuple(sorted(blanks))) for blanks in all_blanks(pieces)]
    return min(each for each in found if each is not None)


def profile(part: Part, x: int, upper: bool) -> Fraction:
    """Where a piece in a blank ends above or below, at one place across; square beside the pan."""
    rise = part.head if upper else part.foot
    along = min(max(x, part.pan_left), part.pan_right) - part.pan_left
    over = rise * Fraction(along, part.pan_right - part.pan_left)
    start = part.high - max(rise, Fraction(0)) if upper else part.low + max(-rise, Fraction(0))
    return start + over


def look_over(plan: StockPlan, cuts: Sequence[Cut], stock: Sequence[int]) -> None:
    """Every wanted cut is delivered exactly and right way round; nothing overlaps or sticks out."""
    wanted = {cut.mark: cut for cut in cuts}
    delivered: Counter[str] = Counter()
    for blank in plan.blanks:
        assert blank.count > 0
        for part in blank.parts:
            cut = wanted[part.mark]
            delivered[part.mark] += blank.count
            assert part.turned == cut.turned
            assert part.high - part.low == cut.length
            assert part.low >= 0 and part.high <= blank.length
            if part.mark not in plan.wider:
                assert 0 <= part.left <= part.pan_left < part.pan_right <= part.right <= WIDTH
                assert part.pan_right - part.pan_left == cut.width
                if cut.flat is None:
                    keeps = {"both": (0, WIDTH), "female": (0, None), "male": (None, WIDTH)}
                    left, right = keeps.get(cut.keeps, (None, None))
                    assert cut.width < COVER or left is None or part.left == left
                    assert cut.keeps == "both" or right is None or part.right == right
            low_left, low_right, high_right, high_left = (y for _, y in corners(cut))
            assert part.foot == low_right - low_left
            assert part.head == high_right - high_left
        for i, one in enumerate(blank.parts):
            for other in blank.parts[i + 1 :]:
                if one.right <= other.left or other.right <= one.left:
                    continue
                assert blank.how == "end to end"
                for x in (0, one.pan_left, one.pan_right, WIDTH):
                    assert profile(one, x, True) <= profile(other, x, False)
    assert delivered == Counter({cut.mark: cut.count for cut in cuts if cut.count})
    assert plan.bound <= plan.length
    assert plan.proven == (plan.bound == plan.length)
    if not stock:
        assert plan.stock == ()
        assert plan.length == sum(blank.length * blank.count for blank in plan.blanks)
        return
    used: Counter[int] = Counter()
    for pattern in plan.stock:
        assert pattern.length in stock
        assert sum(plan.blanks[n].length for n in pattern.blanks) <= pattern.length
        used.update({n: times * pattern.count for n, times in Counter(pattern.blanks).items()})
    assert used == Counter({n: blank.count for n, blank in enumerate(plan.blanks)})
    assert plan.length == sum(pattern.length * pattern.count for pattern in plan.stock)
    assert plan.sheets == sum(pattern.count for pattern in plan.stock)
