"""The checker against the rules read literally, seam by seam, on shifted seams of every kind.

Odd panels, changed modules and planes laid both ways, in numbers so small that every limit is hit
exactly many times over.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from solver.case import Case, Penetration
from solver.checker.judge import judge
from solver.errors import ChoiceError
from solver.layout import Change, Layout, Odd
from solver.result import Judged
from tests.unit.builders import make_case, make_curb, make_link, make_pipe, make_plane

WIDTH = 80
# x, what a seam takes on its low and on its high side, how far it may have crept
Seam = tuple[int, int, int, int]


def literal_seams(case: Case, layout: Layout) -> list[Seam]:
    """Where the crew sets seam after seam, in the order of laying."""
    plane, rules, panel = case.planes[0], case.rules, case.panel
    odds = {odd.panel: odd.width for odd in layout.odds}
    changes = {change.stretch: change.ticks for change in layout.changes}
    found: list[Seam] = []

    def run(at: int, room: int, way: int, number: int, sign: int, off: int) -> None:
        """`way`: +1 where x grows as laying goes on; panels `number`, … with their `sign`."""
        back_low = (panel.seam_back, panel.seam_fwd)
        low, high = back_low if way > 0 else back_low[::-1]
        laid = 0
        while True:
            stretch = sign * (laid // rules.remeasure + 1)
            odd = odds.get(sign * number)
            if odd is None and room <= panel.cover:
                return
            wide = odd if odd is not None else panel.cover + changes.get(stretch, 0)
            if wide >= room:
                return
            at, room, number = at + way * wide, room - wide, number + 1
            found.append((at, low, high, off + (laid % rules.remeasure + 1) * rules.cover_tol))
            laid += 1

    if plane.start is not None:
        most = max(panel.seam_back, panel.seam_fwd)
        found.append((plane.start, most, most, 0))
        run(plane.start, WIDTH - plane.start, 1, 1, 1, 0)
        run(plane.start, plane.start, -1, 1, -1, 0)
    elif plane.lay == "left-to-right":
        found.append((layout.firsts[0], panel.seam_back, panel.seam_fwd, 0))
        run(layout.firsts[0], WIDTH - layout.firsts[0], 1, 2, 1, 0)
    else:
        at = WIDTH - layout.firsts[0]
        found.append((at, panel.seam_fwd, panel.seam_back, rules.width_tol))
        run(at, at, -1, 2, 1, rules.width_tol)
    return found


def gaps(case: Case, pen: Penetration, x: Fraction, seams: list[Seam], crept: bool) -> Fraction:
    """Room of a pipe at `x`: the least over every seam and both ends."""
    rules = case.rules
    shift = 1 if crept else 0
    found = [x - rules.end_lap, WIDTH - shift * rules.width_tol - x - rules.end_lap]
    for at, low, high, creep in seams:
        side = high if at < x else low if at > x else max(low, high)
        found.append(abs(x - at) - side - shift * creep)
    return min(found) - shift * pen.x_tol


def draw_case(draw: random.Random) -> tuple[Case, Layout]:
    way = draw.choice(("left-to-right", "right-to-left", "from"))
    cover = draw.randint(8, 20)
    start = draw.randint(1, WIDTH - 1) if way == "from" else None
    plane = make_plane(width=WIDTH, start=start)
    if start is None:
        plane = replace(plane, lay=way)
    pens = (
        make_pipe(draw.randint(0, WIDTH), outside=draw.randint(1, 5), base=draw.randint(5, 12)),
        make_curb(draw.randint(0, WIDTH), across=draw.randint(1, 25)),
    )
    case = make_case(
        *(replace(pen, x_tol=draw.choice((0, 1))) for pen in pens), planes=(plane,), mark=1,
        cover=cover, seam_back=draw.randint(0, 5), seam_fwd=draw.randint(0, 5), min_end=1,
        work_gap=draw.randint(0, 2), hole_gap=draw.randint(0, 2), seamer_gap=draw.randint(0, 3),
        end_lap=draw.randint(0, 10), curb_side=draw.randint(0, 4), odd_panels=2, odd_min=1,
        play=2, play_mark=1, remeasure=draw.randint(1, 3),
    )  # fmt: skip
    case = replace(case, rules=replace(
        case.rules, cover_tol=draw.choice((0, 0, 1, 3)), width_tol=draw.choice((0, 2)),
        robust=draw.random() < 0.5,
    ))  # fmt: skip
    numbers = [*range(2, 6)] if start is None else [-3, -2, -1, 1, 2, 3]
    stretches = [1, 2, 3] if start is None else [-2, -1, 1, 2]
    some, few = draw.sample(numbers, draw.choice((0, 1, 2))), draw.choice((0, 1, 2))
    odds = [Odd(0, number, draw.randint(1, cover - 1)) for number in some]
    changes = [
        Change(0, stretch, draw.choice((-2, -1, 1, 2))) for stretch in draw.sample(stretches, few)
    ]
    return case, Layout(
        (draw.randint(1, cover),), (0, 0), tuple(sorted(odds)), tuple(sorted(changes))
    )


def check_pipe(case: Case, judged: Judged, seams: list[Seam]) -> str:
    pen, got, rules = case.penetrations[0], judged.penetrations[0], case.rules
    x = Fraction(pen.x)
    room, worst = (gaps(case, pen, x, seams, crept) for crept in (False, True))
    assert (got.room2, got.worst_room2) == (2 * room, 2 * worst)
    counts = worst if rules.robust else room
    half, radius = Fraction(pen.base, 2), Fraction(pen.outside, 2)
    needed = max(half + rules.work_gap, radius + rules.seamer_gap)
    state = (
        "clear" if counts >= needed
        else "tight" if counts >= half
        else "crosses" if counts >= radius + rules.hole_gap
        else "on-seam"
    )  # fmt: skip
    assert got.state == state
    places = sorted(at for at, *_ in seams)
    low = max((at for at in places if at <= pen.x), default=None)
    high = min((at for at in places if at > pen.x), default=None)
    assert (got.seam_low, got.seam_high) == (low, high)
    # Where between the two seams beside it the pipe would be clear, in half ticks.
    begin, end = (0 if low is None else low), (WIDTH if high is None else high)
    clear = [
        at2 for at2 in range(2 * begin, 2 * end + 1)
        if (low is None or at2 > 2 * low) and (high is None or at2 < 2 * high)
        and gaps(case, pen, Fraction(at2, 2), seams, rules.robust) >= needed
    ]  # fmt: skip
    if not clear:
        assert got.clear_from2 is None and got.clear_to2 is None
    else:
        assert (got.clear_from2, got.clear_to2) == (clear[0], clear[-1])
    return got.state


def check_curb(case: Case, judged: Judged, seams: list[Seam]) -> str:
    pen, got, half = case.penetrations[1], judged.penetrations[1], Fraction(
        case.penetrations[1].across, 2
    )
    cut, flanks, worst = 0, [], []
    for at, low, high, creep in seams:
        side = high if at < pen.x else low if at > pen.x else max(low, high)
        if abs(at - pen.x) < half + side:
            cut += 1
        else:
            flanks.append(abs(at - pen.x) - half)
            worst.append(abs(at - pen.x) - half - creep - pen.x_tol)
    assert got.seams_cut == cut
    assert got.room2 == (2 * min(flanks) if flanks else None)
    assert got.worst_room2 == (2 * min(worst) if worst else None)
    counts = worst if case.rules.robust else flanks
    crowded = bool(counts) and min(counts) < case.rules.curb_side
    assert got.state == ("crowded" if crowded else "spans" if cut else "clear")
    return got.state


@pytest.mark.parametrize("seed", range(4))
def test_shifted_seams_agree_with_the_rules_read_seam_by_seam(seed: int) -> None:
    draw = random.Random(seed)
    seen: Counter[str] = Counter()
    for _ in range(400):
        case, layout = draw_case(draw)
        try:
            judged = judge(case, layout)
        except ChoiceError:  # a panel or a stretch that this plane does not have
            seen["refused"] += 1
            continue
        seams = literal_seams(case, layout)
        assert judged.planes[0].seams == tuple(sorted(at for at, *_ in seams))
        seen["pipe " + check_pipe(case, judged, seams)] += 1
        seen["curb " + check_curb(case, judged, seams)] += 1
        seen[case.planes[0].lay] += 1
        seen["odd"] += len(layout.odds)
        seen["altered"] += len(layout.changes)
    assert len(seen) == 13 and seen["refused"] < 200
    assert min(count for name, count in seen.items() if name != "refused") > 5


def goes_on(seams: tuple[int, ...], cover: int) -> list[int]:
    """The seams of a plane with ten more, a cover apart, beyond either end."""
    low = [seams[0] - k * cover for k in range(1, 11)]
    return [*low, *seams, *(seams[-1] + k * cover for k in range(1, 11))]


def test_links_stray_by_the_farthest_seam_of_either_plane() -> None:
    draw = random.Random(7)
    seen: Counter[int] = Counter()
    for _ in range(400):
        cover, mirror, stagger = draw.randint(5, 12), draw.random() < 0.5, draw.random() < 0.5
        offset, widths = draw.randint(-9, 9), (draw.randint(20, 50), draw.randint(20, 50))
        case = make_case(
            planes=(make_plane(width=widths[0]), make_plane("N", width=widths[1])), mark=1,
            links=(make_link(mirror=mirror, offset=offset, stagger=stagger),), cover=cover,
            min_end=1, odd_panels=1, odd_min=1, meet_tol=0,
        )  # fmt: skip
        odds = tuple(Odd(p, 2, draw.randint(1, cover - 1)) for p in (0, 1) if draw.random() < 0.6)
        layout = Layout((draw.randint(1, cover), draw.randint(1, cover)), (), odds)
        judged = judge(case, layout)
        one, other = (plane.seams for plane in judged.planes)
        onto = {x: (widths[0] + offset - x if mirror else x + offset) for x in range(-500, 500)}
        back = {y: x for x, y in onto.items()}
        farthest = Fraction(0)
        for seams, others, mapped in ((one, other, onto), (other, one, back)):
            for seam in seams:
                apart = [abs(mapped[seam] - b) for b in goes_on(others, cover)]
                wanted = Fraction(cover, 2) if stagger else Fraction(0)
                farthest = max(farthest, min(abs(gap - wanted) for gap in apart))
        assert judged.links[0].strays2 == 2 * farthest
        if not odds:  # plain grids miss everywhere alike
            assert judged.links[0].meet is (farthest == 0)
        seen[judged.links[0].strays2] += 1
    assert len(seen) > 8
