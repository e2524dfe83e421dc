"""Where nothing closes: the end nearest to a legal one, and what would mend it. Ticks."""

from __future__ import annotations

from dataclasses import dataclass

from solver.case import Case, Plane
from solver.replan.front import Front
from solver.replan.ways import Way, fanned_ways, ways_of
from solver.tabling.starts import least_end

_FINE = {"in": 254, "mm": 64}


@dataclass(frozen=True)
class Mend:
    """What would make the end legal: each of `panels` full panels `narrower` or `wider` by so much,
    or an odd panel of `odd` in place of a full one (ticks; None where that does not do it)."""

    panels: int
    narrower: int | None
    wider: int | None
    odd: int | None


@dataclass(frozen=True)
class LeastBad:
    """The last widths (eave, ridge) nearest to legal ones, by how much the worse of them misses,
    and what would mend it. `narrow`: it is too narrow, else too wide."""

    last: tuple[int, int]
    off: int
    narrow: bool
    mend: Mend


def least_bad(case: Case, plane: Plane, front: Front, slots: int) -> tuple[LeastBad, list[Way]]:
    """The nearest miss, and every way that misses by no more.

    Raises:
        TooManyWaysError: there are more than are looked at one by one.
    """
    cover, least = case.panel.cover, least_end(case, plane)
    found: list[tuple[int, bool, Way]] = []
    ways = (fanned_ways(front, 1, cover + least, cover) if front.tilt.full else
            ways_of(case, plane, front.left, slots, 1, cover + least))
    for way in ways:
        low, high = sorted(front.lasts(way.widths))
        found.append((max(least - low, high - cover, 0), least - low >= high - cover, way))
    # A last panel wider than the cover can be laid at the ridge only: at the eave it is not.
    off, narrow, way = min(found, key=lambda one: (one[0], not one[1], one[2]))
    same = [w for o, n, w in found if (o, n) == (off, narrow)]
    return LeastBad(front.lasts(way.widths), off, narrow, _mend(case, plane, front, way)), same


def _mend(case: Case, plane: Plane, front: Front, way: Way) -> Mend:
    cover, least = case.panel.cover, least_end(case, plane)
    low, high = sorted(front.lasts(way.widths))
    fine = case.rules.play_mark or _FINE[case.units]
    odd = {number for number, _ in way.odds}
    full = sum(1 for number in range(1, len(way.widths) + 1) if number not in odd)
    need = max(least - low, 0)
    narrower = wider = odd_width = None
    if full and need and high + full * _up(need, full, fine) <= cover:
        narrower = _up(need, full, fine)
    if full > 1 and low + cover - (full - 1) * _up(high, full - 1, fine) >= least:
        wider = _up(high, full - 1, fine)
    if not need and high > cover and full:
        each = _up(high - cover, full, fine)
        wider = each if low - full * each >= least else None
    if full and need:
        widest = (cover - need) // case.mark * case.mark
        if widest > 0 and high + cover - widest <= cover:
            odd_width = widest
    return Mend(full, narrower, wider, odd_width)


def _up(total: int, among: int, mark: int) -> int:
    """What each of `among` takes of a total, in whole marks, rounded up."""
    return -(-total // (among * mark)) * mark
