"""Labels of the search over odd panels: layouts up to the odd panel laid last."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from solver.odd.places import Places
from solver.tabling.runs import Column
from solver.tabling.starts import Ticks
from solver.tabling.tables import COUNTS, ODD

MOST_EQUALS = 40
"""So many choices of one first width are kept that are equal down to the distance moved. Beyond
that, ties are broken plane by plane: the widest own narrowest end comes first."""


@dataclass(frozen=True)
class Labels:
    """Layouts up to a seam (one a row): first width number, place of the seam, words and ties.

    `exact` charges all that stands before, `bound` at most what that really comes to. `odds` are
    the places where odd panels begin and the numbers of their widths, (rows, odd panels, 2).
    """

    first: Ticks
    place: Ticks
    exact: Ticks
    bound: Ticks
    close: Ticks
    low: NDArray[np.bool_]
    short: Ticks
    dist: Ticks
    width: Ticks
    start2: Ticks
    clear2: Ticks
    near: NDArray[np.bool_]
    odds: Ticks

    def pick(self, rows: Ticks | NDArray[np.bool_]) -> Labels:
        """Some of the labels."""
        return Labels(*(getattr(self, field.name)[rows] for field in fields(self)))


def joined(parts: list[Labels]) -> Labels:
    """Labels of several searches together; there must be at least one part."""
    return Labels(*(
        np.concatenate([getattr(part, field.name) for part in parts]) for field in fields(Labels)
    ))


def merged(
    own: Places,
    labels: Labels,
    until: Callable[[Ticks], Ticks],
    *,
    every: bool,
    stand_still: bool,
) -> Labels:
    """Drop labels that another one beats whatever comes.

    `every`: of each set of counts the best is kept. `stand_still`: nothing on the plane can move,
    so that distances of odd panels from penetrations are known. `until`: a seam that borders on a
    curb has one; what such a seam leads to hangs on the odd panel before it.
    """
    size = len(labels.first)
    if not size:
        return labels
    alone = labels.near | (until(labels.place) >= 0)
    apart = np.where(alone, np.arange(size) + 1, 0)
    residue = own.residue[labels.place].astype(np.int64)
    gap = own.before[labels.place].astype(np.int64)
    if own.line is not None:
        gap = 2 * gap + (own.at[labels.place] >= own.line)
    head: list[Ticks] = [labels.first, residue, gap, apart]
    ties: list[Ticks] = [labels.exact, labels.short, labels.dist, -labels.width]
    odds = [labels.odds[:, n, part] for n in range(labels.odds.shape[1]) for part in (0, 1)]
    keys = [*head, *ties, -labels.clear2, labels.start2, *odds]
    order = np.lexsort(keys[::-1])
    labels = labels.pick(order)
    # `every`: choices with other counts stay apart, and the word holds the counts.
    group = _runs([key[order] for key in (*head, *(ties[:1] if every else []))])
    equal = _runs([key[order] for key in (*head, *ties)])
    first_of = np.flatnonzero(np.diff(group, prepend=-1))
    best = equal == equal[first_of][group]
    lowest = _least_so_far(labels.place, group)
    nearest = _least_so_far(labels.start2, group)
    first = np.diff(group, prepend=-1) > 0
    tied = best & ((labels.start2 < nearest) | (not stand_still))
    keep = first | (labels.place < lowest) | tied
    return labels.pick(keep)


def best_complete(
    own: Places, labels: Labels, *, alone: bool, by_counts: bool, stand_still: bool
) -> Labels:
    """Of complete labels the best, for each first width unless `alone`; `by_counts`: and for each
    set of counts.

    Those that stand near something that hangs on more than its panel are all kept, and so are
    equals that the last ties of the order may tell apart (all, unless `stand_still`): where there
    are other planes, whatever those are like.
    """
    size = len(labels.first)
    if not size:
        return labels
    apart = np.where(labels.near, np.arange(size) + 1, 0)
    head = [np.zeros_like(labels.first) if alone else labels.first, apart]
    ties = [labels.exact, labels.short, labels.dist]
    if by_counts:  # the word holds the counts
        head, ties = [*head, labels.exact], ties[1:]
    narrow = np.minimum(own.firsts[labels.first], own.lasts[own.residue[labels.place]])
    odds = [labels.odds[:, n, part] for n in range(labels.odds.shape[1]) for part in (0, 1)]
    late = [-narrow, -labels.width, -labels.clear2, labels.start2]
    order = np.lexsort([*odds[::-1], labels.first, *late[::-1], *ties[::-1], *head[::-1]])
    group = _runs([key[order] for key in head])
    equal = _runs([key[order] for key in (*head, *ties)])
    first_of = np.flatnonzero(np.diff(group, prepend=-1))
    kept = order[equal == equal[first_of][group]]
    if not stand_still:
        return labels.pick(kept)
    group = _runs([key[kept] for key in head])
    rank = np.empty(size, dtype=np.int64)
    rank[np.lexsort([*odds[::-1], labels.first])] = np.arange(size)
    values = np.stack([*late, rank], axis=1)[kept]
    heads = np.flatnonzero(np.diff(group, prepend=-1))
    if alone and len(own.case.planes) == 1:
        return labels.pick(kept[heads])
    bounds = np.append(heads, len(kept))
    front = [
        start + row
        for start, end in pairwise(bounds.tolist())
        for row in _front(values[start:end])[:MOST_EQUALS]
    ]
    return labels.pick(kept[front])


def _front(values: Ticks) -> list[int]:
    """Rows that none beats whatever the other planes are like; smaller is better, and better rows
    stand first.

    Columns: the narrowest end and the distance of odd panels, of which only the least of all planes
    counts, are the first and the third; the others add up or are the last tie.
    """
    front: list[int] = []
    for row, mine in enumerate(values):
        others = values[front]
        no_worse = (others[:, :4] <= mine[:4]).all(axis=1)
        ahead = (others[:, 1] < mine[1]) | (others[:, 3] < mine[3]) | (others[:, 4] < mine[4])
        if not (no_worse & ahead).any():
            front.append(row)
    return front





def may_count_less(
    own: Places, labels: Labels, listed: Sequence[tuple[int, ...]]
) -> NDArray[np.bool_]:
    """Whether labels could still have a smaller count against each of `listed`."""
    fine = np.ones(len(labels.first), dtype=bool)
    if not listed:
        return fine
    if own.moving_windows or own.curb_windows:
        # Counts of a bound are not bounds one by one; that an odd panel is laid is certain.
        counts = np.zeros((COUNTS.stop - COUNTS.start, len(labels.first)), dtype=np.int64)
        counts[ODD - COUNTS.start] = (labels.odds[:, :, 0] >= 0).sum(axis=1)
    else:
        counts = own.levels_of(labels.exact)[COUNTS]
    for limits in listed:
        most = np.array(limits, dtype=np.int64)[:, None]
        fine &= (counts < most).any(axis=0)
    return fine


def column_at(own: Places, labels: Labels, row: int) -> Column:
    """The choice a complete label stands for."""
    first = int(own.firsts[labels.first[row]])
    laid = [(int(own.at[p]), int(own.widths[w])) for p, w in labels.odds[row] if p >= 0]
    odds = []
    at, number = first, 2
    for s, width in laid:
        number += (s - at) // own.cover
        odds.append((number, width))
        at, number = s + width, number + 1
    if own.line is not None:
        odds = _from_line(own, first, laid)
    return Column(first, tuple(sorted(odds)))


def _from_line(own: Places, first: int, laid: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Panel numbers counted from the line a plane is laid from."""
    assert own.line is not None
    seams = [first]
    for s, width in [*laid, (own.plane.width, 0)]:
        while seams[-1] + own.cover <= s and seams[-1] != s:
            seams.append(seams[-1] + own.cover)
        if width:
            seams.append(s + width)
    line = seams.index(own.line)
    return [
        (n - line + 1 if (n := seams.index(s)) >= line else n - line, width)
        for s, width in laid
    ]


def padded(labels: Labels, slots: int) -> Labels:
    """Labels with room for `slots` odd panels, -1 where there is none."""
    missing = slots - labels.odds.shape[1]
    odds = np.pad(labels.odds, ((0, 0), (0, missing), (0, 0)), constant_values=-1)
    return replace(labels, odds=odds)


def _runs(keys: list[Ticks]) -> Ticks:
    """Numbers of runs of equal rows in sorted keys."""
    changed = np.zeros(len(keys[0]), dtype=bool)
    for key in keys:
        changed[1:] |= key[1:] != key[:-1]
    result: Ticks = np.cumsum(changed)
    return result


def _least_so_far(values: Ticks, group: Ticks) -> Ticks:
    """The least value among the earlier rows of the same group; huge for the first."""
    far = np.int64(1) << 40
    shifted = np.concatenate([[far], values[:-1]])
    shifted[np.diff(group, prepend=-1) > 0] = far
    result: Ticks = np.minimum.accumulate(shifted - group * (far * 2)) + group * (far * 2)
    return result
