"""What a penetration that is not clear meets, and where in its pan it would be clear."""

from __future__ import annotations

from bisect import bisect_left

from cli.report.words import Lengths, SeamNumbers, end_name, joined, plural
from solver.case import Case, Penetration, Plane
from solver.result import JudgedPenetration, JudgedPlane
from solver.seam_order import sides

_MEETS = {
    "on-seam": "its hole meets", "crosses": "its flashing runs over",
    "tight": "short of its gap beside",
}


def obstacle_words(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> str:
    """A sentence on what a penetration meets; empty where there is nothing to say."""
    if pen.kind == "curb":
        return _curb_words(case, plane, ends, pen, stands)
    if stands.state == "clear":
        return ""
    lengths = Lengths(case)
    says = f"{_MEETS[stands.state]} {_nearest(case, plane, ends, stands)}"
    if stands.clear_from2 is None or stands.clear_to2 is None:
        return f"{says}; nowhere in this pan is it clear."
    low, high = lengths.place_up(stands.clear_from2), lengths.place_down(stands.clear_to2)
    return f"{says}; clear in this pan from {low} to {high}."


def binding_seam(
    case: Case, plane: Plane, ends: JudgedPlane, stands: JudgedPenetration
) -> int | None:
    """The seam (ticks) that leaves a pipe the least room; None where an end of the plane does."""
    x = stands.x
    least: int | None = None
    binding: int | None = None
    if _is_seam(ends, x):
        least, binding = -max(sides(case, plane, x)), x
    for seam, facing in ((stands.seam_low, 1), (stands.seam_high, 0)):
        if seam is None:
            continue
        room = abs(x - seam) - sides(case, plane, seam)[facing]
        if least is None or room < least:
            least, binding = room, seam
    end = min(x, plane.width - x) - case.rules.end_lap
    return binding if least is not None and least <= end else None


def foul_of_end(
    case: Case, plane: Plane, ends: JudgedPlane, stands: JudgedPenetration
) -> bool:
    """Whether what a pipe that is not clear meets is an end of the plane, not a seam."""
    return binding_seam(case, plane, ends, stands) is None


def _is_seam(ends: JudgedPlane, x: int) -> bool:
    place = bisect_left(ends.seams, x)
    return place < len(ends.seams) and ends.seams[place] == x


def _nearest(case: Case, plane: Plane, ends: JudgedPlane, stands: JudgedPenetration) -> str:
    """The seam or end that leaves a pipe the least room, by number or name."""
    seam = binding_seam(case, plane, ends, stands)
    if seam is not None:
        return f"seam {SeamNumbers(plane, ends).of(seam)}"
    return f"the turn-up at the {end_name(plane, high=2 * stands.x > plane.width)}"


def _curb_words(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> str:
    lengths, numbers = Lengths(case), SeamNumbers(plane, ends)
    says = []
    if stands.state == "crowded":
        near = [
            (2 * abs(stands.x - seam) - pen.across, seam)
            for seam in (stands.seam_low, stands.seam_high)
            if seam is not None
        ]
        close = sorted(
            numbers.of(seam) for flank, seam in near if flank < 2 * case.rules.curb_side
        )
        names = joined([str(number) for number in close])
        says.append(f"{'seam' if len(close) == 1 else 'seams'} {names} nearer to its side than "
                    f"{lengths.near(case.rules.curb_side)}")
    if stands.seams_cut:
        low = -1 if stands.seam_low is None else stands.seam_low
        high = plane.width if stands.seam_high is None else stands.seam_high
        cut = sorted(numbers.of(seam) for seam in ends.seams if low < seam < high)
        span = str(cut[0]) if len(cut) == 1 else f"{cut[0]} to {cut[-1]}"
        says.append(f"cuts {plural(stands.seams_cut, 'seam')} ({span})")
    return "; ".join(says) + "." if says else ""
