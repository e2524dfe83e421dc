"""A plane with odd panels, too many to look at one by one: its seams as places on one grid.

Every seam that any choice can have stands at a *place*: whole covers (the block) plus one of a few
residues. Behind an odd panel the residue changes; between odd panels seams go on block by block.
So what a penetration costs in a full panel hangs on the residue alone, and is charged to the place
of the seam before it. Levels of the tie order from the cost to the uneven ends are packed into one
whole number, the *word*, so that words compare as the levels do.
"""

from __future__ import annotations

import numpy as np

from solver.case import Case, Penetration, Plane, needed2
from solver.odd.curbs import CurbCharge, mends
from solver.odd.words import NEVER, OddWords
from solver.tabling.moves import plane_options
from solver.tabling.phase import PIPE_CODE, Grids
from solver.tabling.profile import own_best
from solver.tabling.starts import Ticks
from solver.tabling.tables import (
    COST,
    CROSS,
    CROWD,
    CUT,
    DIST,
    ON,
    SHORT,
    TIGHTS,
    fixed_states,
    forbidden,
    pen_table,
)
from solver.tabling.worst_shift import far_end_shift

_STATE_LEVELS = {1: (TIGHTS, "tight"), 2: (CROSS, "crosses"), 3: (ON, "on_seam")}


def can_tabulate(case: Case) -> bool:
    """Whether a seam's number does not matter: play or creep would make it matter."""
    return not case.rules.play and not (case.rules.robust and case.rules.cover_tol)


