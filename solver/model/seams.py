"""Seams one by one: the variables of a plane that play, odd panels or a line bend off one grid.

Such a plane is *bent*. Its seams and pans stand in increasing distance `t` from where its laying
starts, or from its low end where it is laid both ways from a line. They are made for as many panels
as the plane can hold; a seam that a layout does not have stands at the end of the plane. All
lengths are ticks.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from solver.case import Case, Plane
from solver.model.lattice import Expr, Lit, change_marks, lattice, odd_widths, on_lattice
from solver.tabling.worst_shift import start_shift

_MOST_VALUES = 4096


@dataclass(frozen=True, eq=False)
class Seam:
    """Where a seam stands (between `least` and `most`), and what it takes of the flat beside it.

    `real` says whether the layout has it; None where every layout has. `below` is taken on the side
    of smaller `t`, `above` on the other; `shift` is its worst creep.
    """

    at: Expr
    real: Lit | None
    below: int
    above: int
    shift: int
    least: int
    most: int

    @property
    def given(self) -> list[Lit]:
        """Literals under which the seam is there."""
        return [] if self.real is None else [self.real]


@dataclass(eq=False)
class Pan:
    """One panel by its number, and its stretch (0: none, it is the first).

    `near` is the seam towards where laying starts (None: the plane's end), `far` the one away from
    it (None: the pan can only be the last). `odd` and `full` say whether it is a panel between the
    ends, odd or not; None where it can never be. `slots[i]`: it is the plane's odd panel `i`.
    """

    number: int
    stretch: int
    near: Seam | None
    far: Seam | None
    odd: Lit | None = None
    full: Lit | None = None
    slots: list[Lit] = field(default_factory=list)


@dataclass
class Slot:
    """The plane's odd panel by order of number: 0 everywhere where it is not used.

    `centre2` is its centre line as twice the `t` (where laying starts, if it is not used), `start2`
    how far that is from where laying starts (half ticks).
    """

    used: Lit
    number: Expr
    width: Expr
    centre2: Expr
    start2: Expr


@dataclass
class Run:
    """Panels from a seam to an end of the plane, `length` away, in the order of laying.

    `seams[0]` is that seam, as a distance from where the run is measured; `sign` is 1 where `t`
    grows along the run. `end` is the width of the last panel.
    """

    length: int
    sign: int
    along: list[Expr]
    seams: list[Seam]
    pans: list[Pan]
    end: Expr


@dataclass
class Bent:
    """Everything of a bent plane. `changes` is the change of module by stretch.

    `seams` and `pans` in increasing `t`: pan `i` lies between seams `i - 1` and `i`. `least_pan` is
    the least that lies between two seams.
    """

    runs: list[Run]
    seams: list[Seam]
    pans: list[Pan]
    slots: list[Slot]
    changes: dict[int, cp_model.IntVar]
    altered: dict[int, Lit]
    least_pan: int


def is_bent(case: Case, plane: Plane) -> bool:
    """Whether the plane's seams may leave one grid."""
    if plane.width <= case.panel.cover:
        return False
    return plane.lay == "from" or bool(odd_widths(case)) or change_marks(case) > 0


class _Maker:
    """Makes the variables of one plane."""

    def __init__(self, case: Case, model: cp_model.CpModel, plane: Plane) -> None:
        self.case, self.model, self.plane = case, model, plane
        self.cover = case.panel.cover
        self.widths = odd_widths(case)
        self.most_odd = case.rules.odd_panels if self.widths else 0
        self.step = lattice(case)
        self.play = change_marks(case) * case.rules.play_mark
        self.changes: dict[int, cp_model.IntVar] = {}
        self.altered: dict[int, Lit] = {}

    def bent(self, first: Expr) -> Bent:
        """All of the plane; `first` is its first width unless it is laid from a line."""
        plane, rules = self.plane, self.case.rules
        least_pan = min([self.cover - self.play, *self.widths])
        if plane.lay == "from" and plane.start is not None:
            widest = max(self.case.panel.seam_back, self.case.panel.seam_fwd)
            line = Seam(plane.start, None, widest, widest, 0, plane.start, plane.start)
            low = self._run(plane.start, 0, line, 0, -1)
            high = self._run(plane.width - plane.start, 0, line, 0, 1)
            seams = [*reversed(low.seams[1:]), *high.seams]
            runs = [low, high]
            pans = [*reversed(low.pans), *high.pans]
        else:
            seam = self._seam(first, None, 1, 1, rules.min_end, self.cover)
            run = self._run(plane.width, first, seam, 1, 1)
            runs, seams = [run], run.seams
            pans = [Pan(1, 0, None, seam), *run.pans]
        slots = [self._slot(i, pans) for i in range(self.most_odd)]
        return Bent(runs, seams, pans, slots, self.changes, self.altered, least_pan)

    def _run(self, length: int, begin: Expr, seam: Seam, count: int, sign: int) -> Run:
        """`seam` is number `count` of its run and stands `begin` along it."""
        model, name = self.model, self.plane.id
        end = on_lattice(model, self.case.rules.min_end, self.cover, self.step,
                         length % self.step, f"end_{name}")
        low = self.case.rules.min_end if count else 0
        high = self.cover if count else 0
        run = Run(length, sign, [begin], [seam], [], end)
        base = self.plane.start or 0 if self.plane.lay == "from" else 0
        while True:
            number, near = count + len(run.pans) + 1, run.seams[-1]
            slim = self.cover - self.play
            if len(run.pans) < self.most_odd:
                slim = min(slim, *self.widths)
            if low + slim >= length:
                run.pans.append(Pan(number * sign, self._stretch(number * sign), near, None))
                return run
            sure = high + self.cover < length  # this panel cannot be the last
            low, high = low + slim, high + self.cover + self.play
            along = self._along(low, high, length, sure, f"seam_{number * sign}_{name}")
            real = None if sure else model.new_bool_var(f"real_{number * sign}_{name}")
            least, most = sorted((base + sign * low, base + sign * min(high, length)))
            far = self._seam(base + sign * along, real, number, sign, least, most)
            run.pans.append(self._pan(number * sign, near, far))
            run.along.append(along)
            run.seams.append(far)

    def _along(self, low: int, high: int, length: int, sure: bool, name: str) -> Expr:
        """Where a seam stands on its run: on the lattice, or at the end if it may not be there."""
        step = self.step
        if sure:
            return on_lattice(self.model, low, min(high, length - 1), step, 0, name)
        marks = range(-(-low // step), (min(high, length - 1)) // step + 1)
        if len(marks) > _MOST_VALUES:
            return self.model.new_int_var(low, min(high, length), name)
        spots = cp_model.Domain.from_values([*(n * step for n in marks), length])
        return self.model.new_int_var_from_domain(spots, name)

    def _stretch(self, number: int) -> int:
        """The stretch of a panel behind the seam the laying starts with."""
        again = self.case.rules.remeasure
        if self.plane.lay != "from":
            return (number - 2) // again + 1
        stretch = (abs(number) - 1) // again + 1
        return stretch if number > 0 else -stretch

    def _pan(self, number: int, near: Seam, far: Seam) -> Pan:
        """A panel that need not be the last; it may be odd where the case allows."""
        model, stretch = self.model, self._stretch(number)
        pan = Pan(number, stretch, near, far, full=model.new_bool_var(""))
        if self.most_odd:
            pan.odd = model.new_bool_var(f"odd_{number}_{self.plane.id}")
            pan.slots = [model.new_bool_var("") for _ in range(self.most_odd)]
        if self.play and stretch not in self.changes:
            mark = self.case.rules.play_mark
            domain = cp_model.Domain.from_values(range(-self.play, self.play + 1, mark))
            self.changes[stretch] = model.new_int_var_from_domain(domain, f"change_{stretch}")
            self.altered[stretch] = model.new_bool_var(f"altered_{stretch}")
        return pan

    def _seam(
        self, at: Expr, real: Lit | None, number: int, sign: int, least: int, most: int
    ) -> Seam:
        panel, rules = self.case.panel, self.case.rules
        sides = (panel.seam_back, panel.seam_fwd)
        gone = number if self.plane.lay == "from" else number - 1
        shift = 0
        if rules.robust:
            shift = start_shift(self.case, self.plane) if self.plane.lay != "from" else 0
            if gone > 0:
                shift += ((gone - 1) % rules.remeasure + 1) * rules.cover_tol
        below, above = sides if sign > 0 else sides[::-1]
        return Seam(at, real, below, above, shift, least, most)

    def _slot(self, i: int, pans: list[Pan]) -> Slot:
        model, width = self.model, self.plane.width
        able, name = [pan for pan in pans if pan.slots], f"{i}_{self.plane.id}"
        number = cp_model.LinearExpr.weighted_sum(
            [pan.slots[i] for pan in able], [pan.number for pan in able])
        wide = model.new_int_var_from_domain(
            cp_model.Domain.from_values([0, *self.widths]), f"width_{name}")
        line = self.plane.start or 0 if self.plane.lay == "from" else 0
        centre2 = on_lattice(model, 0, 2 * width, self.step, 2 * line, f"centre_{name}")
        start2 = centre2
        if self.plane.lay == "from":
            start2 = on_lattice(model, 0, 2 * width, self.step, 0, f"away_{name}")
        used = model.new_bool_var(f"used_{name}")
        return Slot(used, number if able else 0, wide, centre2, start2)


def make_bent(case: Case, model: cp_model.CpModel, plane: Plane, first: Expr) -> Bent:
    """The variables of a bent plane; rules beyond what a domain says are added elsewhere."""
    return _Maker(case, model, plane).bent(first)
