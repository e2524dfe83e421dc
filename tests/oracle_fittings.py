"""The offsets that two equal fittings can make, decided in whole numbers.

Two elbows of angle a (22 1/2, 45 or 60 degrees) set a riser over by d: the piece between them is
`d / sin a` from centre to centre and rises by `d / tan a`. With c from an elbow's centre to its end
- they touch hub to hub when `d / sin a` is 2 c, so `d >= 2 c sin a`;
- beyond the two centres each elbow goes on upright for c: the height is `d / tan a + 2 c`.

Squares: (2 sin 45)^2 = 2, (2 sin 60)^2 = 3, (2 sin 22.5)^2 = 2 - sqrt 2 (half-angle formula);
tan 45 = 1, tan 60 = sqrt 3, tan 22.5 = sqrt 2 - 1, so 1 / tan 22.5 = sqrt 2 + 1.
"""

from __future__ import annotations

from collections.abc import Mapping

ANGLES = ("bend_22", "bend_45", "bend_60")


def at_least_root(a: int, k: int, b: int) -> bool:
    """Whether `a >= sqrt(k) * b`, for k > 0 and any sign of a and b."""
    if b <= 0:
        return a >= 0 or a * a <= k * b * b
    return a >= 0 and a * a >= k * b * b


def hub_to_hub(angle: str, d: int, c: int) -> bool:
    """Whether the two elbows have at least the length of their own ends between their centres."""
    if angle == "bend_45":
        return d * d >= 2 * c * c
    if angle == "bend_60":
        return d * d >= 3 * c * c
    # d d >= c c (2 - sqrt 2), that is d d - 2 c c >= sqrt 2 (-c c)
    return at_least_root(d * d - 2 * c * c, 2, -c * c)


def fits_under(angle: str, d: int, c: int, headroom: int) -> bool:
    """Whether the height that the two elbows take is at most the headroom."""
    left = headroom - 2 * c  # for d / tan a
    if angle == "bend_45":
        return d <= left
    if angle == "bend_60":
        return left >= 0 and d * d <= 3 * left * left
    return at_least_root(left - d, 2, d)  # d (sqrt 2 + 1) <= left


def can_make(
    d: int, bends: Mapping[str, int], headroom: int | None, faults: frozenset[str]
) -> list[bool]:
    """For each given elbow whether two of them make the offset d >= 0 (all in one unit).

    `bends` maps bend_22, bend_45, bend_60 to centre-to-end; `headroom` None is without limit.
    """
    made = []
    for angle in ANGLES:
        if angle not in bends:
            continue
        c, limit = bends[angle], headroom
        if limit is not None and "headroom-bare" in faults:
            limit += 2 * c
        if limit is not None and "headroom-strict" in faults:
            limit -= 1
        made.append(hub_to_hub(angle, d, c) and (limit is None or fits_under(angle, d, c, limit)))
    return made
