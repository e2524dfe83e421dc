"""All the seams that odd panels make possible on one plane, as places on one grid."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case import Case, Plane
from solver.tabling.choices import odd_widths
from solver.tabling.starts import Ticks, whole_marks


class OddGrid:
    """Places of seams: place = block * residues + residue number, by increasing distance.

    `at` is where a place lies, seen from the start (ticks); `step` leads from the residue before an
    odd panel to the place behind it, (residues, widths), where `known`; `u` are the penetrations'
    distances from the start, increasing; `before` how many of them lie before a place.
    """

    def __init__(self, case: Case, plane: Plane) -> None:
        self.case, self.plane = case, plane
        self.cover = case.panel.cover
        self.slots = case.rules.odd_panels
        self.widths = np.array(odd_widths(case), dtype=np.int64)
        self.line = plane.start if plane.lay == "from" else None
        self.pens = sorted(
            case.on(plane.id), key=lambda i: (self._from_start(case.penetrations[i].x), i)
        )
        self.u = np.array(
            [self._from_start(case.penetrations[i].x) for i in self.pens], dtype=np.int64
        )
        self.stops2 = 2 * np.sort(np.append(self.u, [0, plane.width]))
        self._residues()

    def _from_start(self, x: int) -> int:
        return self.plane.width - x if self.plane.lay == "right-to-left" else x

    def _residues(self) -> None:
        cover, width = self.cover, self.plane.width
        if self.line is None:
            firsts = whole_marks(self.case, self.case.rules.min_end)
            reached = np.unique(firsts % cover)
        else:
            reached = np.array([self.line % cover], dtype=np.int64)
            firsts = reached
        rows = [reached]
        for _ in range(self.slots):
            rows.append(np.unique((rows[-1][:, None] + self.widths[None, :]) % cover))
        if self.line is not None:
            back = [reached]
            for _ in range(self.slots):
                back.append(np.unique((back[-1][:, None] - self.widths[None, :]) % cover))
            low = np.unique(np.concatenate(back))
            firsts = np.where(low == 0, cover, low)
            firsts = np.sort(firsts[(firsts >= self.case.rules.min_end) & (firsts <= self.line)])
            rows += back
        self.residues = np.unique(np.concatenate(rows))
        self.firsts: Ticks = firsts[firsts < width]
        count = len(self.residues)
        self.blocks = width // cover + 2
        self.at: Ticks = (
            np.arange(self.blocks, dtype=np.int64)[:, None] * cover + self.residues
        ).ravel()
        self.on_plane: NDArray[np.bool_] = (self.at > 0) & (self.at < width)
        self.residue = np.tile(np.arange(count, dtype=np.int32), self.blocks)
        lasts = (width - self.residues - 1) % cover + 1
        self.ends_well: NDArray[np.bool_] = lasts >= self.case.rules.min_end
        self.lasts = lasts
        target = self.residues[:, None] + self.widths[None, :]
        index = np.searchsorted(self.residues, target % cover)
        index = np.minimum(index, count - 1)
        self.known: NDArray[np.bool_] = self.residues[index] == target % cover
        self.step: Ticks = (target // cover) * count + index - np.arange(count)[:, None]
        self.regular = bool(self.known.all() and (self.step == self.step[0]).all()
                            and (np.diff(self.step[0]) == 1).all())
        self.first_place: Ticks = np.searchsorted(self.at, self.firsts)
        few = len(self.u) < np.iinfo(np.int16).max // 2
        before = np.searchsorted(self.u, self.at)
        self.before: Ticks = before.astype(np.int16 if few else np.int32)
