"""What answers that look at plain panels only leave out of a case, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from solver.case import Case
from solver.findings.seam_order import from_line


def left_out(case: Case, where: str) -> list[str]:
    """The sentences for `where` ("this explanation"); none where all planes can only be plain."""
    ids = [plane.id for plane in case.planes if from_line(case, plane)]
    return [*bent_left_out(case, where), *line_as_given(ids)]


def bent_left_out(case: Case, where: str) -> list[str]:
    """That odd panels and play are left out, where the case allows them."""
    parts = ["odd panels"] if case.rules.odd_panels else []
    parts += ["play"] if case.rules.play else []
    if not parts:
        return []
    named = " and ".join(parts)
    verb, them = ("is", "it") if parts == ["play"] else ("are", "them")
    return [f"{named[0].upper()}{named[1:]} {verb} left out of {where}: it looks at full panels "
            f"laid to the cover. offseam solve counts {them} in."]


def line_as_given(planes: Sequence[str]) -> list[str]:
    """That the lines of planes laid both ways (names) are not asked about: one start is left."""
    if not planes:
        return []
    named = planes[0] if len(planes) == 1 else f"{', '.join(planes[:-1])} and {planes[-1]}"
    many = len(planes) > 1
    return [f"Plane{'s' if many else ''} {named} {'are' if many else 'is'} laid both ways from a "
            f"line: where the line{'s stand' if many else ' stands'} is taken as given."]
