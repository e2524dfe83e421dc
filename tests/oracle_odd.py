"""A second opinion on odd panels, play and planes laid from a line: naive enumeration again.

It shares no code with the program. `solve` tries every way to lay every plane (oracle_odd_laying)
with every allowed combination of moves (oracle_odd_best), prices what is listed from scratch
(oracle_odd_price) and lists what the rules list; `check` prices one given layout and says each rule
it breaks. What has nothing to do with where seams stand is `oracle`'s. One cover only. Lengths are
half ticks inside and ticks outside; `strays2`, and some of `order`, half ticks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations, product
from math import floor
from typing import Any

import oracle
from oracle_faults import NO_FAULTS
from oracle_odd_best import Candidate, Stands, candidates
from oracle_odd_case import OddCase, read
from oracle_odd_laying import Laying, Placed, laying_faults, layings, place
from oracle_odd_price import met, price, seams_beside, stand

# ---------------------------------------------------------------------------- beside the list


def windows(
    case: OddCase, taken: Sequence[Laying], moves: Sequence[int]
) -> list[tuple[int, int]]:  # fmt: skip
    """For each plane the run of first widths that keep the laying legal and every state, in ticks.

    Odd panels keep number and width, stretches their change of module.
    """
    base, found = case.base, []
    idle = {"odd-place"} if "window-odd-falls-off" in case.faults else set()
    idle |= {"change-place"} if "window-idle-change" in case.faults else set()
    for plane, laying in enumerate(taken):

        def at(first: int, laying: Laying = laying) -> Laying:
            if "window-plain" in case.faults and first != laying.first:
                return Laying(first)
            return Laying(first, laying.odds, laying.changes)

        def states(first: int, plane: int = plane, at: Any = at) -> list[str]:
            seams = seams_beside(case, plane, at(first))
            pens = [(base.pens[i], moves[i]) for i in base.on(plane)]
            return [stand(case, pen, seams, pen.x + move).state for pen, move in pens]

        low = high = laying.first
        if case.lines[plane] is None and not case.seamless(plane):
            kept = states(laying.first)
            widths = oracle.whole_marks(base)

            def keeps(
                first: int, plane: int = plane, at: Any = at, states: Any = states,
                kept: list[str] = kept,
            ) -> bool:  # fmt: skip
                broken = set(laying_faults(case, plane, at(first)))
                return not broken - idle and states(first) == kept

            mark = base.lengths["mark"]
            for first in [width for width in widths if width > laying.first]:
                if first - high > mark or not keeps(first):
                    break
                high = first
            for first in [width for width in reversed(widths) if width < laying.first]:
                if low - first > mark or not keeps(first):
                    break
                low = first
        found.append((oracle.ticks(low), oracle.ticks(high)))
    return found


def usual_laying(case: OddCase, plane: int) -> Laying | None:
    """The usual way to lay a plane, or None where no plain one is legal."""
    plain = list(layings(case, plane, plain=True))
    if not plain or case.lines[plane] is not None:
        return plain[0] if plain else None
    return Laying(oracle.usual_first(case.base, case.plane(plane)))


def blind_start(case: OddCase, stands: Stands) -> dict[str, Any]:
    """Each plane starts anywhere legal, nothing moved, nothing odd, links and forbids left out."""
    base = case.base
    mean, worst, starts = Fraction(0), 0, {}
    for number, plane in enumerate(base.planes):
        costs = []
        for laying in layings(case, number, plain="blind-uses-odd" not in case.faults):
            seams, placed = seams_beside(case, number, laying), place(case, number, laying)
            uneven = oracle.uneven_by(base, placed.first, placed.last)
            costs.append(uneven * base.cents["uneven"] + sum(
                oracle.pen_cost(base, base.pens[i], stands(i, seams, base.pens[i].x))
                for i in base.on(number)
            ))  # fmt: skip
        mean += Fraction(sum(costs), len(costs))
        worst += max(costs)
        starts[plane.id] = len(costs)
    return {"mean": floor(mean + Fraction(1, 2)), "worst": worst, "starts": starts}


def breaches(
    case: OddCase, taken: Sequence[Laying], moves: Sequence[int]
) -> list[tuple[str, tuple[str, ...]]]:
    """Every rule that a layout breaks, each with the ids it is about."""
    base = case.base
    broken: list[tuple[str, tuple[str, ...]]] = []
    placed: list[Placed] = []
    for number, laying in enumerate(taken):
        about = (case.plane(number).id,)
        broken += [(rule, about) for rule in laying_faults(case, number, laying)]
        if base.agreed_firsts.get(number, laying.first) != laying.first:
            broken.append(("agreed-first", about))
        placed.append(place(case, number, laying))
    for number, (pen, move) in enumerate(zip(base.pens, moves, strict=True)):
        how = stand(case, pen, placed[pen.plane].seams, pen.x + move)
        if base.agreed_moves.get(number, move) != move:
            broken.append(("agreed-move", (pen.id,)))
        if move:
            rules = oracle.move_faults(base, pen, move)
            rules += oracle.place_faults(base, pen, pen.x + move)
            broken += [(rule, (pen.id,)) for rule in rules]
            if how.state != "clear":
                broken.append(("not-clear", (pen.id,)))
        if how.state in pen.forbid:
            broken.append(("forbid", (pen.id,)))
    for (a, a_move), (b, b_move) in combinations(zip(base.pens, moves, strict=True), 2):
        if a.plane == b.plane and not oracle.pair_ok(base, a, a_move, b, b_move):
            broken.append(("spacing", (a.id, b.id)))
    starts = [on.laid_first for on in placed]
    for link in base.links:
        if link.must and not met(case, link, starts[link.one], starts[link.two]):
            broken.append(("must", (case.plane(link.one).id, case.plane(link.two).id)))
    return broken


def check(
    document: Mapping[str, Any],
    firsts: Mapping[str, int],
    moves: Mapping[str, int],
    odds: Mapping[str, Mapping[int, int]] | None = None,
    changes: Mapping[str, Mapping[int, int]] | None = None,
    faults: frozenset[str] = NO_FAULTS,
) -> dict[str, Any]:
    """Price one given layout (ticks) and say in `breaks` each rule it breaks, with the ids.

    By plane id: first widths, odd panels (number: width), changes of module (stretch: change); by
    penetration id: moves. A plane not named takes its usual first width; what is given for a plane
    laid from a line does not count. Rules beside those of `oracle.check`: odd-count, odd-place,
    odd-width, change-size, change-place.
    """
    case = read(document, faults)
    taken = []
    for number, plane in enumerate(case.base.planes):
        odd = tuple(sorted((n, 2 * w) for n, w in (odds or {}).get(plane.id, {}).items()))
        given = (changes or {}).get(plane.id, {}).items()
        altered = tuple(sorted((s, 2 * c) for s, c in given if c))
        if case.lines[number] is not None:
            first = place(case, number, Laying(0, odd, altered)).first
        elif plane.id in firsts:
            first = 2 * firsts[plane.id]
        else:
            usual = usual_laying(case, number)
            if usual is None:
                raise ValueError(f"plane {plane.id} has no usual first width")
            first = usual.first
        taken.append(Laying(first, odd, altered))
    moved = [2 * moves.get(pen.id, 0) for pen in case.base.pens]
    return price(case, taken, moved) | {"breaks": breaches(case, taken, moved)}


def earn_places(found: Sequence[Candidate], top: int | None) -> list[Candidate]:
    """Of candidates in order those that the rule of the list lists."""
    listed: list[Candidate] = []
    for candidate in found:
        counts = [other[0][1:10] for other in listed]
        if len(listed) != top and oracle.earns_place(candidate[0][1:10], counts):
            listed.append(candidate)
    return listed


def listed_layout(case: OddCase, candidate: Candidate) -> dict[str, Any]:
    """A candidate as it is listed: priced from scratch, with its windows."""
    key, taken, moves = candidate
    layout = price(case, taken, moves)
    if not case.faults:  # the sums of the planes are the layout priced from scratch
        assert layout["order"] == key
        assert not breaches(case, taken, moves)
    return layout | {"windows": windows(case, taken, moves)}


def baselines(case: OddCase, stands: Stands) -> dict[str, Any]:
    """What stands beside the list."""
    drawn = candidates(case, False, stands)
    usual = [usual_laying(case, p) for p in range(len(case.base.planes))]
    plain = [laying for laying in usual if laying is not None]
    still = [0] * len(case.base.pens)
    told = None
    if len(plain) == len(usual):
        told = price(case, plain, still)
        broken = breaches(case, plain, still)
        told["breaks"] = {
            "must": [
                n for n, link in enumerate(case.base.links) if link.must and not told["links"][n]
            ],
            "forbid": [ids[0] for rule, ids in broken if rule == "forbid"],
            "agreed": [ids[0] for rule, ids in broken if rule.startswith("agreed-")],
        }
    return {
        "usual": told,
        "as_drawn": price(case, drawn[0][1], drawn[0][2]) if drawn else None,
        "blind": blind_start(case, stands) if told is not None else None,
    }


def without_start(case: OddCase) -> list[tuple[str, int | None]]:
    """Planes that cannot be laid at all, each with the largest whole-mark min_end (ticks).

    None where odd panels, play or a line make that another question.
    """
    plain = not case.odd_panels and not case.play
    found: list[tuple[str, int | None]] = []
    for number, plane in enumerate(case.base.planes):
        if next(layings(case, number), None) is not None:
            continue
        would_do = None
        if plain and case.lines[number] is None:
            would_do = oracle.ticks(oracle.largest_min_end(case.base, plane))
        found.append((plane.id, would_do))
    return found


def solve(
    document: Mapping[str, Any], top: int | None = None, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:
    """The whole answer for a small case: `layouts`, `usual`, `as_drawn`, `blind`, `no_start`.

    As of `oracle.solve`, with `planes`, `strays2`, `seams_beside` and the whole `order` in every
    layout and a `play` in its cost. `usual` and `blind` are None where a plane can only be laid
    with something odd or altered.
    """
    case = read(document, faults)
    no_start = without_start(case)
    if no_start:
        return {
            "layouts": [], "usual": None, "as_drawn": None, "blind": None, "no_start": no_start
        }  # fmt: skip
    stands = Stands(case)
    listed = earn_places(candidates(case, True, stands), top)
    layouts = [listed_layout(case, candidate) for candidate in listed]
    return {"layouts": layouts, **baselines(case, stands), "no_start": []}


def every_laying(case: OddCase, plane: int, limit: int) -> list[Laying] | None:
    """Every legal way to lay a plane: all that can be written down, less what breaks a rule.

    None where more than `limit` can be written down.
    """
    base, line = case.base, case.lines[plane]
    narrowest = min((*case.odd_widths, base.cover - case.play))
    most = case.plane(plane).width // narrowest + 2  # panels
    ways = [1, -1] if line is not None else [1]
    numbers = [way * n for way in ways for n in range(1, most)]
    odds = [
        tuple(sorted(zip(panels, widths, strict=True)))
        for count in range(case.odd_panels + 1)
        for panels in combinations(numbers, count)
        for widths in product(case.odd_widths, repeat=count)
    ]
    stretches = [way * s for way in ways for s in range(1, most // base.remeasure + 2)]
    firsts = oracle.whole_marks(base)
    if len(odds) * len(case.changes) ** len(stretches) * len(firsts) > limit:
        return None
    changes = [
        tuple(sorted((s, c) for s, c in zip(stretches, sizes, strict=True) if c))
        for sizes in product(case.changes, repeat=len(stretches))
    ]
    found = []
    for odd, altered in product(odds, changes):
        if line is not None or case.seamless(plane):
            firsts = [place(case, plane, Laying(0, odd, altered)).first]
        layings_here = [Laying(first, odd, altered) for first in firsts]
        found += [lay for lay in layings_here if not laying_faults(case, plane, lay)]
    return found
