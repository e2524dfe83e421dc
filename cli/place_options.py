"""Reading the options of `offseam place`: every one that cannot be followed, at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from cli.failures import OptionError
from cli.named_lengths import named_lengths, nearest, numbered_lengths

if TYPE_CHECKING:
    from solver.case import Case, Plane
    from solver.placing.stretches import AsLaid, Wanted


def with_cover(case: Case, cover: str | None, *, laid: bool) -> Case:
    """The case of one cover where one is asked for, or needed because seams are laid.

    Raises:
        OptionError: no length, a cover the case does not have, or none given with laid seams.
    """
    from solver.units import format_length

    covers = case.covers or (case,)
    names = ", ".join(
        format_length(2 * one.panel.cover, case.units, case.mark) for one in covers
    )
    if cover is None:
        if laid and len(covers) > 1:
            raise OptionError(f"what is laid (--first, --odd, --module): the case compares covers "
                              f"of {names}; give the one that is laid with --cover")
        return case
    wrong: list[str] = []
    ticks = _length(case, "cover", cover, wrong)
    if wrong:
        raise OptionError(*wrong)
    for one in covers:
        if one.panel.cover == ticks:
            return one
    raise OptionError(f'--cover "{cover}": the case has {names}')


def read_wanted(
    case: Case,
    plane: str,
    texts: Mapping[str, str | None],
    turned: bool,
    first: Sequence[str],
    odd: Sequence[str] = (),
    module: Sequence[str] = (),
) -> tuple[Wanted, AsLaid]:
    """The pipe, and what is already laid by plane.

    Raises:
        OptionError: every option that cannot be followed.
    """
    from solver.findings.seam_order import from_line
    from solver.placing.stretches import AsLaid, Wanted, base_width
    from solver.units import format_length

    wrong: list[str] = []
    on = _plane(case, "--plane", plane, wrong)
    given = {
        name: _length(case, name, text, wrong) for name, text in texts.items() if text is not None
    }
    known = [plane.id for plane in case.planes]
    firsts = named_lengths(case, "--first", "PLANE", first, known, wrong)
    for name, width in firsts.items():
        if width > case.panel.cover:
            shown = format_length(2 * width, case.units, case.mark)
            most = format_length(2 * case.panel.cover, case.units, case.mark)
            wrong.append(f"--first {name}={shown}: no panel is wider than the cover of {most}")
    lined = {plane.id for plane in case.planes if from_line(case, plane)}
    wrong += (
        f'--first: plane "{name}" is laid both ways from a line, which leaves no choice of a first '
        "width; leave it out"
        for name in firsts if name in lined
    )
    odds = numbered_lengths(case, "--odd", "panel", odd, wrong)
    laid = AsLaid(firsts, odds, numbered_lengths(case, "--module", "stretch", module, wrong))
    needed = [on.id] if on is not None and (first or odd or module) else []
    for name in dict.fromkeys((*needed, *laid.odds, *laid.changes)):
        if name not in firsts and name not in lined and not _told_wrong(first, name):
            wrong.append(f"--first: give the first width laid on plane {name} as well")
    if not wrong and on is not None:
        _check(case, on, given, wrong)
    if wrong or on is None:
        raise OptionError(*wrong)
    outside = given["outside"]
    base = base_width(case, outside, given.get("base"), turned=turned)
    wanted = Wanted(on.id, given["near"], outside, base, given.get("y"),
                    given.get("x-tol", case.rules.x_tol))
    return wanted, laid


def _told_wrong(first: Sequence[str], name: str) -> bool:
    """Whether a first width is given for a plane, if only one that cannot be read."""
    return any(text.rpartition("=")[0].strip() == name.strip() for text in first)


def _check(case: Case, plane: Plane, given: Mapping[str, int], wrong: list[str]) -> None:
    from solver.shape.spans import spans_at
    from solver.units import format_length

    def shown(ticks: int) -> str:
        return format_length(2 * ticks, case.units, case.mark, feet=True)

    if given["outside"] <= 0:
        wrong.append("--outside: a pipe has a diameter above 0")
    if not 0 <= given["near"] <= plane.width:
        wrong.append(f"--near {shown(given['near'])}: plane {plane.id} runs from 0 to "
                     f"{shown(plane.width)}")
    if "y" in given and not 0 <= given["y"] <= plane.length:
        wrong.append(f"--y {shown(given['y'])}: plane {plane.id} is {shown(plane.length)} up the "
                     "slope")
    shaped = plane.outline is not None or plane.lean is not None
    if shaped and "y" not in given:
        wrong.append(f"--y: plane {plane.id} is no plain rectangle, so how far it reaches hangs on "
                     "the height: say how far up the slope the pipe stands")
    elif plane.outline is not None and not any(
        low <= given["near"] <= high and low < high for low, high in spans_at(plane, given["y"])
    ):
        wrong.append(f"--near {shown(given['near'])}, --y {shown(given['y'])}: plane {plane.id} "
                     "has no roof there")
    if "base" in given and given["base"] < given["outside"]:
        wrong.append("--base: a flashing is at least as wide as its pipe")
    if given.get("x-tol", 0) < 0:
        wrong.append("--x-tol: give 0 or more")


def _plane(case: Case, option: str, name: str, wrong: list[str]) -> Plane | None:
    for plane in case.planes:
        if name in (plane.id, plane.id.strip()):
            return plane
    known = [plane.id for plane in case.planes]
    wrong.append(f'{option} "{name}": the case has no plane "{name}"; {nearest(name, known)}')
    return None


def _length(case: Case, name: str, text: str, wrong: list[str]) -> int:
    from solver.errors import LengthError
    from solver.units import parse_length

    try:
        return parse_length(text.strip(), case.units)
    except LengthError as error:
        wrong.append(f'--{name} "{text}" is no length; {error}')
        return 0
