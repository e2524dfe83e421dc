"""The cheapest layout with odd panels as a path through panels: a linear model for HiGHS.

Exact for odd panels, planes laid from a line, pipes that move, curbs, unevenness and links; play,
`robust`, what is agreed and what two fittings can make are left out: `NotCoveredError`.

Per plane, with binaries `y[a]` for every panel `a` it may have (`highs_path`):

- one panel leads from the start, and what comes to a seam leaves it,
- what stands in a panel, or is cut by the seam at its far edge, is charged to `y[a]`,
- a pipe that may move, with binaries `z[i, m]`: as in `highs`, panels taking the place of first
  widths,
- a crowded curb: `crowd >= sum of y[a] that end at a seam which crowds it`, for groups of seams
  narrower than any panel, of which a path can have one only,
- unevenness by whole units, with `e[t]` for at least t of them:
  `e[t] >= first panel f taken - sum of last panels that differ from f by fewer than t`,
- a link: as in `highs`, with the first panels.

Without curbs and pipes that move only the first and the last panel need be binaries: between two
whole ends the cheapest path is whole by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

import oracle
from highs_moves import add_spacing
from highs_path import FIRST, LAST, ODD, Arcs, along, arcs_of, curb_places, states_in
from highs_rows import Rows
from highs_rules import Flags, Ints, allowed_moves, seams_meet
from oracle_odd_case import OddCase, read


class NotCoveredError(ValueError):
    """The model does not know a rule that the case uses."""


def bends(document: Mapping[str, Any]) -> bool:
    """Whether a case is for this model: odd panels, play, or a plane laid from a line."""
    rules = document.get("rules", {})
    lines = any(plane.get("lay") == "from" for plane in document["plane"])
    return bool(rules.get("odd_panels") or rules.get("play") or lines)


def _read(document: Mapping[str, Any]) -> OddCase:
    case = read(document)
    base = case.base
    narrowest = min(case.odd_widths, default=base.cover) if case.odd_panels else base.cover
    left_out = {
        "play": case.play > 0,
        "robust": base.robust,
        "freeze": bool(base.agreed_firsts or base.agreed_moves),
        "fittings": any(pen.bends is not None for pen in base.pens),
        "panels narrower than a seam's sides differ": narrowest <= abs(base.back - base.fwd),
    }
    for what, used in left_out.items():
        if used:
            raise NotCoveredError(what)
    return case


def optimum_cents(document: Mapping[str, Any], *, time_limit: float | None = None) -> int | None:
    """The least total of any allowed layout in cents; None where no layout is allowed.

    Raises:
        NotSolvedError: HiGHS stopped before it had a proof.
        NotCoveredError: a rule of the case is not in the model.
    """
    case = _read(document)
    base = case.base
    paths = [arcs_of(case, plane) for plane in range(len(base.planes))]
    if any(not (arcs.kind == FIRST).any() for arcs in paths):
        return None
    tied = any(not pen.pipe or allowed_moves(base, pen) for pen in base.pens)
    model = Rows()
    panels: list[Ints] = []
    for plane, arcs in enumerate(paths):
        costs, barred = _charges(case, plane, arcs)
        whole = (arcs.kind == FIRST) | (arcs.kind == LAST) | tied
        panels.append(model.columns(costs, whole=whole, barred=barred))
        model.one_of(panels[-1][arcs.kind == FIRST])
        model.balance(arcs.nodes, panels[-1], arcs.tail, arcs.head)
        if base.cents["uneven"] and arcs.nodes:
            _unevenness(model, case, arcs, panels[-1])
    moves: dict[int, dict[int, int]] = {}
    for i, pen in enumerate(base.pens):
        moves[i] = {}
        if not pen.pipe:
            _curb(model, case, paths[pen.plane], panels[pen.plane], pen)
        elif options := allowed_moves(base, pen):
            moves[i] = _movable(model, case, paths[pen.plane], panels[pen.plane], pen, options)
    add_spacing(model, base, moves)
    for link in base.links:
        _link(model, case, link, paths, panels)
    return model.least(time_limit)


def _prices(case: OddCase, pen: oracle.Pen) -> tuple[Ints, Flags]:
    """Cents of each state of a pipe, and whether it is forbidden."""
    cents = [0, *(case.base.cents[name] for name in ("tight", "crosses", "on_seam"))]
    barred = [name in pen.forbid for name in ("clear", "tight", "crosses", "on-seam")]
    return np.array(cents, dtype=np.int64), np.array(barred)


def _charges(case: OddCase, plane: int, arcs: Arcs) -> tuple[Ints, Flags]:
    """Cents of every panel and what stands in it for good, and which panels are not allowed."""
    base = case.base
    costs = np.where(arcs.kind == ODD, base.cents["odd_panel"], 0).astype(np.int64)
    barred = np.zeros(len(costs), dtype=bool)
    for i in base.on(plane):
        pen = base.pens[i]
        if not pen.pipe:
            cut, _ = curb_places(case, plane, pen, arcs.far)
            costs += np.where(cut & (arcs.far < arcs.width), base.cents["seam_cut"], 0)
        elif not allowed_moves(base, pen):
            here, states = states_in(case, arcs, pen, 0)
            cents, forbidden = _prices(case, pen)
            costs[here] += cents[states]
            barred[here] |= forbidden[states]
    return costs, barred


def _unevenness(model: Rows, case: OddCase, arcs: Arcs, panels: Ints) -> None:
    """Ends that differ: see the head of this file."""
    base = case.base
    ends = np.flatnonzero(arcs.kind == LAST)
    lasts = arcs.width - arcs.near[ends]
    starts = np.flatnonzero(arcs.kind == FIRST)
    beyond = np.abs(arcs.far[starts][:, None] - lasts) - base.lengths["uneven_free"]
    units = np.maximum(beyond, 0) // base.lengths["uneven_unit"]
    for least in range(1, int(units.max(initial=0)) + 1):
        pays = model.column(base.cents["uneven"], whole=False)
        for start, row in zip(panels[starts], units, strict=True):
            if (row >= least).any():
                model.at_most([start], [*panels[ends[row < least]], pays])


def _movable(
    model: Rows, case: OddCase, arcs: Arcs, panels: Ints, pen: oracle.Pen, options: list[int]
) -> dict[int, int]:
    """The columns of a pipe's moves, with what ties them to the panels."""
    cents, forbidden = _prices(case, pen)
    moves = {0: model.column(0, whole=True)}
    for move in options:
        moves[move] = model.column(case.base.cents["move_" + pen.status], whole=True)
        here, states = states_in(case, arcs, pen, move)
        model.at_most([moves[move]], panels[here[states == 0]])
    model.one_of(list(moves.values()))
    here, states = states_in(case, arcs, pen, 0)
    if forbidden[states].any():
        model.at_most([moves[0], *panels[here[forbidden[states]]]], limit=1)
    gone = [column for move, column in moves.items() if move]
    for state in range(1, 4):
        if cents[state] and (states == state).any():
            pays = model.column(int(cents[state]), whole=False)
            model.at_most(panels[here[states == state]], [*gone, pays])
    return moves


