"""How far off the crew may start a plane before any penetration changes its state."""

from __future__ import annotations

import numpy as np

from solver.case import Case
from solver.layout import Layout
from solver.phase import curb_table, pipe_states, room2
from solver.profile import Profile
from solver.starts import run_around


def start_windows(
    case: Case, profiles: list[Profile], layout: Layout
) -> tuple[tuple[int, int], ...]:
    """For each plane the run of consecutive legal first widths (from, to; ticks) around the chosen.

    In it, moves and other planes as chosen, every penetration keeps its state. Links are left out.
    """
    return tuple(
        _window(case, profile, layout, first)
        for profile, first in zip(profiles, layout.firsts, strict=True)
    )


def _window(case: Case, profile: Profile, layout: Layout, first: int) -> tuple[int, int]:
    chosen = int(np.searchsorted(profile.firsts, first))
    same = np.ones(len(profile.firsts), dtype=bool)
    for i in profile.members:
        pen = case.penetrations[i]
        if pen.kind == "curb":
            states = curb_table(profile.grids, pen).states
        else:
            x = np.array([pen.x + layout.moves[i]], dtype=np.int64)
            states = pipe_states(case, pen, room2(profile.grids, pen, x)[0])
        same &= states == states[chosen]
    return run_around(case, profile.firsts, chosen, same)
