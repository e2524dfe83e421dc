"""What stands in an odd panel: its worth by where the panel begins and how wide it is."""

from __future__ import annotations

import numpy as np

from solver.odd.places import Places
from solver.odd.words import NEVER
from solver.tabling.phase import Grids
from solver.tabling.starts import Ticks
from solver.tabling.worst_shift import start_shift


def odd_rows(
    own: Places, places: Ticks, ends: Ticks | None = None
) -> tuple[Ticks, Ticks]:
    """Words and shortfalls (places, ends) of what stands in an odd panel begun at a seam.

    `ends` are the far edges looked at for each place, (places, …); left out, one for each width
    an odd panel may have. What hangs on more than its panel counts with a lower bound and no
    shortfall.
    """
    s = own.at[places]
    if ends is None:
        ends = s[:, None] + own.widths[None, :]
    low = np.searchsorted(own.u, s)
    most = np.searchsorted(own.u, ends.max(axis=1, initial=0))
    words = np.zeros(ends.shape, dtype=np.int64)
    shorts = np.zeros_like(words)
    for turn in range(int((most - low).max(initial=0))):
        rows = np.flatnonzero(low + turn < most)
        k = (low + turn)[rows]
        end = ends[rows]
        room = _room2(own, k, s[rows][:, None], end)
        inside = end > own.u[k][:, None]
        limits = own.pen_limits[k]
        worth = np.take_along_axis(own.pen_words[k], _code(room, limits[:, None, :]), axis=1)
        words[rows] = np.minimum(words[rows] + np.where(inside, worth, 0), NEVER)
        lacks = 2 * own.case.rules.enough - (room - limits[:, 0:1])
        counts = inside & (room >= limits[:, 0:1]) & own.pen_fixed[k][:, None]
        shorts[rows] += np.where(counts, np.maximum(lacks, 0), 0)
    return words, shorts


def steps_of_one(own: Places, places: Ticks) -> tuple[Ticks, Ticks]:
    """Where the word of an odd panel that can hold only one penetration changes.

    Returns the first far edges (places, 5), increasing, at which the penetration is in the
    panel and then in its next better state, and the word from each on.
    """
    s = own.at[places]
    k = np.searchsorted(own.u, s)
    u, panel = own.u[k], own.case.panel
    grids = Grids(own.case, own.plane, own.firsts[:1])
    shift = start_shift(own.case, own.plane) + own.pen_off[k]
    back = np.where(u == s, -max(panel.seam_fwd, panel.seam_back), u - s - grids.ahead_of(s))
    near = 2 * (np.minimum(back - shift, own.pen_ends[k] - own.pen_off[k]))
    best = _code(near[:, None], own.pen_limits[k][:, None, :])[:, 0]
    # With the far edge at `e` the room on that side is e - u - seam_back - shift; and a state is
    # reached where its own limit or that of a better one is.
    limits = np.minimum.accumulate(own.pen_limits[k], axis=1)
    reach = -(-limits // 2) + (u + panel.seam_back + shift)[:, None]
    edges = np.stack([s, u + 1, reach[:, 2], reach[:, 1], reach[:, 0]], axis=1)
    edges = np.maximum.accumulate(edges, axis=1)
    worst = np.array([3, 2, 1, 0], dtype=np.int64)[None, :]
    codes = np.maximum(worst, best[:, None])
    words = np.take_along_axis(own.pen_words[k], codes, axis=1)
    return edges, np.concatenate([np.zeros((len(k), 1), dtype=np.int64), words], axis=1)


def _room2(own: Places, k: Ticks, s: Ticks, end: Ticks) -> Ticks:
    """Room of penetrations `k` between the seams of an odd panel (half ticks)."""
    panel = own.case.panel
    grids = Grids(own.case, own.plane, own.firsts[:1])
    u = own.u[k][:, None]
    shift = start_shift(own.case, own.plane)
    back = u - s - grids.ahead_of(s)
    ahead = end - u - grids.behind(end)
    back = np.where(u == s, -max(panel.seam_fwd, panel.seam_back), back)
    room = np.minimum(np.minimum(back, ahead) - shift, own.pen_ends[k][:, None])
    result: Ticks = 2 * (room - own.pen_off[k][:, None])
    return result


def _code(room: Ticks, limits: Ticks) -> Ticks:
    """State codes, as in `solver.tabling.phase`, for rooms and their limits (…, 3), half ticks."""
    reached = room[..., None] >= limits
    result: Ticks = np.where(
        reached[..., 0], 0, np.where(reached[..., 1], 1, np.where(reached[..., 2], 2, 3))
    )
    return result
