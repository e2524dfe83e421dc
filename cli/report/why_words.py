"""The arithmetic of a conflict in trade words."""

from __future__ import annotations

from dataclasses import dataclass

from cli.report.words import end_name, id_of, joined
from solver.case import Case, Penetration, Plane
from solver.conflicts.result import Group, Need, PairSum, Relief, Run, Starts, Thing
from solver.findings.seam_order import from_line
from solver.units import TICKS_PER_INCH, format_length


@dataclass(frozen=True, slots=True)
class Tape:
    """Lengths of an argument: what there is rounded down, what is asked rounded up.

    Finer than the crew's mark where needed, so that a sum still adds up: thousandths of an inch
    (as decimals) or 1/10 mm. First widths are on
    the mark and shown to it.
    """

    case: Case

    @property
    def _fine(self) -> int:
        return min(self.case.mark, TICKS_PER_INCH // 1000 if self.case.units == "in" else 64)

    def near(self, ticks: int) -> str:
        """To the nearest mark."""
        return format_length(2 * ticks, self.case.units, self.case.mark)

    def far(self, ticks: int) -> str:
        """A distance: in inches up to ten feet, beyond that in feet and inches."""
        feet = self.case.units == "in" and ticks > 120 * TICKS_PER_INCH
        return format_length(2 * ticks, self.case.units, self._fit(2 * ticks), feet=feet)

    def has(self, halves: int) -> str:
        """What there is: never overstated."""
        return format_length(halves, self.case.units, self._fit(halves), how="down")

    def asks(self, halves: int) -> str:
        """What is needed: never understated."""
        text = format_length(-halves, self.case.units, self._fit(halves), how="down")
        return text.removeprefix("-") if halves >= 0 else f"-{text}"

    def _fit(self, halves: int) -> int:
        return self.case.mark if halves % (2 * self.case.mark) == 0 else self._fine

    def plane(self, name: str) -> Plane:
        """A plane of the case by its id."""
        return next(plane for plane in self.case.planes if plane.id == name)

    def pen(self, name: str) -> Penetration:
        """A penetration of the case by its id."""
        return next(pen for pen in self.case.penetrations if pen.id == name)


def runs_words(tape: Tape, runs: tuple[Run, ...]) -> str:
    """ "6\" to 9 1/2\", 14\" to 18\""; "none" where there is none."""
    parts = [
        tape.near(low) if low == high else f"{tape.near(low)} to {tape.near(high)}"
        for low, high in runs
    ]
    return ", ".join(parts) or "none"


def starts_words(tape: Tape, starts: Starts) -> str:
    """ "11 1/2\"" for one plane, "S at 11 1/2\", N at 8\"" for several."""
    if len(starts) == 1:
        return _start(tape, *starts[0])
    return joined([f"{_start(tape, name, first)} on {id_of(name)}" for name, first in starts])


def _start(tape: Tape, name: str, first: int) -> str:
    plane = tape.plane(name)
    if not from_line(tape.case, plane):
        return tape.near(first)
    return f"the {tape.near(first)} that its line leaves at the {end_name(plane, high=False)}"


def pair_words(tape: Tape, pair: PairSum) -> str:
    """Why no grid of seams leaves two of them clear."""
    one, other = id_of(pair.one.id), id_of(pair.other.id)
    cover = tape.near(tape.case.panel.cover)
    over, short = tape.has(2 * pair.over), tape.has(2 * pair.short)
    if pair.pans:
        pans = f"one {cover} pan" if pair.pans == 1 else f"{pair.pans:,} pans of {cover}"
        next_one = "two" if pair.pans == 1 else f"{pair.pans + 1:,}"
        how = f"{over} over {pans}, {short} short of {next_one}"
    else:
        how = f"{short} less than one {cover} pan"
    gaps = (f"{over} on one hand or on the other" if pair.over == pair.short
            else f"the {over} or in the {short}")
    says = [
        f"{one} and {other} stand {tape.far(pair.apart)} apart: {how}.",
        _needs_words(tape, pair),
        f"Seams repeat every {cover}, so one always runs between the two in {gaps}: one of the two "
        "always meets a seam.",
    ]
    cover2 = 2 * tape.case.panel.cover
    ways = []
    if pair.between2 <= cover2:
        ways.append(f"{tape.asks(pair.further2)} further apart")
    if pair.around2 <= cover2:
        ways.append(f"{tape.asks(pair.nearer2)} nearer together")
    return " ".join([*says, f"They would have to stand at least {' or '.join(ways)}."])


def _needs_words(tape: Tape, pair: PairSum) -> str:
    """What a seam between two of them takes, and what that is made of."""
    one, other = id_of(pair.one.id), id_of(pair.other.id)
    kinds = {tape.pen(need.id).kind for need in (pair.one, pair.other)}
    if kinds == {"pipe"}:
        seam2 = pair.between2 - pair.one.own2 - pair.other.own2
        if pair.one.own2 == pair.other.own2:
            room = f"Each needs {tape.asks(pair.one.own2)} beside its centre"
        else:
            room = (f"{one} needs {tape.asks(pair.one.own2)} beside its centre, {other} "
                    f"{tape.asks(pair.other.own2)}")
        takes = f" and a seam's two sides take {tape.asks(seam2)}" if seam2 else ""
        return f"{room}{takes}: a seam between them needs {tape.asks(pair.between2)}."
    total = tape.asks(pair.between2)
    if pair.between2 != pair.around2:
        total += f" in the first gap and {tape.asks(pair.around2)} in the second"
    return (f"{_need_words(tape, pair.one)}; {_need_words(tape, pair.other)}. A seam between them "
            f"needs {total}.")


def _need_words(tape: Tape, need: Need) -> str:
    """How far a centre keeps from a seam, and what that is made of."""
    before, after = need.before2 - need.own2, need.after2 - need.own2
    own = tape.asks(need.own2)
    if before == after:
        how = f"{tape.asks(need.before2)} to a seam on either side"
        rest = tape.asks(before)
    else:
        how = (f"{tape.asks(need.before2)} to a seam laid before it and {tape.asks(need.after2)} "
               "to one laid after")
        rest = f"{tape.asks(before)} or {tape.asks(after)}"
    made = f"half of it {own}, its side {rest}" if tape.pen(need.id).kind == "curb" else (
        f"room {own}, the seam's side {rest}")
    return f"{id_of(need.id)} needs {how} from its centre ({made})"


def single_words(tape: Tape, group: Group) -> list[str]:
    """Why one penetration is never clear."""
    single = group.single
    assert single is not None
    name, pen = id_of(single.id), tape.pen(single.id)
    says = []
    if single.need is not None:
        says.append(_wide_words(tape, single.need))
    if single.end:
        end = end_name(tape.plane(pen.plane), high=single.end == "high")
        if pen.ends is not None:
            end = f"end of the roof beside it, towards the {end}"
        lap = 2 * tape.case.rules.end_lap
        left = tape.has(single.end_room2) if single.end_room2 >= 0 else "nothing"
        says.append(f"{name} stands {tape.has(single.end_room2 + lap)} from the {end}. The turn-up "
                    f"there takes {tape.asks(lap)}: {left} is left, and it needs "
                    f"{tape.asks(single.needed2)} beside its centre.")
    elif from_line(tape.case, tape.plane(pen.plane)) and not group.members[0].runs:
        says.append(f"Plane {id_of(pen.plane)} is laid from a line, so its full panels leave "
                    f"{name} one place among the seams, and there it is not clear.")
    elif single.need is None and single.nearest is not None and not group.members[0].runs:
        first, margin2 = single.nearest
        says.append(f"No legal first width leaves {name} the {tape.asks(single.needed2)} that it "
                    f"needs beside its centre: starting with {tape.near(first)} comes nearest, "
                    f"{tape.asks(-margin2)} short.")
    elif single.need is None and not group.members[0].runs:
        says.append(f"No legal first width leaves {name} clear.")
    return says


def _wide_words(tape: Tape, need: Need) -> str:
    case, name = tape.case, id_of(need.id)
    pen = tape.pen(need.id)
    cover2 = 2 * case.panel.cover
    if pen.detail == "ribbed":
        return (f"{name} is {tape.asks(2 * pen.across)} across, with seams to land on both its "
                f"walls. A pan has {tape.has(cover2)}: a seam always stands between the two.")
    if pen.kind == "curb":
        sides = need.before2 - need.own2, need.after2 - need.own2
        keeps = f"{tape.asks(sides[0])} to the seam on either side" if sides[0] == sides[1] else (
            f"{tape.asks(sides[0])} and {tape.asks(sides[1])} to the seams beside it")
        return (f"{name} is {tape.asks(2 * pen.across)} across and keeps {keeps}: "
                f"{tape.asks(need.before2 + need.after2)} from seam to seam. A pan has "
                f"{tape.has(cover2)}.")
    flat2 = cover2 - 2 * case.panel.seam_back - 2 * case.panel.seam_fwd
    return (f"{name} needs {tape.asks(need.own2)} on either side of its centre: "
            f"{tape.asks(2 * need.own2)} of flat. A pan of {tape.near(case.panel.cover)} has "
            f"{tape.has(flat2)}.")


def none_words(tape: Tape, group: Group) -> str:
    """That the stretches share no first width, and what links have to do with it."""
    if group.linked is None:
        if len(group.members) == 1:
            return ""
        return "No first width is in both." if len(group.members) == 2 else (
            "No first width is in all of them.")
    linked = group.linked
    plane = id_of(linked.plane)
    others = [id_of(m.id) for m in group.members if m.plane != linked.plane]
    mine = [id_of(m.id) for m in group.members if m.plane == linked.plane]
    are = {1: "is", 2: "are both"}.get(len(others), "are all")
    where = f"Where {joined(others)} {are} clear, the must " if others else "The must "
    links = "link leaves" if _one_link(tape, group) else "links leave"
    both = "both" if len(mine) == 2 else "all"
    own = ("" if len(mine) == 1 else f" ({joined(mine)} are {both} clear only at "
           f"{runs_words(tape, linked.wanted)})")
    return (f"{where}{links} plane {plane} only {runs_words(tape, linked.left)}: there "
            f"{mine[0] if len(mine) == 1 else 'one of ' + joined(mine)} is not clear{own}.")


def _one_link(tape: Tape, group: Group) -> bool:
    on = {member.plane for member in group.members}
    return sum(1 for k in tape.case.links if k.must and on & set(k.planes)) == 1


def relief_words(tape: Tape, group: Group, relief: Relief) -> str:
    """What else takes part, and what would be without it."""
    what = joined([_thing_words(tape, thing) for thing in relief.things])
    takes, it = ("takes part", "it") if len(relief.things) == 1 else ("take part together", "them")
    who = {1: id_of(group.ids[0]), 2: "both"}.get(len(group.ids), "all of them")
    at = runs_words(tape, relief.runs) if relief.runs and len(relief.starts) == 1 else (
        starts_words(tape, relief.starts))
    return (f"{what[0].upper()}{what[1:]} {takes}: without {it} {who} could be clear, starting at "
            f"{at}.")


def _thing_words(tape: Tape, thing: Thing) -> str:
    rules = tape.case.rules
    about = joined([id_of(name) for name in thing.about]) if thing.about else ""
    match thing.kind:
        case "end-rule":
            return f"the end rule (both end panels at least {tape.near(rules.min_end)})"
        case "end-lap":
            return f"the end lap of {tape.near(rules.end_lap)}"
        case "centre":
            centre = tape.case.centres[thing.place]
            return (
                f"the {centre.on} that must stand at {tape.far(centre.at)} of plane {about} "
                f"({centre.what})"
            )
        case "link":
            return f"the must link between {about}"
        case _:
            agreed = dict(tape.case.freeze.firsts)[thing.about[0]]
            return f"the agreed first width of plane {about}, {tape.near(agreed)},"
