"""What `solve` is asked to write, and to where: no two places may be in each other's way."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

from cli.failures import tell
from cli.files import STDOUT, refuse_sources, target_faults, write_text

if TYPE_CHECKING:
    from cli.out.contents import Made


@dataclass(frozen=True, slots=True)
class Targets:
    """Places as they were typed, None where nothing is wanted. `svg`, `dxf`, `out` are folders."""

    json: str | None = None
    page: str | None = None
    svg: str | None = None
    dxf: str | None = None
    out: str | None = None

    def files(self) -> Iterator[tuple[str, str]]:
        """Option and place of every file."""
        for option, place in (("--json", self.json), ("--page", self.page)):
            if place is not None:
                yield option, place

    def folders(self) -> Iterator[tuple[str, str]]:
        """Option and place of every folder."""
        for option, place in (("--svg", self.svg), ("--dxf", self.dxf), ("--out", self.out)):
            if place is not None:
                yield option, place

    @property
    def to_stdout(self) -> bool:
        """Whether a file takes the report's place on the screen."""
        return any(place == STDOUT for _, place in self.files())

    @property
    def more(self) -> bool:
        """Whether there is anything to make beside the result file."""
        return any(one is not None for one in (self.page, self.svg, self.dxf, self.out))


def faults(targets: Targets, case: str) -> list[str]:
    """Everything that is wrong with the places, before any work is done for them."""
    wrong = []
    for option, place in targets.files():
        wrong += target_faults(place, option, case)
    if any(True for _ in targets.folders()):
        from cli.out.folder import folder_faults

        for option, place in targets.folders():
            wrong += folder_faults(place, option, [case])
    if not wrong:
        wrong += _clashes(targets)
    return wrong


def refuse_all_sources(targets: Targets, sources: Iterable[str]) -> None:
    """Refuse places that would cost a file the case was read from.

    Raises:
        OptionError: such a place.
    """
    known = tuple(sources)
    for option, place in targets.files():
        refuse_sources(place, option, known)
    for option, place in targets.folders():
        from cli.out.folder import refuse_sources_in

        refuse_sources_in(place, option, known)


def _clashes(targets: Targets) -> Iterator[str]:
    files, folders = list(targets.files()), list(targets.folders())
    for (one, a), (other, b) in combinations([*files, *folders], 2):
        if STDOUT in (a, b):
            if a == b:
                yield f"{one} and {other}: both go to {a}; give two different places"
            continue
        first, second = Path(os.path.realpath(a)), Path(os.path.realpath(b))
        if first == second:
            yield f"{one} and {other}: both go to {a}; give two different places"
        elif first.is_relative_to(second):
            yield f"{one}: {a} lies in the folder of {other} ({b}); give a place outside it"
        elif second.is_relative_to(first):
            yield f"{other}: {b} lies in the folder of {one} ({a}); give a place outside it"


def write_made(targets: Targets, made: Made) -> None:
    """Write what was made; what could not be, for want of a layout, is told and left as it was.

    Raises:
        OutputError: something cannot be written.
    """
    from cli.out.folder import write_folder

    if targets.page is not None and made.page is not None:
        write_text(targets.page, made.page, "--page")
    for (option, place), files in zip(
        (("--svg", targets.svg), ("--dxf", targets.dxf), ("--out", targets.out)),
        (made.svg, made.dxf, made.out), strict=True,
    ):
        if place is None:
            continue
        if files is None:
            tell(f"{option}: {place} is not written: there is no layout to draw or list")
        else:
            write_folder(place, files, option)
