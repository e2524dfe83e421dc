"""The kinds of blank that wanted cuts can come from: one cut, or two that share a sheet.

Only formed sheet with a good face is looked at: a piece may be turned end for end, never face down.
Each piece lies in the sheet as `Cut.turned` says, for only so are its legs on the right side.

*Side by side*, ripped apart: a piece that keeps the male leg and one that keeps the female leg, the
drop of each being the other. Neither leg serves twice, and what a piece does not keep is cut away,
so the finished widths and a turn-up at every ripped edge must fit in the cover (first + last + 2
turn-ups <= cover, common practice, no source). The blank is as long as the longer of the two. Their
ends need not match, each has its rectangle to itself.

*End to end*, parted by one bevel: two full pans, where the upper end of one and the lower end of
the other, as they lie in the sheet, slant the same way. Turning a piece end for end leaves the
direction of its slant as it is, but puts its male leg on the other side. So these share a bevel:
  - the same hand of hip from planes laid opposite ways (the left hips, or the right hips, of the
    two slopes of a ridge, which lie at opposite corners of the building);
  - the head at a hip and the foot at a valley (or any slanting foot) that rise the same way, from
    planes laid the same way;
  - feet alike from planes laid opposite ways.
These do not, and are refused:
  - the left and the right hip of one plane, or of two planes laid the same way: turned end for end
    the second has its legs on the wrong sides, turned over it has its face down;
  - the same hand of hip within one plane: again the legs;
  - ripped pieces, pans of different width, and pans with a leg formed anew: the bevel would not
    run across both from the same place;
  - ends that are not one straight cut.
Where the two slant the same way by different angles the smaller rise is saved and two cuts made.
Legs are taken to end square at the pan's corners, so a little less is saved than could be.

Not looked for: three or more pieces in one blank, and short ripped pieces behind one another beside
a long one. A proof that a plan is the best means the best of the ways above.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

from solver.stock.parts import Cut, How, Part


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sheet's measures that rule how pieces share it (ticks)."""

    cover: int
    male: int
    female: int
    turn_up: int

    @property
    def width(self) -> int:
        """Of the sheet in the flat."""
        return self.cover + self.male + self.female


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of blank: its length, and the one or two cuts it gives (their numbers).

    End to end the first lies below the second; side by side it lies left of it.
    """

    length: int
    of: tuple[int, ...]
    how: How


def flat_width(cut: Cut, sizes: Sizes) -> int:
    """What a piece takes in the flat (ticks)."""
    if cut.flat is not None:
        return cut.flat
    legs = {
        "both": sizes.male + sizes.female, "male": sizes.male, "female": sizes.female, "none": 0,
    }[cut.keeps]  # fmt: skip
    return cut.width + legs + cut.ripped * sizes.turn_up


def is_wider(cut: Cut, sizes: Sizes) -> bool:
    """Whether a piece does not fit in the sheet's width."""
    return flat_width(cut, sizes) > sizes.width


def share_side(a: Cut, b: Cut, sizes: Sizes) -> bool:
    """Whether two pieces can be ripped from one sheet, side by side."""
    if "both" in (a.keeps, b.keeps) or a.flat is not None or b.flat is not None:
        return False
    if a.keeps == b.keeps != "none":
        return False
    edges = a.ripped + b.ripped
    return a.width + b.width + edges * sizes.turn_up <= sizes.cover


def ends(cut: Cut) -> tuple[Fraction, Fraction]:
    """The bevels of its lower and upper end as it lies in the sheet."""
    foot, head = cut.bevels
    return (head, foot) if cut.turned else (foot, head)


def saved_end(below: Cut, above: Cut) -> int:
    """What one blank saves that holds a piece above another (whole ticks, rounded down)."""
    if below.keeps != "both" or above.keeps != "both" or below.width != above.width:
        return 0
    if below.flat is not None or above.flat is not None:
        return 0
    one, other = ends(below)[1], ends(above)[0]
    return floor(min(abs(one), abs(other))) if one * other > 0 else 0


def kinds_of(cuts: Sequence[Cut], sizes: Sizes, longest: int | None = None) -> tuple[Kind, ...]:
    """Every kind of blank that helps, the single cuts first.

    `longest` is the longest blank that can be had (ticks), None for no limit.
    """
    fits = [not is_wider(cut, sizes) for cut in cuts]
    kinds = [Kind(cut.length, (i,), "alone") for i, cut in enumerate(cuts)]
    for i, a in enumerate(cuts):
        for j in range(i, len(cuts)):
            b = cuts[j]
            if not (fits[i] and fits[j]) or (i == j and a.count < 2):
                continue
            if share_side(a, b, sizes):
                female_left = b.keeps == "female" or a.keeps == "male"
                pair = (j, i) if female_left else (i, j)
                kinds.append(Kind(max(a.length, b.length), pair, "side by side"))
            up, down = saved_end(a, b), saved_end(b, a)
            saved = max(up, down)
            length = a.length + b.length - saved
            if saved and (longest is None or length <= longest):
                kinds.append(Kind(length, (i, j) if up >= down else (j, i), "end to end"))
    return tuple(kinds)


def parts_of(kind: Kind, cuts: Sequence[Cut], sizes: Sizes) -> tuple[Part, ...]:
    """Where each piece lies in a blank of a kind."""
    pieces = [cuts[i] for i in kind.of]
    if kind.how == "side by side":
        left, right = (_lying(cut, sizes) for cut in pieces)
        if pieces[1].keeps == "none":
            right = _moved(right, sizes.width - sizes.male - right.right)
        return left, right
    if kind.how == "end to end":
        low, high = (_lying(cut, sizes) for cut in pieces)
        rise = kind.length - pieces[1].length
        return low, replace(high, low=Fraction(rise), high=Fraction(rise) + high.high)
    return (_lying(pieces[0], sizes),)


def _lying(cut: Cut, sizes: Sizes) -> Part:
    """A piece alone in its sheet, at the edge whose leg it keeps."""
    width = flat_width(cut, sizes)
    foot, head = ends(cut)
    if cut.keeps == "male" and cut.flat is None:
        left, right = sizes.width - width, sizes.width
        pan = left + sizes.turn_up
    elif cut.keeps == "none" and cut.flat is None:
        left = min(sizes.female, max(sizes.width - width, 0))
        right, pan = left + width, left + sizes.turn_up
    else:
        left, right = 0, width
        pan = min(sizes.female, width - cut.width) if width > cut.width else 0
    return Part(
        cut.mark, left, right, pan, pan + cut.width, Fraction(0), Fraction(cut.length),
        foot, head, cut.turned,
    )  # fmt: skip


def _moved(part: Part, by: int) -> Part:
    return replace(
        part, left=part.left + by, right=part.right + by,
        pan_left=part.pan_left + by, pan_right=part.pan_right + by,
    )  # fmt: skip
