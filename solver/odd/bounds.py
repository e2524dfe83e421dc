"""What is still to come, at least: from every place of a plane to its far end.

Dynamic programming from the far end backwards, by odd panels left. Uneven ends are left out, as
they hang on where the plane began, and what hangs on more than its own panel counts with its bound;
so a value is what the rest costs at least, and exactly where neither plays a part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.clock import Clock
from solver.odd.panel import odd_rows, steps_of_one
from solver.odd.places import Places
from solver.odd.words import NEVER
from solver.tabling.starts import Ticks

ROWS_AT_ONCE = 4_096


@dataclass(frozen=True)
class Onward:
    """Least words (places, widths) from an odd panel begun at each place on, by what comes next.

    `far`: no other odd panel so near behind it that both stand at one curb; `close`: there is one;
    `low`: whatever comes, with curbs near odd panels counting with their bound alone.
    """

    far: Ticks
    close: Ticks
    low: Ticks


class ToGo:
    """`rest[j]` is the least word from a seam at a place on with up to `j` odd panels left,
    `odd[j]` the same if the very next panel is an odd one.

    Where two odd panels stand at one curb it counts with its bound. `low_rest` and `low_odd` are as
    `rest` and `odd`, every curb at an odd panel counting so; `far` is `rest` with no odd panel next
    that stands at a curb on which the place borders, `close` with one.
    """

    def __init__(self, places: Places, clock: Clock | None = None) -> None:
        self.places = places
        self._clock = clock or Clock()
        self._until = self._borders()
        near = np.flatnonzero(self._beside_something())
        alone = np.zeros(len(near), dtype=bool)
        if places.regular and places.line is None:
            # An odd panel from here can hold one penetration at most: its word is a few steps.
            reach = places.at[near] + int(places.widths[-1])
            alone = np.searchsorted(places.u, reach) - places.before[near] <= 1
            alone &= ~np.isin(near, places.mends.places)
        self._near, self._alone = near[~alone], near[alone]
        edges, self._step_words = steps_of_one(places, self._alone)
        self._steps = np.searchsorted(
            places.widths, (edges - places.at[self._alone][:, None]).ravel()
        ).reshape(edges.shape) if len(places.widths) else edges
        none = np.broadcast_to(NEVER, len(places.at))
        self._full = np.where(places.each("barred") > 0, NEVER, places.each("exact"))
        plain = self._run(None)
        self.rest, self.odd = [plain], [none]
        self.low_rest, self.low_odd = [plain], [none]
        self.far, self.close = [plain], [none]
        for left in range(places.slots):
            self.odd.append(self._odd(left, low=False))
            self.rest.append(self._run(self.odd[-1]))
            if not places.curb_windows:
                self.low_odd.append(self.odd[-1])
                self.low_rest.append(self.rest[-1])
                self.far.append(self.rest[-1])
                self.close.append(none)
                continue
            self.low_odd.append(self._odd(left, low=True))
            self.low_rest.append(self._run(self.low_odd[-1]))
            self._split(left + 1)
        del self._near, self._alone, self._steps, self._step_words, self._full

    def onward(self, places: Ticks, left: int) -> Onward:
        """What odd panels begun at places lead to with up to `left` more of them."""
        own = self.places
        words, _ = odd_rows(own, places)
        behind = places[:, None] + own.step[own.residue[places]]
        fine = own.known[own.residue[places]] & (behind < len(own.at)) & (words < NEVER)
        behind = np.where(fine, behind, 0)
        end = own.at[places][:, None] + own.widths[None, :]
        fine &= end < own.plane.width
        if own.line is not None:
            fine &= ~((own.at[places][:, None] < own.line) & (end > own.line))
        words = words + own.odd_word

        def whole(start: Ticks, rest: Ticks) -> Ticks:
            onward = rest[behind]
            return np.where(fine & (onward < NEVER), start + onward, NEVER)

        if not own.windows:  # nothing hangs on more than its panel
            alone = whole(words, self.far[left])
            return Onward(alone, alone, alone)
        far = words - own.move_before[places][:, None] - own.move_behind[behind]
        far += own.mends.of(places)
        alone = whole(far, self.far[left])
        if not own.curb_windows:
            return Onward(alone, alone, alone)
        most = words - own.credit_before[places][:, None] - own.credit_behind[behind]
        return Onward(alone, whole(most, self.close[left]), whole(most, self.low_rest[left]))

    def until(self, places: Ticks) -> Ticks:
        """Up to where (ticks) an odd panel next would stand at a curb these seams border on."""
        result: Ticks = self._until[places]
        return result

    def _borders(self) -> Ticks:
        own = self.places
        if not own.curb_windows:
            return np.broadcast_to(np.int64(-1), len(own.at))
        until = np.full(len(own.at), -1, dtype=np.int64)
        for low, high in own.curb_windows:
            inside = (own.at >= low) & (own.at <= high)
            until[inside] = np.maximum(until[inside], high)
        return until

    def _split(self, left: int) -> None:
        """`far` and `close` for places that border on a curb, from `rest` and `low_odd`."""
        own = self.places
        count = len(own.residues)
        far, close = self.rest[left].copy(), np.full(len(own.at), NEVER, dtype=np.int64)
        here = np.flatnonzero((self._until >= 0) & own.on_plane)
        far[here] = self.rest[0][here]  # no odd panel any more
        waiting = np.ones(len(here), dtype=bool)
        turn = 0
        while waiting.any():
            rows = here[waiting]
            there = rows + turn * count
            fine = there < len(own.at)
            there = np.where(fine, there, rows)
            fine &= own.on_plane[there] & (own.between("barred", rows, there) == 0)
            if own.line is not None:
                over = (own.at[rows] < own.line) & (own.at[there] > own.line)
                fine &= ~over | (own.residues[own.residue[rows]] == own.line % own.cover)
            chain = own.between("exact", rows, there)
            within = own.at[there] <= self._until[rows]
            for target, source, mask in ((close, self.low_odd[left], fine & within),
                                         (far, self.rest[left], fine & ~within)):
                value = np.where(source[there] < NEVER, chain + source[there], NEVER)
                target[rows[mask]] = np.minimum(target[rows[mask]], value[mask])
            waiting[waiting] = fine & within
            turn += 1
        self.far.append(far)
        self.close.append(close)

    def _beside_something(self) -> NDArray[np.bool_]:
        """Places from which an odd panel might hold or touch something, or reach over the line."""
        own = self.places
        near: NDArray[np.bool_] = np.searchsorted(own.u, own.at + own.cover) > own.before
        near[own.mends.places] = True
        if own.line is not None:
            near |= (own.at < own.line) & (own.at + own.cover > own.line)
        return near & own.on_plane

    def _odd(self, left: int, *, low: bool) -> Ticks:
        """The least word if the next panel is odd, up to `left` more of them behind it."""
        own = self.places
        rest = self.low_rest[left] if low else self.far[left]
        found = np.full(len(own.at), NEVER, dtype=np.int64)
        if own.regular:
            fine = (own.at < own.plane.width) & (rest < NEVER)
            ranges = _Ranges(np.where(fine, rest - own.move_behind, NEVER), len(own.widths))
            first = np.arange(len(own.at)) + int(own.step[0, 0])
            found = ranges.least(first, np.full(len(first), len(own.widths)))
            found[self._alone] = self._least_of_steps(ranges)
            fine = own.on_plane & (found < NEVER)
            found = np.where(fine, found + own.odd_word - own.move_before, NEVER)
            explicit = self._near
        else:
            explicit = np.flatnonzero(own.on_plane)
        for start in range(0, len(explicit), ROWS_AT_ONCE):
            if self._clock.over():
                raise TimeoutError
            rows = explicit[start : start + ROWS_AT_ONCE]
            onward = self.onward(rows, left)
            words = onward.low if low else np.minimum(onward.far, onward.close)
            found[rows] = words.min(axis=1, initial=NEVER)
        return np.where(own.on_plane, found, NEVER)

    def _least_of_steps(self, ranges: _Ranges) -> Ticks:
        """The least word behind an odd panel that holds one penetration, state by state."""
        own = self.places
        first = self._alone + int(own.step[0, 0])
        until = np.append(self._steps[:, 1:], np.full((len(first), 1), len(own.widths)), axis=1)
        found = np.full(len(first), NEVER, dtype=np.int64)
        for n in range(self._steps.shape[1]):
            least = ranges.least(first + self._steps[:, n], until[:, n] - self._steps[:, n])
            found = np.minimum(found, least + self._step_words[:, n])
        return np.minimum(found, NEVER)

    def _run(self, odd: Ticks | None) -> Ticks:
        """The least word from each place: carry on with full panels, end, or turn odd."""
        own = self.places
        count = len(own.residues)
        shape = (own.blocks, count)
        bound = self._full.reshape(shape)
        at = own.at.reshape(shape)
        rest = np.full(shape, NEVER, dtype=np.int64)
        for block in range(own.blocks - 1, -1, -1):
            here = at[block]
            last = here + own.cover >= own.plane.width
            carry = rest[block + 1] if block + 1 < own.blocks else np.full(count, NEVER)
            if own.line is not None:
                carry = np.where((here < own.line) & (here + own.cover > own.line), NEVER, carry)
                ends = own.ends_well & (here >= own.line)
            else:
                ends = own.ends_well
            onward = np.where(last, np.where(ends, 0, NEVER), carry)
            rest[block] = np.minimum(bound[block] + onward, NEVER)
            if odd is not None:
                rest[block] = np.minimum(rest[block], odd.reshape(shape)[block])
            rest[block] = np.where((here > 0) & (here < own.plane.width), rest[block], NEVER)
        return rest.ravel()


class _Ranges:
    """The least value of any range of a row of values, up to a length, by ranges of 1, 2, 4, …"""

    def __init__(self, values: Ticks, longest: int) -> None:
        padded = np.concatenate([values, np.full(2 * longest + 2, NEVER, dtype=np.int64)])
        rows, reach = [padded], 1
        while reach * 2 <= longest:
            last = rows[-1]
            rows.append(np.minimum(last, np.concatenate([last[reach:], last[-reach:]])))
            reach *= 2
        self._rows = np.stack(rows)

    def least(self, first: Ticks, count: Ticks) -> Ticks:
        """The least of `count` values from `first` on; NEVER where `count` is not positive."""
        some = count > 0
        row = np.log2(np.where(some, count, 1)).astype(np.int64)
        last = np.minimum(first, self._rows.shape[1] - 1)
        other = np.minimum(first + count - (1 << row), self._rows.shape[1] - 1)
        least = np.minimum(self._rows[row, last], self._rows[row, np.where(some, other, last)])
        return np.where(some, least, NEVER)
