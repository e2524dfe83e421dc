"""A second opinion on planes with outlines, centres, curbs as built and stock: brute force again.

It shares no code with the program, only the shapes of its data. `solve` tries every way to lay
every plane (oracle_outline_case; what is legal by pieces, oracle_outline_pieces) with every allowed
combination of moves (oracle_outline_best), prices what is listed from scratch
(oracle_outline_price) and lists what the rules list; `check` prices one given layout and says each
rule it breaks. One cover only, no fittings. Lengths are half ticks inside and ticks outside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import floor
from typing import Any

import oracle
from oracle_faults import NO_FAULTS
from oracle_odd_laying import Laying, laying_faults, place
from oracle_odd_price import link_seam, met
from oracle_outline_best import Candidate, candidates, place_faults
from oracle_outline_case import Roof, legal_layings, loose, outline_faults, read
from oracle_outline_price import (
    centres,
    off_centre,
    pen_cents,
    price,
    stand,
    stock_area,
    stock_units,
)
from solver.case import Case

Broken = list[tuple[str, tuple[str, ...]]]


def rules_broken(roof: Roof, plane: int, laying: Laying) -> list[str]:
    """Which rules the panels of a plane break."""
    broken = laying_faults(loose(roof, plane), plane, laying)
    if roof.shapes[plane] is not None:
        broken += [rule for rule in outline_faults(roof, plane, laying) if rule not in broken]
    return broken + [rule for rule in roof.lean_faults(plane, laying) if rule not in broken]


# ---------------------------------------------------------------------------- beside the list


def windows(roof: Roof, taken: Sequence[Laying], moves: Sequence[int]) -> list[tuple[int, int]]:
    """For each plane the run of first widths that keep it legal and every state, in ticks."""
    base, found = roof.base, []
    for plane, laying in enumerate(taken):

        def look(first: int, plane: int = plane, laying: Laying = laying) -> list[Any]:
            placed = place(roof.odd, plane, replace(laying, first=first))
            told: list[Any] = []
            for i in base.on(plane):
                how = stand(roof, i, placed.seams, base.pens[i].x + moves[i])
                told.append(how.state)
                told += [] if "window-landing" in roof.faults else [how.landed and sum(how.landed)]
            if "window-centres" in roof.faults:
                told += [one["hit"] for one in centres(roof, plane, placed)]
            return told

        ends = [laying.first, laying.first]
        if roof.odd.lines[plane] is None and not roof.odd.seamless(plane):
            kept = look(laying.first)
            widths = oracle.whole_marks(base)
            above = [width for width in widths if width > laying.first]
            below = [width for width in reversed(widths) if width < laying.first]
            for which, run in enumerate((below, above)):
                for first in run:
                    legal = not rules_broken(roof, plane, replace(laying, first=first))
                    if not legal and "window-over-gap" in roof.faults:
                        continue
                    if abs(first - ends[which]) > base.lengths["mark"] and legal:
                        legal = "window-over-gap" in roof.faults
                    if not legal or look(first) != kept:
                        break
                    ends[which] = first
        found.append((oracle.ticks(ends[0]), oracle.ticks(ends[1])))
    return found


def usual_laying(roof: Roof, plane: int) -> Laying | None:
    """The usual way to lay a plane, or None where no plain one is legal."""
    plain = legal_layings(roof, plane, plain=True)
    if not plain or roof.odd.lines[plane] is not None or roof.odd.seamless(plane):
        return plain[0] if plain else None
    base = roof.base
    rest = base.planes[plane].width % base.cover
    if rest == 0:
        ideal_twice = 2 * base.cover
    elif rest >= 2 * base.min_end or "usual-shares" in roof.faults:
        ideal_twice = rest
    else:
        ideal_twice = rest + base.cover
    wider = 1 if "usual-narrower" in roof.faults else -1
    return min(plain, key=lambda lay: (abs(2 * lay.first - ideal_twice), wider * lay.first))


def blind_start(roof: Roof) -> dict[str, Any]:
    """Each plane starts anywhere legal; nothing moved, nothing odd, nothing linked or forbidden."""
    base, faults = roof.base, roof.faults
    mean, worst, starts = Fraction(0), 0, {}
    for number, plane in enumerate(base.planes):
        costs = []
        for laying in legal_layings(roof, number, plain=True):
            placed = place(roof.odd, number, laying)
            cents = oracle.uneven_by(base, placed.first, placed.last) * base.cents["uneven"]
            for i in base.on(number):
                how = stand(roof, i, placed.seams, base.pens[i].x)
                cents += pen_cents(roof, i, how)
                if "blind-no-landing" in faults:
                    cents -= how.unlanded * base.cents["unlanded"]
            if "blind-no-centres" not in faults:
                cents += off_centre(roof, number, placed) * base.cents["off_centre"]
            if "blind-no-stock" not in faults:
                units = stock_units(roof, [stock_area(roof, number, placed)])
                cents += units * base.cents["area"]
            costs.append(cents)
        mean += Fraction(sum(costs), len(costs))
        worst += max(costs)
        starts[plane.id] = len(costs)
    return {"mean": floor(mean + Fraction(1, 2)), "worst": worst, "starts": starts}


def breaches(roof: Roof, taken: Sequence[Laying], moves: Sequence[int]) -> Broken:
    """Every rule that a layout breaks, each with the ids it is about."""
    base = roof.base
    broken: Broken = []
    placed = [place(roof.odd, number, laying) for number, laying in enumerate(taken)]
    for number, laying in enumerate(taken):
        about = (base.planes[number].id,)
        broken += [(rule, about) for rule in rules_broken(roof, number, laying)]
        if base.agreed_firsts.get(number, laying.first) != laying.first:
            broken.append(("agreed-first", about))
        missed = [one for one in centres(roof, number, placed[number]) if not one["hit"]]
        broken += [("must-centre", about) for one in missed if one["must"]]
    for number, (pen, move) in enumerate(zip(base.pens, moves, strict=True)):
        how = stand(roof, number, placed[pen.plane].seams, pen.x + move)
        if base.agreed_moves.get(number, move) != move:
            broken.append(("agreed-move", (pen.id,)))
        if move:
            rules = oracle.move_faults(base, pen, move) + place_faults(roof, number, pen.x + move)
            broken += [(rule, (pen.id,)) for rule in rules]
            if how.state != "clear":
                broken.append(("not-clear", (pen.id,)))
        if how.state in pen.forbid:
            broken.append(("forbid", (pen.id,)))
        if roof.pens[number].must_land and how.unlanded:
            broken.append(("must-land", (pen.id,)))
    for (a, a_move), (b, b_move) in combinations(zip(base.pens, moves, strict=True), 2):
        if a.plane == b.plane and not oracle.pair_ok(base, a, a_move, b, b_move):
            broken.append(("spacing", (a.id, b.id)))
    starts = [link_seam(roof.odd, number, on) for number, on in enumerate(placed)]
    for link in base.links:
        if link.must and not met(roof.odd, link, starts[link.one], starts[link.two]):
            broken.append(("must", (base.planes[link.one].id, base.planes[link.two].id)))
    return broken


def check(
    case: Case,
    firsts: Sequence[int],
    moves: Sequence[int],
    odds: Mapping[int, Mapping[int, int]] | None = None,
    faults: frozenset[str] = NO_FAULTS,
) -> dict[str, Any]:
    """Price one given layout (ticks) and say in `breaks` each rule it breaks, with the ids.

    First widths in plane order, moves in penetration order; odd panels (number: width) by index of
    the plane. On a plane laid from a line the first width given does not count. Rules beside those
    of `oracle.check` and `oracle_odd.check`: piece-narrow, piece-short, must-centre, must-land;
    on a plane with an outline a first or last panel under a mark breaks the end rule as well.
    """
    return check_roof(read(case, faults), firsts, moves, odds)


def check_roof(
    roof: Roof,
    firsts: Sequence[int],
    moves: Sequence[int],
    odds: Mapping[int, Mapping[int, int]] | None = None,
) -> dict[str, Any]:
    """The same of a case already read."""
    taken = []
    for number, first in enumerate(firsts):
        odd = tuple(sorted((n, 2 * w) for n, w in (odds or {}).get(number, {}).items()))
        laying = Laying(2 * first, odd)
        if roof.odd.lines[number] is not None:
            laying = replace(laying, first=place(roof.odd, number, laying).first)
        taken.append(laying)
    moved = [2 * move for move in moves]
    return price(roof, taken, moved) | {"breaks": breaches(roof, taken, moved)}


# ---------------------------------------------------------------------------- the whole answer


def would_help(roof: Roof, plane: int) -> dict[str, int | None]:
    """Of each of the three rules on pieces by itself: the largest value (ticks, rounded down) that
    leaves a plain way to lay a plane; None where none above 0 does."""
    found: dict[str, int | None] = {}
    shape = roof.shapes[plane]
    assert shape is not None
    every = legal_layings(
        replace(roof, min_piece=0, min_length=0, odd=_min_end(roof, 0)), plane, plain=True
    )
    rules = {"min_piece": "piece-narrow", "min_length": "piece-short", "min_end": "end-rule"}
    for name, rule in rules.items():
        best = -1
        for laying in every:
            if set(outline_faults(roof, plane, laying)) - {rule}:
                continue
            tops = [roof.base.cover]
            for _, low, high in place(roof.odd, plane, laying).panels:
                for part in shape.parts(low, high):
                    upright = [e for e in part.beside if e.upright and e.kind in ("rake", "wall")]
                    if name == "min_piece" or (name == "min_end" and upright):
                        tops.append(floor(part.width))
                    elif name == "min_length":
                        tops.append(floor(part.length))
            if name == "min_length" and len(tops) > 1:
                tops = tops[1:]
            best = max(best, min(tops))
        found[name] = best // 2 if best > 0 else None
    return found


def _min_end(roof: Roof, size: int) -> Any:
    return replace(roof.odd, base=replace(roof.base, min_end=size))


def earn_places(roof: Roof, found: Sequence[Candidate], top: int | None) -> list[Candidate]:
    """Of candidates in order those that the rule of the list lists."""
    kept = slice(1, 13)
    listed: list[Candidate] = []

    def counts(candidate: Candidate) -> tuple[int, ...]:
        own = candidate[0][kept]
        return own[:7] + own[9:11] if "counts-of-nine" in roof.faults else own

    for candidate in found:
        others = [counts(other) for other in listed]
        if len(listed) != top and oracle.earns_place(counts(candidate), others):
            listed.append(candidate)
    return listed


def solve(
    case: Case, top: int | None = None, faults: frozenset[str] = NO_FAULTS
) -> dict[str, Any]:  # fmt: skip
    """The whole answer for a small case: `layouts`, `usual`, `as_drawn`, `blind`, `no_start`.

    Layouts as of `price`, those of the list with `windows`, the usual one with `breaks`.
    `no_start`: ids of planes that cannot be laid; then there is nothing else. `usual` and `blind`
    are None where a plane can only be laid with something odd or altered.
    """
    return solve_roof(read(case, faults), top)


def solve_roof(roof: Roof, top: int | None = None) -> dict[str, Any]:
    """The same of a case already read."""
    base = roof.base
    planes = range(len(base.planes))
    nothing = {"layouts": [], "usual": None, "as_drawn": None, "blind": None}
    no_start = [base.planes[p].id for p in planes if not legal_layings(roof, p)]
    if no_start:
        return {**nothing, "no_start": no_start}
    layouts = []
    for key, taken, moves in earn_places(roof, candidates(roof, True), top):
        layout = price(roof, taken, moves)
        if not roof.faults:  # the sums of the planes are the layout priced from scratch
            assert layout["order"] == key, (layout["order"], key)
            assert not breaches(roof, taken, moves)
        layouts.append(layout | {"windows": windows(roof, taken, moves)})
    drawn = candidates(roof, False)
    usual = [usual_laying(roof, p) for p in planes]
    plain = [laying for laying in usual if laying is not None]
    still = [0] * len(base.pens)
    told = None
    if len(plain) == len(usual):
        told = price(roof, plain, still) | {"breaks": breaches(roof, plain, still)}
    return {
        "layouts": layouts,
        "usual": told,
        "as_drawn": price(roof, drawn[0][1], drawn[0][2]) if drawn else None,
        "blind": blind_start(roof) if told is not None else None,
        "no_start": [],
    }
