"""Where the eave runs, seen from where a plane is laid: what the tape is hooked to.

Distances in ticks. The eave is the roof's lowest level, y = 0.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from solver.case import Plane
from solver.shape.spans import spans_at

Way = Literal[1, -1]
Spans = tuple[tuple[int, int], ...]


def eave_spans(plane: Plane) -> Spans:
    """The stretches of eave (x from, x to), in increasing x; none where the roof comes to a point.
    """
    if plane.outline is None and not plane.holes:
        return ((0, plane.width),)
    return tuple((low, high) for low, high in spans_at(plane, 0) if low < high)


def on_eave(spans: Spans, x: int) -> bool:
    """Whether a place along the eave has eave."""
    return any(low <= x <= high for low, high in spans)


def datum_of(spans: Spans, start: int, way: Way) -> int:
    """Distance from a start to where the tape is hooked: 0, or the nearest corner of the eave.

    0 as well where there is no eave at all on that side: the start is then chalked from above.
    """
    if on_eave(spans, start):
        return 0
    corners = [way * (x - start) for span in spans for x in span]
    return min((corner for corner in corners if corner > 0), default=0)


def eave_gaps(spans: Spans, start: int, way: Way, datum: int, far: int) -> Spans:
    """Stretches of a run without eave, as the tape reads them: between, and behind the last."""
    ways = sorted(
        tuple(sorted((way * (low - start), way * (high - start)))) for low, high in spans
    )
    ahead = [(low, high) for low, high in ways if high > datum]
    gaps = [(one[1], two[0]) for one, two in pairwise(ahead)]
    if ahead and ahead[-1][1] < far:
        gaps.append((ahead[-1][1], far))
    return tuple((low - datum, high - datum) for low, high in gaps)
