"""Options that name a thing of the case and give it a length: `--first S=11.5`, `--odd S=23:12`."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solver.case import Case, Plane

_MOST_DIGITS = 9


def named_lengths(
    case: Case, option: str, thing: str, texts: Sequence[str], known: Sequence[str],
    wrong: list[str],
) -> dict[str, int]:
    """Lengths in ticks by id, from texts such as `S=11 1/2`; `thing` is PLANE or PEN.

    What cannot be read goes to `wrong`, a sentence each.
    """
    kind = "plane" if thing == "PLANE" else "penetration"
    names = set(known)
    read: dict[str, int] = {}
    for text in texts:
        # An id may hold "=", a length never does: the last one parts the two.
        name, sign, length = text.rpartition("=")
        if not sign or not name:
            wrong.append(f'{option} "{text}": write {thing}=LENGTH, such as {_sample(known)}')
            continue
        name = name if name in names else name.strip()
        if name not in names:
            wrong.append(f'{option} "{text}": the case has no {kind} "{name}"; '
                         f"{nearest(name, known)}")
            continue
        if name in read:
            wrong.append(f'{option}: {kind} "{name}" is given twice; give it once')
            continue
        ticks = _length(case, option, text, length, wrong)
        if ticks is not None:
            read[name] = ticks
    return read


def numbered_lengths(
    case: Case, option: str, thing: str, texts: Sequence[str], wrong: list[str]
) -> dict[str, dict[int, int]]:
    """Lengths in ticks by plane and number, from texts such as `S=23:12 1/2`.

    `thing` says what is numbered: "panel" or "stretch". What cannot be read goes to `wrong`, a
    sentence each.
    """
    planes = {plane.id: plane for plane in case.planes}
    known = list(planes)
    shape = f"PLANE={thing.upper()}:LENGTH"
    read: dict[str, dict[int, int]] = {}
    for text in texts:
        # An id may hold "=" and ":", what follows the last "=" is a number, ":" and a length.
        name, sign, rest = text.rpartition("=")
        number, colon, length = rest.partition(":")
        if not sign or not name or not colon:
            sample = f"{known[0] if known else 'S'}=3:{'12 1/2' if thing == 'panel' else '+1/64'}"
            wrong.append(f'{option} "{text}": write {shape}, such as {sample}')
            continue
        name = name if name in planes else name.strip()
        if name not in planes:
            wrong.append(f'{option} "{text}": the case has no plane "{name}"; '
                         f"{nearest(name, known)}")
            continue
        count = _number(option, text, thing, number, planes[name], wrong)
        ticks = _length(case, option, text, length, wrong)
        if count is None:
            continue
        if count in read.get(name, {}):
            wrong.append(f'{option}: {thing} {count} of plane "{name}" is given twice; '
                         "give it once")
        elif ticks is not None:
            read.setdefault(name, {})[count] = ticks
    return read


def _number(
    option: str, text: str, thing: str, number: str, plane: Plane, wrong: list[str]
) -> int | None:
    """The number of a panel or stretch: from 1, and below 0 on a plane laid both ways."""
    plain = number.strip()
    if not (plain.isascii() and plain.removeprefix("-").isdigit() and len(plain) <= _MOST_DIGITS):
        wrong.append(f'{option} "{text}": "{plain}" is no number of a {thing}; they are counted '
                     f"from 1")
        return None
    count = int(plain)
    if count == 0 or (count < 0 and plane.start is None):
        side = "" if plane.start is None else f", minus towards the {plane.low_end}"
        wrong.append(f'{option} "{text}": there is no {thing} {count}; on plane "{plane.id}" they '
                     f"are counted from 1{side}")
        return None
    return count


def _length(case: Case, option: str, text: str, length: str, wrong: list[str]) -> int | None:
    from solver.errors import LengthError
    from solver.units import parse_length

    try:
        return parse_length(length.strip(), case.units)
    except LengthError as error:
        wrong.append(f'{option} "{text}": "{length}" is no length; {error}')
        return None


def _sample(known: Sequence[str]) -> str:
    return f"{known[0]}=11.5" if known else "S=11.5"


def nearest(name: str, known: Iterable[str]) -> str:
    """A hint for a name that is not known."""
    known = list(known)
    if not known:
        return "it has none"
    close = difflib.get_close_matches(name[:80], known, n=1)
    if close:
        return f'the nearest is "{close[0]}"'
    more = f" and {len(known) - 12:,} more" if len(known) > 12 else ""
    return f"it has {', '.join(known[:12])}{more}"