def _curb(model: Rows, case: OddCase, arcs: Arcs, panels: Ints, pen: oracle.Pen) -> None:
    """Whether seams crowd a curb, what that costs, and the states it may not be in."""
    inner = arcs.far < arcs.width
    cut, crowds = curb_places(case, pen.plane, pen, arcs.far)
    cut, crowds = cut & inner, crowds & inner
    crowded = model.column(case.base.cents["crowded"], whole="spans" in pen.forbid)
    if "crowded" in pen.forbid:
        model.upper[crowded] = 0.0
    u = along(case, pen.plane, pen.x)
    narrowest = min((case.base.cover, *(case.odd_widths if case.odd_panels else ())))
    for side in (arcs.far < u, arcs.far >= u):
        seams = np.unique(arcs.far[crowds & side])
        while len(seams):
            group = seams[seams < seams[0] + narrowest]
            in_group = crowds & (arcs.far >= group[0]) & (arcs.far <= group[-1])
            model.at_most(panels[in_group], [crowded])
            seams = seams[len(group):]
    if "spans" in pen.forbid:
        # It may be cut only where it is crowded as well, and is so only by a seam.
        model.at_most([crowded], panels[crowds])
        for at in np.unique(arcs.far[cut]):
            model.at_most(panels[cut & (arcs.far == at)], [crowded])


def _link(
    model: Rows, case: OddCase, link: oracle.Link, paths: list[Arcs], panels: list[Ints]
) -> None:
    """Linked planes: each first panel of the one needs one of the other that meets it."""
    base = case.base
    seams: list[Ints] = []
    columns: list[Ints] = []
    for plane in (link.one, link.two):
        here, line, arcs = case.plane(plane), case.lines[plane], paths[plane]
        if not arcs.nodes:
            return  # a plane without a seam meets anything
        first = arcs.kind == FIRST
        far = arcs.far[first]
        if line is None:
            seams.append(far if here.rightward else here.width - far)
            columns.append(panels[plane][first])
        else:
            seams.append(np.array([line], dtype=np.int64))
            columns.append(np.array([model.column(0, whole=False)], dtype=np.int64))
            model.one_of(columns[-1])
    table = seams_meet(base, link, seams[0], seams[1])
    miss = [] if link.must else [model.column(base.cents["misaligned"], whole=False)]
    for k, column in enumerate(columns[0]):
        model.at_most([column], [*columns[1][table[k]], *miss])