class Places(OddWords):
    """The places of one plane and what penetrations cost there.

    Arrays over places are flat, place = block * residues + residue number, by increasing distance
    from the start. `exact` holds words of penetrations in full panels (or an end panel) charged to
    the seam before them, as if no odd panel stood near; `credit_before` and `credit_behind` are
    what an odd panel that begins, or ends, at a place may take off that, `move_before` and
    `move_behind` the part of it that is pipes that may move; with one odd panel near them curbs are
    charged exactly by `mends`. `short` and `dist` go with
    `exact`; `barred` counts what is not allowed, `doubtful` what is allowed at most where an odd
    panel stands near.
    """

    def __init__(self, case: Case, plane: Plane) -> None:
        super().__init__(case, plane)
        self._charge()
        self._sum_up()

    def _charge(self) -> None:
        opts = {o.pen: o for o in plane_options(self.case, self.plane)[0]}
        self.moving: list[bool] = [opts[i].can_move for i in self.pens]
        self._pen_tables()
        count, size = len(self.residues), len(self.at)
        self.exact = np.zeros(size, dtype=np.int64)
        self.short = np.zeros(size, dtype=np.int64)
        self.dist = np.zeros(size, dtype=np.int64)
        self.barred = np.zeros(size, dtype=np.int64)
        self.doubtful = np.zeros(size, dtype=np.int64)
        nothing = np.broadcast_to(np.int64(0), size)
        hanging = len(self.pens) > sum(self.pen_fixed)
        self.credit_before, self.credit_behind, self.move_before, self.move_behind = (
            nothing.copy() if hanging else nothing for _ in range(4)
        )
        curbs: list[CurbCharge] = []
        moving: list[tuple[int, int]] = []
        self.first_exact = np.zeros((5, count), dtype=np.int64)  # in the first panel, by residue
        grids = Grids(
            self.case, self.plane, np.where(self.residues == 0, self.cover, self.residues)
        )
        self.windows: list[tuple[int, int]] = []
        still = [
            k for k, i in enumerate(self.pens)
            if self.pen_fixed[k] and opts[i].may_stay
        ]
        self._charge_fixed(grids, np.array(still, dtype=np.int64))
        for k, i in enumerate(self.pens):
            if self.pen_fixed[k] and opts[i].may_stay:
                continue
            pen = self.case.penetrations[i]
            table = pen_table(grids, opts[i])
            taken, _, fine = own_best(self.case, opts[i], table)
            word = self.word(taken)
            low = self._least(pen, opts[i].can_move, table.may_stay, table.stay, word)
            home = self._home(self.u[k])
            inside = home >= 0
            there = home[inside]
            window = self._window(pen, opts[i].deltas)
            bad, none = (~fine).astype(np.int64), np.zeros(count, dtype=np.int64)
            # What hangs on more than its panel may be allowed where an odd panel stands near.
            parts = (np.where(fine, word, low), taken[SHORT], taken[DIST],
                     bad if window is None else none, none if window is None else bad)
            wholes = (self.exact, self.short, self.dist, self.barred, self.doubtful)
            for whole, part in zip(wholes, parts, strict=True):
                whole[there] += part[inside]
            first = self.u[k] < np.where(self.residues == 0, self.cover, self.residues)
            for row, part in enumerate(parts):
                self.first_exact[row] += np.where(first, part, 0)
            if window is None:
                continue
            self.windows.append(window)
            most = np.maximum(parts[0] - low, 0)
            credits = [(self.credit_before, self.credit_behind)]
            if pen.kind == "curb":
                cents, weight = self.case.rates.cents, self.weight
                curbs.append(CurbCharge(
                    pen, int(self.u[k]), window, parts[0], int(low[0]),
                    int(weight[CUT] + weight[COST] * cents("seam_cut")),
                    int(weight[CROWD] + weight[COST] * cents("crowded")), taken[SHORT],
                ))
            else:
                credits.append((self.move_before, self.move_behind))
                moving.append(window)
            for before, behind in credits:
                self._credit(home, most, window, before, behind)
        self.mends = mends(self, curbs)
        self.curb_windows = [curb.window for curb in curbs]
        self.moving_windows = moving

    def _credit(
        self,
        home: Ticks,
        most: Ticks,
        window: tuple[int, int],
        before: Ticks,
        behind: Ticks,
    ) -> None:
        """What may be saved on one penetration by an odd panel near it, at the panel's places.

        Its charge supposes full panels all around. An odd panel within its window that begins
        behind its home gives back `most` (by residue), and so does one that ends before its home.
        """
        count, size = len(self.residues), len(self.at)
        low, high = window
        for m in range((high - low) // self.cover + 3):
            place = home + (m + 1) * count
            there = (place >= 0) & (place < size) & (most > 0)
            there &= self.at[np.clip(place, 0, size - 1)] <= high
            before[place[there]] += most[there]
            place = home - m * count
            there = (place >= 0) & (place < size) & (most > 0)
            there &= self.at[np.clip(place, 0, size - 1)] >= low
            behind[place[there]] += most[there]

    def _charge_fixed(self, grids: Grids, still: Ticks) -> None:
        """Charge the pipes that cannot move, all at once."""
        pens = [self.case.penetrations[self.pens[k]] for k in still]
        states, room = fixed_states(grids, pens)
        words = np.take_along_axis(self.pen_words[still], states.astype(np.int64), axis=1)
        barred = (words >= NEVER).astype(np.int64)
        words = np.where(barred > 0, 0, words)
        lacks = 2 * self.case.rules.enough - (room - self.pen_limits[still, 0:1])
        short = np.where(states == 0, np.maximum(lacks, 0), 0)
        home = self._home(self.u[still][:, None])
        inside = home >= 0
        wholes = (self.exact, self.short, self.barred)
        parts = (words, short, barred)
        for whole, part in zip(wholes, parts, strict=True):
            np.add.at(whole, home[inside], part[inside])
        first = self.u[still][:, None] < np.where(self.residues == 0, self.cover, self.residues)
        for row, part in zip((0, 1, 3), parts, strict=True):
            self.first_exact[row] += np.where(first, part, 0).sum(axis=0)

    def _home(self, u: Ticks) -> Ticks:
        """The place, by residue, of the full panel that holds what stands at `u`; negative in the
        first panel. What stands on the far edge belongs to the last panel."""
        count = len(self.residues)
        inner = np.minimum(u, self.plane.width - 1)
        return ((inner - self.residues) // self.cover) * count + np.arange(count)

    def _sum_up(self) -> None:
        """Sums over earlier blocks, one block more than there are; None where all is nothing."""
        self.sums: dict[str, Ticks | None] = {}
        for name in ("exact", "short", "dist", "barred", "doubtful"):
            values = getattr(self, name).reshape(self.blocks, len(self.residues))
            total = np.zeros((self.blocks + 1, values.shape[1]), dtype=np.int64)
            np.cumsum(values, axis=0, out=total[1:])
            if name != "exact" and total.max() < np.iinfo(np.int32).max:
                total = total.astype(np.int32)  # half the memory: many planes are held at once
            self.sums[name] = total.ravel() if values.any() else None
        del self.exact, self.short, self.dist, self.barred, self.doubtful

    def each(self, name: str) -> Ticks:
        """What is charged to every place."""
        total, count = self.sums[name], len(self.residues)
        if total is None:
            return np.broadcast_to(np.int64(0), len(self.at))
        return total[count:] - total[:-count]

    def between(self, name: str, here: Ticks, there: Ticks) -> Ticks:
        """What is charged to places from `here` up to but not with `there`, block by block."""
        total = self.sums[name]
        if total is None:
            return np.zeros(np.broadcast_shapes(here.shape, there.shape), dtype=np.int64)
        result: Ticks = total[there] - total[here]
        return result

    def uneven_behind(self, firsts: Ticks, places: Ticks, width: Ticks) -> Ticks:
        """What uneven ends add if the odd panel begun there, of the width of that number, is the
        last one."""
        there = places + self.step[self.residue[places], width]
        behind = self.residue[np.minimum(there, len(self.at) - 1)]
        return self.uneven_words(self.firsts[firsts], self.lasts[behind])

    def _window(self, pen: Penetration, deltas: Ticks) -> tuple[int, int] | None:
        """From where to where seams matter to what hangs on more than the panel it stands in."""
        if pen.kind == "curb":
            half = pen.across // 2 + 1 + max(self.case.panel.seam_back, self.case.panel.seam_fwd)
            u = self._from_start(pen.x)
            return u - half, u + half
        if len(deltas) == 1:
            return None
        ends = [self._from_start(pen.x + int(d)) for d in (deltas.min(), deltas.max())]
        return min(ends), max(ends)

    def _least(
        self, pen: Penetration, can_move: bool, may_stay: bool, stay: Ticks, word: Ticks
    ) -> Ticks:
        """A word no choice can go below, for a full panel by residue."""
        if pen.kind == "curb":
            return np.full_like(word, self.curb_word(pen))
        if not can_move:
            return word
        moved = np.full_like(word, self.move_word(pen))
        return np.minimum(self.word(stay), moved) if may_stay else moved

    def _pen_tables(self) -> None:
        """Per penetration what its state in a panel is worth: words by state code, and limits."""
        pens = [self.case.penetrations[i] for i in self.pens]
        rules = self.case.rules
        self.pen_limits = np.array(
            [[needed2(pen, rules), pen.base, pen.outside + 2 * rules.hole_gap] for pen in pens],
            dtype=np.int64,
        ).reshape(len(pens), 3)
        self.pen_words = np.zeros((len(pens), 4), dtype=np.int64)
        self.pen_off = np.array(
            [pen.x_tol if rules.robust else 0 for pen in pens], dtype=np.int64
        )
        far = self.plane.width - far_end_shift(self.case)
        self.pen_ends = np.array(
            [min(pen.x, far - pen.x) - rules.end_lap for pen in pens], dtype=np.int64
        )
        for k, pen in enumerate(pens):
            if pen.kind == "curb":
                self.pen_words[k] = self.curb_word(pen)
                continue
            for code in range(4):
                value = 0
                if code:
                    level, rate = _STATE_LEVELS[code]
                    cents = self.case.rates.cents(rate)
                    value = int(self.weight[level] + self.weight[COST] * cents)
                if forbidden(np.array([code]), PIPE_CODE, pen)[0]:
                    value = int(NEVER)
                if self.moving[k]:
                    value = min(value, self.move_word(pen))
                self.pen_words[k, code] = value
        self.pen_fixed = np.array(
            [pen.kind == "pipe" and not self.moving[k] for k, pen in enumerate(pens)], dtype=bool
        )
