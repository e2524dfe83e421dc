"""Small random cases with odd panels, play and lines, and every layout of them, by brute force.

Panels are laid one by one here, and the checker prices what comes out; the model is not asked.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice, product
from math import prod

from builders import inches, make_case, make_curb, make_link, make_pipe, make_plane, make_rates

from solver.case import Case, Plane
from solver.checker.judge import judge
from solver.layout import Change, Layout, Odd
from solver.result import Judged

Way = tuple[int, tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]
"""First width, odd panels as (number, width), changes as (stretch, ticks)."""


def all_layouts(case: Case) -> Iterator[Judged]:
    """Every layout that the checker finds nothing wrong with."""
    ways = [list(_ways(case, plane)) for plane in case.planes]
    moves = [_moves(case, i) for i in range(len(case.penetrations))]
    for chosen in product(*ways):
        odds = tuple(Odd(i, *odd) for i, way in enumerate(chosen) for odd in way[1])
        changes = tuple(Change(i, *one) for i, way in enumerate(chosen) for one in way[2])
        for moved in product(*moves):
            firsts = tuple(way[0] for way in chosen)
            judged = judge(case, Layout(firsts, moved, odds, changes))
            if not judged.breaks:
                yield judged


def ranked(case: Case, top: int) -> list[Judged]:
    """The list by its definition: the best of each choice, then each with a smaller count."""
    best: dict[object, Judged] = {}
    for judged in all_layouts(case):
        own = judged.layout
        key = (own.firsts, own.odds, own.changes)
        if key not in best or judged.order < best[key].order:
            best[key] = judged
    found: list[Judged] = []
    for judged in sorted(best.values(), key=lambda each: each.order):
        if all(
            any(a < b for a, b in zip(judged.counts, other.counts, strict=True)) for other in found
        ):
            found.append(judged)
    return found[:top]


def _ways(case: Case, plane: Plane) -> Iterator[Way]:
    cover, least = case.panel.cover, case.rules.min_end
    if plane.width <= cover:
        yield plane.width, (), ()
    elif plane.start is not None:
        most = case.rules.odd_panels
        for low in _fill(case, plane.start, 1, 1, most):
            for high in _fill(case, plane.width - plane.start, 1, 1, most):
                odds = [*((-n, w) for n, w in low[0]), *high[0]]
                changes = [*((-s, c) for s, c in low[1]), *high[1]]
                if len(odds) <= case.rules.odd_panels:
                    yield low[2], tuple(sorted(odds)), tuple(sorted(changes))
    else:
        marks = {*range(case.mark, cover + 1, case.mark), cover}
        for first in sorted(marks):
            if first >= least:
                rest = _fill(case, plane.width - first, 2, 2, case.rules.odd_panels)
                for odds, changes, _ in rest:
                    yield first, odds, changes


def _fill(
    case: Case, length: int, number: int, begin: int, spare: int,
    changes: dict[int, int] | None = None,
) -> Iterator[tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...], int]]:
    """Ways to lay panels from `number` on over a length: odd ones, changes, the last width.

    `spare` is how many may still be odd; `changes` are those of the stretches laid so far that have
    a full panel, 0 among them.
    """
    rules, cover = case.rules, case.panel.cover
    told = changes or {}
    stretch = (number - begin) // rules.remeasure + 1
    if rules.min_end <= length <= cover:
        yield (), tuple(sorted(one for one in told.items() if one[1])), length
    widths = rules.odd_widths or [
        w for w in range(case.mark, cover, case.mark) if rules.odd_min <= w <= cover - case.mark
    ]
    for width in widths if spare else ():
        if width < length:
            rest = _fill(case, length - width, number + 1, begin, spare - 1, told)
            for odds, all_changes, last in rest:
                yield ((number, width), *odds), all_changes, last
    if length <= cover:
        return
    most = rules.play // rules.play_mark if rules.play else 0
    own = [n * rules.play_mark for n in range(-most, most + 1)]
    for change in [told[stretch]] if stretch in told else own:
        if length > cover + change:
            left = length - cover - change
            yield from _fill(case, left, number + 1, begin, spare, {**told, stretch: change})


def _moves(case: Case, i: int) -> list[int]:
    pen = case.penetrations[i]
    if pen.kind == "curb" or pen.status == "fixed":
        return [0]
    width = next(plane.width for plane in case.planes if plane.id == pen.plane)
    low, high = -(pen.reach_low // case.step), pen.reach_high // case.step
    steps = [n * case.step for n in range(low, high + 1)]
    return [step for step in steps if 0 <= pen.x + step <= width]


def random_small(seed: int) -> Case:
    """A case small enough for brute force, on a coarse lattice so that ties are common."""
    rnd = random.Random(seed)
    mark = inches(rnd.choice([3, 3, 2]))
    play = rnd.choice([0, 0, 0, 1, 2])
    odd = rnd.choice([0, 1, 1, 2]) if play else rnd.choice([1, 1, 2, 2, 3])
    count = 1 if rnd.random() < 0.8 else 2
    planes, pens = [], []
    for p in range(count):
        width = inches(rnd.choice([37, 41, 54, 60, 72, 73, 90]) if count == 1 and not play
                       else rnd.choice([16, 37, 41, 54]))
        lay = rnd.choice(["left-to-right", "right-to-left", "from"])
        start = inches(rnd.randrange(4, width // inches(1) - 3)) if lay == "from" else None
        name = "SN"[p]
        planes.append(replace(
            make_plane(name, width=width, start=start), lay=lay  # type: ignore[arg-type]
        ))
        for k in range(rnd.choice([1, 2, 3]) if count == 1 else 1):
            x = inches(rnd.randrange(3, width // inches(1) - 2))
            if rnd.random() < 0.3:
                pens.append(make_curb(x, f"{name}{k}", plane=name, y=inches(50 * k + 50),
                                      across=inches(rnd.choice([8, 11, 22]))))
            else:
                moves = rnd.random() < 0.25 and not (play and odd)
                pens.append(make_pipe(
                    x, f"{name}{k}", plane=name, y=inches(50 * k + 50),
                    status=rnd.choice(["planned", "stubbed"]) if moves else "fixed",
                    outside=inches(rnd.choice([2, 3])), base=inches(rnd.choice([6, 8, 9])),
                    reach=inches(4) if moves else 0, min_offset=inches(2),
                    forbid=rnd.choice([(), (), (), ("on-seam",), ("tight",)]),
                ))
    rates = make_rates(
        tight=(rnd.choice(["0.5", "3", "0"]), "0"), crosses=("2", "35"), on_seam=("5", "150"),
        seam_cut=("1.5", "40"), crowded=(rnd.choice(["2", "0"]), "60"), move_planned=("0.5", "0"),
        move_stubbed=("1.5", "45"), odd_panel=(rnd.choice(["1.5", "0", "0.5"]), "0"),
        play=(rnd.choice(["0.25", "0"]), "0"), uneven=("0.25", "0"), misaligned=("1", "0"),
    )  # fmt: skip
    back, fwd = rnd.choice([("1/2", "1/2"), ("1/2", "1"), ("2", "1/2")])
    links = ()
    if count == 2:
        links = (make_link(mirror=rnd.random() < 0.5, stagger=rnd.random() < 0.3,
                           offset=inches(rnd.choice([0, 2])), must=rnd.random() < 0.2),)
    widths = () if rnd.random() < 0.6 else (inches(9), inches(14))
    case = make_case(
        *pens, planes=tuple(planes), links=links, mark=mark, step=inches(2), rates=rates,
        seam_back=inches(back), seam_fwd=inches(fwd), edge_gap=inches(2), spacing=inches(4),
        min_end=inches(rnd.choice([1, 3, 6])), end_lap=inches(rnd.choice([1, 4])),
        meet_tol=inches(1), odd_panels=odd, odd_min=inches(rnd.choice([6, 9, 12])),
        odd_widths=widths, play=inches(play), play_mark=inches(1),
        remeasure=rnd.choice([1, 2, 4]),
    )  # fmt: skip
    if rnd.random() < 0.3:
        case = replace(case, rules=replace(
            case.rules, robust=True, cover_tol=inches(rnd.choice(["1/4", "1", "5"])),
            width_tol=inches(rnd.choice([0, "1/2"])),
        ))
        case = replace(case, penetrations=tuple(
            replace(pen, x_tol=inches(rnd.choice([0, "1/4"]))) for pen in case.penetrations))
    return case


def at_most(case: Case, most: int) -> bool:
    """Whether there are no more layouts than that, legal or not."""
    count = prod(len(_moves(case, i)) for i in range(len(case.penetrations)))
    for plane in case.planes:
        count *= sum(1 for _ in islice(_ways(case, plane), most + 1))
    return count <= most
