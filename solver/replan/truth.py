"""What the roof is worth as it stands with a way chosen, by the independent checker.

The checker lays each plane as it really is: a panel that is not as wide as the cover, laid or to be
laid, is handed to it as one of odd width. What that would count and cost beyond the truth is put
right here, and every penetration is judged by the seams at its own height.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.case import Case
from solver.checker.counts import cost_of
from solver.checker.judge import judge
from solver.checker.leaning import roof_at
from solver.checker.order import order_of
from solver.checker.outlines import ends_beside
from solver.checker.stands import judge_penetration
from solver.checker.stands_grid import grid_of
from solver.layout import Change, Layout, Odd
from solver.replan.row import Row
from solver.replan.stood import Stood
from solver.replan.ways import Way
from solver.result import COUNT_NAMES, Breach, Judged, JudgedPenetration
from solver.tabling.tables import DIST

_OF_STATES = ("forbidden", "not-clear", "must-land")
_BY_X = ("cannot-move", "whole-steps", "beyond-reach", "below-offset", "no-fitting", "near-edge",
         "in-keepout", "near-pair", "frozen")


@dataclass(frozen=True)
class Truth:
    """`judged` with true counts, cost and order; `moves` of the pipes that can still move, case
    order; `breaks` are the rules that the choices for the rest break, states and moves."""

    judged: Judged
    moves: tuple[int, ...]
    breaks: tuple[Breach, ...]

    @property
    def key(self) -> tuple[int, ...]:
        """The tie order down to the distance moved."""
        return self.judged.order[: DIST + 1]


def truth_of(
    case: Case, stood: Stood, plan: Layout, rows: list[tuple[Row, Way]], moves: dict[int, int]
) -> Truth:
    """Judge the whole roof: planes under way as they stand with their way, the others as planned.

    `rows` has one entry for each plane under way; `moves` those of penetrations not to stay (index,
    ticks).
    """
    own = {row.front.plane: (row, way) for row, way in rows}
    firsts: list[int] = []
    odds: list[Odd] = []
    real_odds: list[Odd] = []
    changes: list[Change] = []
    for i, _ in enumerate(case.planes):
        if i in own:
            row, way = own[i]
            first, panels = row.layout(way)
            firsts.append(first)
            odds += panels
            real_odds += _true_odds(row, way, plan)
            changes += _true_changes(row, way, plan)
        else:
            firsts.append(plan.firsts[i])
            mine = [odd for odd in plan.odds if odd.plane == i]
            odds, real_odds = [*odds, *mine], [*real_odds, *mine]
            changes += [one for one in plan.changes if one.plane == i]
    as_laid = [one for one in changes if one.plane not in own]
    still = tuple(moves.get(i, 0) for i in range(len(case.penetrations)))
    at_eave = judge(stood.case, Layout(tuple(firsts), still, tuple(sorted(odds)),
                                       tuple(sorted(as_laid))))
    pens = _at_own_heights(stood.case, at_eave, own, still)
    counts = _counts(at_eave, pens, len(real_odds), len(stood.made))
    layout = Layout(tuple(firsts), still, tuple(sorted(real_odds)), tuple(sorted(changes)))
    cost = cost_of(stood.case, layout, counts, pens)
    made = sum(
        case.rates.cents("move_stubbed" if case.penetrations[i].status == "stubbed"
                         else "move_planned") for i in stood.made
    )
    judged = replace(
        at_eave, layout=layout, penetrations=pens, counts=counts,
        cost=replace(cost, moves=cost.moves + made),
    )
    order = list(order_of(stood.case, judged))
    order[DIST] += sum(abs(plan.moves[i]) for i in stood.made)
    breaks = tuple(_breaks(at_eave, judged, stood, own))
    return Truth(replace(judged, order=tuple(order), breaks=breaks), still, breaks)


def _true_odds(row: Row, way: Way, plan: Layout) -> list[Odd]:
    front = row.front
    found = [Odd(front.plane, front.sign * n, w) for n, w in front.odds]
    found += [Odd(front.plane, front.sign * (front.seam + n), w) for n, w in way.odds]
    if row.plane.lay == "from":
        if row.other_front is not None and row.other_way is not None:
            other, its = row.other_front, row.other_way
            found += [Odd(other.plane, other.sign * n, w) for n, w in other.odds]
            found += [Odd(other.plane, other.sign * (other.seam + n), w) for n, w in its.odds]
        else:
            found += [o for o in plan.odds
                      if o.plane == front.plane and o.panel * front.sign < 0]
    return found


def _true_changes(row: Row, way: Way, plan: Layout) -> list[Change]:
    """As many changes as there are altered stretches, laid and to be laid; their numbers do not
    matter for what they cost."""
    front = row.front
    count = front.altered + way.altered
    if row.plane.lay == "from":
        if row.other_front is not None and row.other_way is not None:
            count += row.other_front.altered + row.other_way.altered
        else:
            count += sum(
                1 for one in plan.changes
                if one.plane == front.plane and one.ticks and one.stretch * front.sign < 0
            )
    return [Change(front.plane, number + 1, 1) for number in range(count)]


def _at_own_heights(
    case: Case, judged: Judged, own: dict[int, tuple[Row, Way]], moves: tuple[int, ...]
) -> tuple[JudgedPenetration, ...]:
    planes = {plane.id: i for i, plane in enumerate(case.planes)}
    found = []
    for pen, stands, move in zip(case.penetrations, judged.penetrations, moves, strict=True):
        i = planes[pen.plane]
        if i in own and _leans(own[i][0]):
            row, way = own[i]
            ends = (ends_beside(row.plane, pen.x, pen.y) if row.plane.lean is None else
                    roof_at(row.plane, pen.y))
            grid = grid_of(case, row.plane, row.seams_x(way, pen.y))
            assert ends is not None
            stands = judge_penetration(case, pen, move, grid, ends)
        found.append(stands)
    return tuple(found)


def _leans(row: Row) -> bool:
    return row.front.slanted or (row.other_front is not None and row.other_front.slanted)


def _counts(
    judged: Judged, pens: tuple[JudgedPenetration, ...], odd: int, made: int
) -> tuple[int, ...]:
    states = [pen.state for pen in pens]
    of = dict(zip(COUNT_NAMES, judged.counts, strict=True))
    of |= {
        "on-seam": states.count("on-seam"),
        "seams_cut": sum(pen.seams_cut for pen in pens),
        "crosses": states.count("crosses"),
        "tight": states.count("tight"),
        "crowded": states.count("crowded"),
        "moved": sum(1 for pen in pens if pen.moved) + made,
        "unlanded": sum(pen.landed.count(False) for pen in pens if pen.landed),
        "odd_panels": odd,
    }
    return tuple(of[name] for name in COUNT_NAMES)


def _breaks(
    at_eave: Judged, judged: Judged, stood: Stood, own: dict[int, tuple[Row, Way]]
) -> list[Breach]:
    """What states, moves and centres ahead of a front break; panels are looked at where they are
    laid."""
    planned = {breach.about: breach for breach in at_eave.breaks if breach.code in _OF_STATES}
    found = [breach for breach in at_eave.breaks if breach.code in _BY_X]
    for row, _ in own.values():
        found += (
            Breach("must-centre", (row.plane.id,),
                   f"The {centre.what} of plane {row.plane.id} must have a {centre.on} on its "
                   "centre, and has none.")
            for centre in judged.centres
            if centre.must and not centre.hit and centre.plane == row.plane.id
            and row.distance(centre.at) > row.front.eave
        )
    for pen, stands in zip(stood.case.penetrations, judged.penetrations, strict=True):
        code = ""
        if stands.state in pen.forbid:
            code = "forbidden"
        elif stands.moved and stands.state != "clear":
            code = "not-clear"
        elif pen.must_land and stands.landed is not None and not all(stands.landed):
            code = "must-land"
        if code:
            same = planned.get((pen.id,))
            says = same.says if same is not None and same.code == code else (
                f"{pen.id} is {stands.state.replace('-', ' a ')}, which the case does not allow."
            )
            found.append(Breach(code, (pen.id,), says))
    return found
