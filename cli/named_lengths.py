"""Options that name a thing of the case and give it a length: `--first S=11.5`."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solver.case import Case


def named_lengths(
    case: Case, option: str, thing: str, texts: Sequence[str], known: Sequence[str],
    wrong: list[str],
) -> dict[str, int]:
    """Lengths in ticks by id, from texts such as `S=11 1/2`; `thing` is PLANE or PEN.

    What cannot be read goes to `wrong`, a sentence each.
    """
    from solver.errors import LengthError
    from solver.units import parse_length

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
        try:
            read[name] = parse_length(length.strip(), case.units)
        except LengthError as error:
            wrong.append(f'{option} "{text}": "{length}" is no length; {error}')
    return read


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
