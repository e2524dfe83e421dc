"""What a listed layout gains and gives up against the first one."""

from __future__ import annotations

from solver.result import COUNT_NAMES, Against, Judged

_WORDS = {
    "on-seam": ("pipe on a seam", "pipes on a seam"),
    "seams_cut": ("seam cut by a curb", "seams cut by curbs"),
    "crosses": ("pipe whose flashing crosses a seam", "pipes whose flashing crosses a seam"),
    "tight": ("pipe tight in its pan", "pipes tight in their pans"),
    "crowded": ("curb crowded by a seam", "curbs crowded by seams"),
    "moved": ("pipe moved", "pipes moved"),
    "links_missed": ("link missed", "links missed"),
    "off_centre": ("centre missed", "centres missed"),
    "unlanded": ("wall of a ribbed curb without a seam", "walls of ribbed curbs without a seam"),
    "odd_panels": ("odd panel", "odd panels"),
    "uneven": ("unit of uneven ends", "units of uneven ends"),
    "stock": ("unit of sheet stock", "units of sheet stock"),
}


def count_phrase(name: str, count: int) -> str:
    """A count in trade words: "2 pipes moved"."""
    one, many = _WORDS[name]
    return f"{count} {one if count == 1 else many}"


def money(cents: int) -> str:
    """Cents as currency units with two decimals."""
    sign = "-" if cents < 0 else ""
    return f"{sign}{abs(cents) // 100:,}.{abs(cents) % 100:02d}"


def against(first: Judged, other: Judged) -> Against:
    """Gains and gives of `other` against `first`, in counts and money."""
    gains: dict[str, int] = {}
    gives: dict[str, int] = {}
    for name, mine, theirs in zip(COUNT_NAMES, other.counts, first.counts, strict=True):
        if mine < theirs:
            gains[name] = theirs - mine
        elif mine > theirs:
            gives[name] = mine - theirs
    dearer = other.cost.total - first.cost.total
    return Against(gains, gives, dearer, _sentence(gains, gives, dearer))


def _sentence(gains: dict[str, int], gives: dict[str, int], dearer: int) -> str:
    if not gains and not gives:
        return "the first in the list"
    parts = []
    if gains:
        parts.append("saves " + _join([count_phrase(n, c) for n, c in gains.items()]))
    if gives:
        parts.append("takes on " + _join([count_phrase(n, c) for n, c in gives.items()]))
    if dearer > 0:
        parts.append(f"costs {money(dearer)} more")
    elif dearer == 0:
        parts.append("costs the same")
    return "; ".join(parts)


def _join(phrases: list[str]) -> str:
    if len(phrases) == 1:
        return phrases[0]
    return ", ".join(phrases[:-1]) + " and " + phrases[-1]
