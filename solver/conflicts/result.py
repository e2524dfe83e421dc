"""Why not everything can be clear with nothing moved: what the explanation is made of.

Lengths are ticks; a name ending in `2` counts half ticks. A *run* is (from, to): consecutive legal
first widths of one plane, both included.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.case import Case
from solver.result import Finding

Run = tuple[int, int]
Starts = tuple[tuple[str, int], ...]
"""First widths by plane id."""
ThingKind = Literal["end-rule", "end-lap", "link", "centre", "agreed"]


@dataclass(frozen=True, slots=True)
class Thing:
    """Something of the case, other than a penetration, that can take part in a conflict.

    "end-rule": the least width of end panels, and of pieces of panels; "end-lap"; "link": a must
    link, `about` its planes and `place` its index among the case's links; "centre": one that must
    be hit on plane `about`, `place` its index among the case's; "agreed": the agreed first width of
    plane `about`.
    """

    kind: ThingKind
    about: tuple[str, ...] = ()
    place: int = -1


@dataclass(frozen=True, slots=True)
class Relief:
    """Taking all of `things` away, and nothing less of them, lets the group all be clear.

    `starts` is a start that then does it; `runs`, for a group on one plane, all of them there.
    """

    things: tuple[Thing, ...]
    starts: Starts
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Member:
    """One of a group: the legal first widths of its plane that leave it clear, links left out."""

    id: str
    plane: str
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Without:
    """A start (judged by the checker) at which the group without `id` is all clear."""

    id: str
    starts: Starts


@dataclass(frozen=True, slots=True)
class Need:
    """How far the centre of a penetration must be from a seam laid before and after it.

    `own2` is the pipe's needed room, or half the curb; `before2` and `after2` are the whole.
    """

    id: str
    own2: int
    before2: int
    after2: int


@dataclass(frozen=True, slots=True)
class PairSum:
    """Two penetrations in the order of laying that no seam grid of this cover leaves both clear.

    They stand `apart` ticks apart: `over` more than `pans` whole covers, `short` less than one
    cover more. A seam between them takes `between2`, one around the other way `around2`; both are
    more than there is.
    """

    one: Need
    other: Need
    apart: int
    pans: int
    over: int
    short: int

    @property
    def between2(self) -> int:
        """What a seam laid after the first and before the second takes (half ticks)."""
        return self.one.after2 + self.other.before2

    @property
    def around2(self) -> int:
        """What a seam laid after the second and before the first takes, a cover on."""
        return self.other.after2 + self.one.before2

    @property
    def further2(self) -> int:
        """By how much more the two would have to stand apart (half ticks)."""
        return self.between2 - 2 * self.over

    @property
    def nearer2(self) -> int:
        """By how much less the two would have to stand apart (half ticks)."""
        return self.around2 - 2 * self.short


@dataclass(frozen=True, slots=True)
class SingleSum:
    """Why one penetration is never clear.

    `need` is set where it is too wide for a full pan, `end` ("low", "high") where an end of the
    plane is too near: `end_room2` is what the end lap leaves (half ticks), `needed2` what it needs.
    `nearest` is the start that comes nearest and its margin (half ticks, negative), for a pipe.
    """

    id: str
    need: Need | None
    end: Literal["", "low", "high"]
    end_room2: int
    needed2: int
    nearest: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class LinkedSum:
    """A group on must-linked planes: what the links leave of `plane` and what its members need.

    `left`: first widths of it for which every other plane has one that meets and leaves its own
    members clear; `wanted`: those that leave the members on `plane` itself all clear.
    """

    plane: str
    left: tuple[Run, ...]
    wanted: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Penetrations that cannot all be clear; without any one of them the rest can.

    `pair`, `single`: the sum behind it, where seams alone explain it. `linked`: where must links
    take part. `judged` is how many starts the checker judged to see that none leaves the group
    clear, `whole` whether these were all.
    """

    members: tuple[Member, ...]
    without: tuple[Without, ...]
    reliefs: tuple[Relief, ...]
    pair: PairSum | None
    single: SingleSum | None
    linked: LinkedSum | None
    judged: int
    whole: bool

    @property
    def ids(self) -> tuple[str, ...]:
        """The members' ids, in the order of the case."""
        return tuple(member.id for member in self.members)


@dataclass(frozen=True, slots=True)
class Part:
    """One plane, or planes that must links tie together.

    `best` is a start that leaves few not clear, the fewest if `proven`, and `not_clear` those;
    empty where there is no legal start. `runs`: for a single plane, the first widths that leave as
    few not clear as that. `found` groups are known, of which every one of up to `complete_to`
    members; `complete` if there is no other of any size. `ended` says what ended the search ("",
    "size", "count", "work", "stopped"). `often`: in how many of the groups found each penetration
    is, most first.
    """

    planes: tuple[str, ...]
    penetrations: int
    best: Starts
    not_clear: tuple[str, ...]
    proven: bool
    runs: tuple[Run, ...]
    found: int
    complete_to: int
    complete: bool
    ended: str
    often: tuple[tuple[str, int], ...]

    @property
    def all_clear(self) -> bool:
        """Whether some start leaves everything on these planes clear."""
        return bool(self.best) and not self.not_clear


@dataclass(frozen=True, slots=True)
class Explanation:
    """The whole answer for one cover. `groups` are the first of all found, smallest first.

    `case` is the case as it was explained: agreed moves made. `reasons` say why a plane has no
    legal start or links cannot be met. `stopped` is True where the work was ended early.
    """

    case: Case
    parts: tuple[Part, ...]
    groups: tuple[Group, ...]
    reasons: tuple[Finding, ...]
    found: int
    stopped: bool

    @property
    def all_clear(self) -> bool:
        """Whether one legal start of every plane leaves everything clear."""
        return not self.reasons and all(part.all_clear for part in self.parts)
