"""What a penetration that is not clear meets, and where in its pan it would be clear."""

from __future__ import annotations

from collections.abc import Iterator

from cli.report.words import Lengths, SeamNumbers, end_name, joined, plural
from solver.case import Case, Penetration, Plane
from solver.findings.of_roof_answer import binding_seam, wall_gaps2
from solver.findings.seam_order import at_height
from solver.result import JudgedPenetration, JudgedPlane

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
    says = f"{_MEETS[stands.state]} {_nearest(case, plane, ends, pen, stands)}"
    if stands.clear_from2 is None or stands.clear_to2 is None:
        return f"{says}; nowhere in this pan is it clear."
    low, high = lengths.place_up(stands.clear_from2), lengths.place_down(stands.clear_to2)
    return f"{says}; clear in this pan from {low} to {high}."


def foul_of_end(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> bool:
    """Whether what a pipe that is not clear meets is an end of the roof, not a seam."""
    return binding_seam(case, plane, ends, pen, stands) is None


def cut_seams(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> list[int]:
    """The seams (ticks) that a curb cuts; those that land on a wall of a ribbed one are whole."""
    low = -1 if stands.seam_low is None else stands.seam_low
    high = plane.width if stands.seam_high is None else stands.seam_high
    return [
        seam for seam in at_height(plane, ends, pen.y).seams
        if low < seam < high and not _lands(case, pen, stands, seam)
    ]


def _lands(case: Case, pen: Penetration, stands: JudgedPenetration, seam: int) -> bool:
    return stands.landed is not None and any(
        abs(2 * seam - 2 * stands.x - side) <= 2 * case.rules.land_tol
        for side in (-pen.across, pen.across)
    )


def _nearest(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> str:
    """The seam or end that leaves a pipe the least room, by number or name."""
    seam = binding_seam(case, plane, ends, pen, stands)
    if seam is not None:
        return f"seam {SeamNumbers(plane, ends, pen.y).of(seam)}"
    if pen.ends is None:
        return f"the turn-up at the {end_name(plane, high=2 * stands.x > plane.width)}"
    name = end_name(plane, high=2 * stands.x > sum(pen.ends))
    return f"the turn-up where the roof ends beside it, towards the {name}"


def _curb_words(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> str:
    lengths, numbers = Lengths(case), SeamNumbers(plane, ends, pen.y)
    says = []
    if stands.state == "crowded":
        near = [
            (2 * abs(stands.x - seam) - pen.across, seam)
            for seam in (stands.seam_low, stands.seam_high)
            if seam is not None and not _lands(case, pen, stands, seam)
        ]
        close = sorted(
            numbers.of(seam) for flank, seam in near if flank < 2 * case.rules.curb_side
        )
        names = joined([str(number) for number in close])
        says.append(f"{'seam' if len(close) == 1 else 'seams'} {names} nearer to its side than "
                    f"{lengths.near(case.rules.curb_side)}")
    if stands.seams_cut:
        cut = sorted(numbers.of(seam) for seam in cut_seams(case, plane, ends, pen, stands))
        span = str(cut[0]) if len(cut) == 1 else f"{cut[0]} to {cut[-1]}"
        says.append(f"cuts {plural(stands.seams_cut, 'seam')} ({span})")
    says += _walls(case, plane, ends, pen, stands)
    return "; ".join(says) + "." if says else ""


def _walls(
    case: Case, plane: Plane, ends: JudgedPlane, pen: Penetration, stands: JudgedPenetration
) -> Iterator[str]:
    """What stands at the two walls of a curb that is not flanged all round."""
    lengths, numbers = Lengths(case), SeamNumbers(plane, ends, pen.y)
    if stands.landed is not None:
        for high, (landed, off2) in enumerate(
            zip(stands.landed, wall_gaps2(pen, at_height(plane, ends, pen.y)), strict=True)
        ):
            wall = f"its wall towards the {end_name(plane, high=bool(high))}"
            if off2 is None:
                yield f"NO seam lands on {wall}: the plane has none"
                continue
            seam = (2 * pen.x + (pen.across if high else -pen.across) + off2) // 2
            does = "lands" if landed else "does NOT land"
            off = f", {lengths.near2(abs(off2))} off" if off2 else ""
            yield f"seam {numbers.of(seam)} {does} on {wall}{off}"
    elif pen.detail == "close":
        for high, beside in enumerate((stands.seam_low, stands.seam_high)):
            if beside is not None:
                flank = lengths.near2(2 * abs(stands.x - beside) - pen.across)
                yield (f"built close: seam {numbers.of(beside)} is {flank} from its wall towards "
                       f"the {end_name(plane, high=bool(high))}")
