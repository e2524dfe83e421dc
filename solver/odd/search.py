"""The best choices of first width and odd panels of one plane, exactly, without trying all.

Labels are layouts as far as an odd panel just laid. They are carried on by one odd panel after the
other, given up where even the bound of what is to come (`odd_bounds`) does not reach the limit, and
merged where all that is to come is the same. What hangs on more than one panel (curbs, pipes that
may move) is charged exactly as long as no odd panel stands near it; a label with an odd panel near
such a thing is never merged, and its choice is priced afterwards like any other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from solver.clock import Clock
from solver.odd.bounds import ROWS_AT_ONCE, ToGo
from solver.odd.labels import (
    Labels,
    best_complete,
    column_at,
    joined,
    may_count_less,
    merged,
    padded,
)
from solver.odd.panel import odd_rows
from solver.odd.places import Places
from solver.odd.standing import clearance2, no_better
from solver.odd.words import NEVER
from solver.tabling.runs import Column
from solver.tabling.starts import Ticks

MOST_LABELS = 100_000


class TooHardError(Exception):
    """There are too many near-best choices to look at."""


class OddSearch:
    """Searches one plane. `whole` says whether the last search left nothing out for its limit.

    It gives up (TooHardError) once it has grown `effort` labels, those to grow from counted with
    them; None for no such limit.
    """

    def __init__(
        self, places: Places, to_go: ToGo, clock: Clock, effort: int | None = None
    ) -> None:
        self.places, self.to_go, self.clock = places, to_go, clock
        self.whole = True
        self._effort = 1 << 60 if effort is None else effort
        # How far odd panels are from a pipe is not known before it is known where that goes.
        self._stand_still = not any(places.moving)

    def starts(self, firsts: Ticks) -> Labels:
        """A label for each of some first widths (by number), nothing laid but the first panel."""
        own = self.places
        place = own.first_place[firsts]
        charged = own.first_exact[:, own.residue[place]]
        fine = charged[3] == 0
        zero = np.zeros(len(firsts), dtype=np.int64)
        labels = Labels(
            firsts, place, charged[0], charged[0], charged[0], np.zeros(len(firsts), dtype=bool),
            charged[1], charged[2], zero, zero,
            np.full(len(firsts), NEVER), charged[4] > 0,
            np.zeros((len(firsts), 0, 2), dtype=np.int64),
        )
        return labels.pick(fine)

    def least(self) -> Ticks:
        """For every first width the least word of anything, uneven ends left out."""
        own = self.places
        labels = self.starts(np.arange(len(own.firsts)))
        found = np.full(len(own.firsts), NEVER, dtype=np.int64)
        rest = self.to_go.rest[own.slots][labels.place]
        found[labels.first] = np.minimum(labels.bound + rest, NEVER)
        return found

    def greedy(self) -> list[Column]:
        """For every first width that has any choice one that follows the bounds."""
        own = self.places
        labels = self.starts(np.arange(len(own.firsts)))
        labels = labels.pick(self.least()[labels.first] < NEVER)
        done: list[Labels] = []
        for left in range(own.slots, -1, -1):
            if not len(labels.first):
                break
            ends = self._finished(labels)
            final = np.full(len(labels.first), NEVER, dtype=np.int64)
            final[ends[0]] = ends[1].bound
            if left == 0:
                done.append(ends[1])
                break
            best = np.full(len(labels.first), NEVER, dtype=np.int64)
            where = np.zeros(len(labels.first), dtype=np.int64)
            for rows, places, bound in self._spots(labels, left):
                order = np.lexsort((places, bound, rows))
                head = order[np.diff(rows[order], prepend=-1) > 0]
                best[rows[head]], where[rows[head]] = bound[head], places[head]
            odd = best < final
            stop = ends[1].pick(~odd[ends[0]])
            done.append(stop)
            go = np.flatnonzero(odd)
            onward = self.to_go.onward(where[go], left - 1)
            low = self._crowds(labels.pick(go), where[go])[:, None]
            words = np.where(low, onward.low, np.minimum(onward.far, onward.close))
            if left == 1:
                every = np.arange(len(own.widths))[None, :]
                words += own.uneven_behind(labels.first[go][:, None], where[go][:, None], every)
            labels = self._laid(labels.pick(go), where[go], words.argmin(axis=1))
        return [column_at(own, label, row) for label in done for row in range(len(label.first))]

    def within(
        self,
        firsts: Ticks,
        limits: Ticks,
        *,
        every: bool,
        listed: Sequence[tuple[int, ...]] = (),
    ) -> Labels:
        """Complete choices for first widths (numbers) whose words keep within their limits.

        `every`: the best for each set of counts; otherwise the best alone and its equals. Choices
        that cannot have a smaller count against each of `listed` are left out.

        Raises:
            TooHardError: there are too many.
            TimeoutError: the clock ran out.
        """
        own = self.places
        limit = np.full(len(own.firsts), -1, dtype=np.int64)
        limit[firsts] = limits
        self.whole = True
        labels = self.starts(firsts)
        done: list[Labels] = []
        for left in range(own.slots, -1, -1):
            ends = self._finished(labels)[1]
            within = ends.bound <= limit[ends.first]
            self.whole &= bool(within.all())
            done.append(ends.pick(within & may_count_less(own, ends, listed)))
            if left == 0:
                break
            grown: list[Labels] = []
            size = 0
            for rows, places, bound in self._spots(labels, left):
                fine = (bound <= limit[labels.first[rows]]) & (bound < NEVER)
                self.whole &= bool((fine | (bound >= NEVER)).all())
                rows, places = rows[fine], places[fine]
                for start in range(0, len(rows), ROWS_AT_ONCE):
                    if self.clock.over():
                        raise TimeoutError
                    part = slice(start, start + ROWS_AT_ONCE)
                    more = self._grown(labels, rows[part], places[part], left, limit)
                    self._effort -= len(rows[part]) + len(more.first)
                    if self._effort < 0:
                        raise TooHardError
                    grown.append(more.pick(may_count_less(own, more, listed)))
                    size += len(grown[-1].first)
                    if size > 2 * MOST_LABELS:
                        grown = [self._best_of(grown, every=every)]
                        size = len(grown[0].first)
                        if size > MOST_LABELS:
                            raise TooHardError
            if not grown:
                break
            labels = self._best_of(grown, every=every)
            if len(labels.first) > MOST_LABELS:
                raise TooHardError
        return self._best_of([padded(part, own.slots) for part in done], every=every)

    def best(self, labels: Labels, *, alone: bool = False, by_counts: bool = False) -> Labels:
        """The best of complete labels; see `best_complete`."""
        return best_complete(
            self.places, labels, alone=alone, by_counts=by_counts, stand_still=self._stand_still
        )

    def _best_of(self, parts: list[Labels], *, every: bool) -> Labels:
        """Labels without those that another one beats whatever comes."""
        return merged(
            self.places, joined(parts), self.to_go.until, every=every,
            stand_still=self._stand_still,
        )

    # ------------------------------------------------------------------ steps

    def _finished(self, labels: Labels) -> tuple[Ticks, Labels]:
        """Labels carried on with full panels to the far end, where that is legal."""
        own = self.places
        count = len(own.residues)
        residue = own.residue[labels.place]
        place = ((own.plane.width - 1 - own.residues[residue]) // own.cover) * count + residue
        fine = own.ends_well[residue] & self._clear_way(labels.place, place, True)
        rows = np.flatnonzero(fine)
        labels, place = labels.pick(rows), place[rows]
        uneven = own.uneven_words(own.firsts[labels.first], own.lasts[residue[rows]])
        chain = {
            name: own.between(name, labels.place, place + count)
            for name in ("exact", "short", "dist", "doubtful")
        }
        return rows, Labels(
            labels.first, place, labels.exact + chain["exact"] + uneven,
            labels.bound + chain["exact"] + uneven, labels.close, labels.low,
            labels.short + chain["short"],
            labels.dist + chain["dist"], labels.width, labels.start2, labels.clear2,
            labels.near | (chain["doubtful"] > 0), labels.odds,
        )

    def _clear_way(self, here: Ticks, there: Ticks, through: bool) -> NDArray[np.bool_]:
        """Whether full panels lead from seam to seam (`through`: and one beyond) as allowed."""
        own = self.places
        more = len(own.residues) if through else 0
        fine: NDArray[np.bool_] = own.between("barred", here, there + more) == 0
        if own.line is not None:
            # Behind the last seam before the line the next one must stand on the line.
            over = (own.at[here] < own.line) & ((own.at[there] > own.line) | through)
            meets = own.residues[own.residue[here]] == own.line % own.cover
            fine &= ~over | meets
        return fine

    def _spots(
        self, labels: Labels, left: int
    ) -> Iterator[tuple[Ticks, Ticks, Ticks]]:
        """(label, place, bound) of every seam at which labels may go on with an odd panel."""
        own = self.places
        count = len(own.residues)
        each = max(1, 500_000 // own.blocks)
        for start in range(0, len(labels.first), each):
            if self.clock.over():
                raise TimeoutError
            rows = np.arange(start, min(start + each, len(labels.first)))
            here = labels.place[rows]
            place = here[:, None] + np.arange(own.blocks)[None, :] * count
            there = np.minimum(place, len(own.at) - 1)
            close = labels.low[rows][:, None] | (
                own.at[there] <= self.to_go.until(here)[:, None]) & (labels.odds.shape[1] > 0)
            start_at = np.where(close, labels.close[rows][:, None], labels.bound[rows][:, None])
            odd = np.where(close, self.to_go.low_odd[left][there], self.to_go.odd[left][there])
            bound = start_at + own.between("exact", here[:, None], there) + odd
            fine = (place < len(own.at)) & (odd < NEVER)
            fine &= own.between("barred", here[:, None], there) == 0
            if own.line is not None:
                fine &= self._clear_way(np.broadcast_to(here[:, None], there.shape), there, False)
            row, block = np.nonzero(fine)
            yield rows[row], there[row, block], bound[row, block]

    def _grown(
        self, labels: Labels, rows: Ticks, places: Ticks, left: int, limit: Ticks
    ) -> Labels:
        """Labels with one odd panel more, as far as they can keep within the limit."""
        own = self.places
        spots, spot = np.unique(places, return_inverse=True)  # many labels go on from the same
        onward = self.to_go.onward(spots, left - 1)
        low = self._crowds(labels.pick(rows), places)
        start = np.where(low, labels.close[rows], labels.bound[rows])
        start = start + own.between("exact", labels.place[rows], places)
        if own.curb_windows:
            best = np.minimum(onward.far, onward.close)
            words = np.where(low[:, None], onward.low[spot], best[spot])
        else:
            words = onward.far[spot]
        allowed = words < NEVER
        most = limit[labels.first[rows]]
        fine = allowed & (start[:, None] + words <= most[:, None])
        self.whole &= bool((fine | ~allowed).all())
        row, width = np.nonzero(fine)
        if left == 1:
            total = start[row] + words[row, width]
            total += own.uneven_behind(labels.first[rows[row]], places[row], width)
            kept = total <= most[row]
            self.whole &= bool(kept.all())
            row, width = row[kept], width[kept]
        if self._stand_still:
            kept = ~no_better(own, labels.place[rows[row]], places[row], own.widths[width])
            row, width = row[kept], width[kept]
        return self._laid(labels.pick(rows[row]), places[row], width)

    def _crowds(self, labels: Labels, places: Ticks) -> NDArray[np.bool_]:
        """Whether an odd panel at `places` stands at the same curb as the one laid last, or an
        earlier one did: then curbs at odd panels count with their bounds from there on."""
        if not labels.odds.shape[1]:
            return labels.low
        at_one = self.places.at[places] <= self.to_go.until(labels.place)
        result: NDArray[np.bool_] = labels.low | at_one
        return result

    def _laid(self, labels: Labels, places: Ticks, width: Ticks) -> Labels:
        """Labels carried on to `places` and there an odd panel of the width of that number."""
        own = self.places
        words, shorts = odd_rows(own, places, (own.at[places] + own.widths[width])[:, None])
        word, short = words[:, 0], shorts[:, 0]
        behind = places + own.step[own.residue[places], width]
        s, w = own.at[places], own.widths[width]
        near = labels.near | (own.between("doubtful", labels.place, places) > 0)
        for first, last in own.moving_windows:
            near |= (s <= last) & (s + w >= first)
        centre2 = 2 * s + w
        away2 = np.abs(centre2 - 2 * (own.line or 0))
        spots = np.stack([places, width], axis=1)[:, None, :]
        here = labels.place
        low = self._crowds(labels, places)
        chain = own.between("exact", here, places) + own.odd_word + word
        close = np.where(low, labels.close, labels.bound) + chain
        close -= own.credit_before[places] + own.credit_behind[behind]
        far = labels.bound + chain - own.move_before[places] - own.move_behind[behind]
        mend, mend_short = own.mends.both(places, width)
        far += mend
        near |= low
        return Labels(
            labels.first, behind, labels.exact + chain + mend, np.where(low, close, far), close,
            low,
            labels.short + own.between("short", here, places) + short + mend_short,
            labels.dist + own.between("dist", here, places),
            labels.width + w, labels.start2 + away2,
            np.minimum(labels.clear2, clearance2(own, centre2)), near,
            np.concatenate([labels.odds, spots], axis=1),
        )
