"""Links that close a ring which no layout can satisfy: what cannot meet, and by how much.

Every link says where the seams of one plane should go on in the next, so a ring of links (the four
hips of a hip roof) leads a seam back to its own plane. Where it comes back beside the seams of that
plane, one of the links is missed in every layout (arithmetic modulo the cover). Lengths in ticks; a
name ending in `2` counts half ticks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solver.case import Case, Link
from solver.result import Finding
from solver.units import format_length


@dataclass(frozen=True, slots=True)
class _Way:
    """How a seam at `x` of a root plane is led on: to `sign * x + shift2 / 2`, by these links."""

    root: str
    sign: int
    shift2: int
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class _Turned:
    """A ring that turns the root plane round: it holds only for `2 x = place2 / 2` (mod cover)."""

    place2: int
    links: tuple[Link, ...]


def ring_findings(case: Case) -> Iterator[Finding]:
    """Rings of links, and pairs of rings, that cannot all be met; in the order of the case.

    Only for plain panels: odd or altered ones may make up for it.
    """
    if case.rules.odd_panels or case.rules.play:
        return
    widths = {plane.id: plane.width for plane in case.planes}
    # A plane without a seam meets anything.
    links = [link for link in case.links if min(widths[one] for one in link.planes)
             > case.panel.cover]
    ways, closing = _spread(case, links, widths)
    turned: dict[str, _Turned] = {}
    period2 = 2 * case.panel.cover
    for link in closing:
        one, other = (ways[plane] for plane in link.planes)
        led = _led(case, one, link, widths)
        ring = _ring(led.links, other.links)
        if led.sign == other.sign:
            off2 = _off(led.shift2 - other.shift2, period2)
            if off2 > 2 * case.rules.meet_tol * len(ring):
                yield _finding(case, ring, off2)
            continue
        # led.sign x + led.shift = other.sign x + other.shift: 2 x is settled
        own = _Turned(led.sign * (other.shift2 - led.shift2), ring)
        first = turned.setdefault(one.root, own)
        both = tuple(dict.fromkeys((*first.links, *ring)))
        off2 = _off(own.place2 - first.place2, period2)
        if off2 > 2 * case.rules.meet_tol * (len(first.links) + len(ring)):
            yield _finding(case, both, off2)


def _spread(
    case: Case, links: Sequence[Link], widths: dict[str, int]
) -> tuple[dict[str, _Way], list[Link]]:
    """A way from a root plane to every plane that links reach, and the links not needed for it."""
    ways: dict[str, _Way] = {}
    used: list[Link] = []
    for plane in case.planes:
        if plane.id in ways:
            continue
        ways[plane.id] = _Way(plane.id, 1, 0, ())
        reached = [plane.id]
        for here in reached:
            for link in links:
                if here not in link.planes or link in used:
                    continue
                there = link.planes[1] if here == link.planes[0] else link.planes[0]
                if there in ways:
                    continue
                used.append(link)
                ways[there] = _led(case, ways[here], link, widths, back=here == link.planes[1])
                reached.append(there)
    return ways, [link for link in links if link not in used]


def _led(
    case: Case, way: _Way, link: Link, widths: dict[str, int], *, back: bool = False
) -> _Way:
    """Where a link leads a seam on: from its first plane to its second, or `back`."""
    half2 = case.panel.cover if link.stagger else 0
    links = (*way.links, link)
    if link.how == "mirror":  # x on the one is width + offset - x on the other, and back alike
        place2 = 2 * (widths[link.planes[0]] + link.offset) + half2
        return _Way(way.root, -way.sign, place2 - way.shift2, links)
    by2 = 2 * link.offset + half2
    return _Way(way.root, way.sign, way.shift2 + (-by2 if back else by2), links)


def _ring(one: Sequence[Link], other: Sequence[Link]) -> tuple[Link, ...]:
    """Two ways from one root to one plane, without the part they share."""
    shared = 0
    while shared < min(len(one), len(other)) and one[shared] == other[shared]:
        shared += 1
    return (*one[shared:], *reversed(other[shared:]))


def _off(difference2: int, period2: int) -> int:
    """How far two places are apart, modulo the period."""
    return min(difference2 % period2, -difference2 % period2)


def _finding(case: Case, ring: Sequence[Link], off2: int) -> Finding:
    planes = tuple(dict.fromkeys(plane for link in ring for plane in link.planes))
    said = "; ".join(
        f"{link.planes[0]} and {link.planes[1]}" + (f" along their {link.along}" if link.along
                                                    else "")
        for link in ring
    )
    cover, off = (format_length(each2, case.units, case.mark)
                  for each2 in (2 * case.panel.cover, off2))
    tol = format_length(2 * case.rules.meet_tol, case.units, case.mark)
    return Finding(
        "cannot-meet", "warning", planes,
        f"No layout can have the seams meet at all of these links: {said}. They lead round the "
        f"roof, and with panels of {cover} a seam comes back {off} beside another, more than "
        f"{tol} at each link can make up. At least one of them is missed: ask for those that "
        "show most.",
    )
