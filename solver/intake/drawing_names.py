"""Ids for what a drawing shows: a block's attribute, a text near by, else a number."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from typing import Final

from solver.case_file.entry_texts import LONGEST_ID
from solver.intake.drawing_read import Block, Circle, Point, Ring, Text

_TAGS: Final = ("TAG", "ID", "MARK", "NAME", "NO", "NUMBER")
_LIKE_A_TAG: Final = re.compile(r"[^\W\d_]{1,6}[-. ]?\d{1,4}[^\W\d_]?")
_LONGEST_TAG: Final = 24
_MOST_CELLS: Final = 400
Ticks = tuple[int, int]


def plain_name(text: str) -> str:
    """A text of a drawing as an id: on one line, without what steers or hides; may be empty."""
    kept = "".join(
        " " if char.isspace() else char for char in text
        if char.isspace() or unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp")
    )
    return " ".join(kept.split())[:LONGEST_ID].strip()


class Names:
    """Gives each thing an id of its own; a text serves once, within `reach` ticks of a thing."""

    def __init__(
        self, texts: Sequence[Text], reach: int, at: Callable[[Point], Ticks]
    ) -> None:
        self.texts, self.reach, self.at = texts, reach, at
        self.used: list[Text] = []
        self.notes: list[str] = []
        self._gone: set[str] = set()
        self._taken: dict[str, set[str]] = {"plane": set(), "": set()}

    def use(self, text: Text) -> None:
        """Keep a text from naming anything else."""
        self._gone.add(text.handle)

    def unique(self, name: str, among: str = "") -> str:
        """The name, with a number behind it where something is called so already."""
        taken = self._taken[among]
        new, number = name, 1
        while new in taken:
            number += 1
            new = f"{name[: LONGEST_ID - 6]}-{number}"
        if new != name:
            self.notes.append(f'"{name}" names two things; one is called "{new}"')
        taken.add(new)
        return new

    def next_free(self, letter: str) -> str:
        """The first number that nothing is called by."""
        taken, number = self._taken[""], 1
        while f"{letter}{number}" in taken:
            number += 1
        taken.add(f"{letter}{number}")
        self.notes.append(f'nothing near names the one called "{letter}{number}"')
        return f"{letter}{number}"

    def of(
        self, sources: Sequence[Ring | Circle | Block], places: Sequence[Ticks],
        sizes: Sequence[Ticks],
    ) -> list[str]:
        """An id for each thing, empty where neither an attribute nor a text says one.

        Texts on the thing's own layer come first, then texts elsewhere that look like a tag; of
        each the nearest pair first, measured from the thing's edge. `places` are centres, `sizes`
        widths and heights, in ticks.
        """
        names = [_attribute(one) if isinstance(one, Block) else "" for one in sources]
        for own_layer in (True, False):
            for thing, text in self._pairs(sources, places, sizes, names, own_layer):
                if names[thing] or text.handle in self._gone:
                    continue
                names[thing] = plain_name(text.text)
                self.use(text)
                self.used.append(text)
        return [self.unique(name) if name else "" for name in names]

    def _pairs(
        self, sources: Sequence[Ring | Circle | Block], places: Sequence[Ticks],
        sizes: Sequence[Ticks], names: Sequence[str], own_layer: bool,
    ) -> list[tuple[int, Text]]:
        cells: dict[Ticks, list[int]] = {}
        for thing, (place, size) in enumerate(zip(places, sizes, strict=True)):
            for cell in [] if names[thing] else self._cells(place, size):
                cells.setdefault(cell, []).append(thing)
        pairs = []
        for number, text in enumerate(self.texts):
            name = plain_name(text.text)
            if not name or len(name) > _LONGEST_TAG or text.handle in self._gone:
                continue
            x, y = self.at(text.at)
            for thing in cells.get((x // self.reach, y // self.reach), ()):
                (cx, cy), (wide, high) = places[thing], sizes[thing]
                beside, above = (max(abs(x - cx) - wide // 2, 0), max(abs(y - cy) - high // 2, 0))
                far = beside**2 + above**2
                fits = (
                    text.layer == sources[thing].layer if own_layer
                    else _LIKE_A_TAG.fullmatch(name) is not None
                )
                if fits and far <= self.reach**2:
                    pairs.append((far, thing, number, text))
        return [(thing, text) for _, thing, _, text in sorted(pairs, key=lambda pair: pair[:3])]

    def _cells(self, place: Ticks, size: Ticks) -> list[Ticks]:
        """The squares of the drawing, `reach` wide, in which a text could name a thing."""
        low = [(at - over // 2) // self.reach - 1 for at, over in zip(place, size, strict=True)]
        high = [(at + over // 2) // self.reach + 2 for at, over in zip(place, size, strict=True)]
        if (high[0] - low[0]) * (high[1] - low[1]) > _MOST_CELLS:  # as large as a roof: no tag near
            return [(place[0] // self.reach, place[1] // self.reach)]
        return [(across, up) for across in range(low[0], high[0]) for up in range(low[1], high[1])]


def _attribute(block: Block) -> str:
    """The attribute that is called a tag, else the first that says anything."""
    by_tag = {tag.upper(): plain_name(text) for tag, text in block.attributes}
    for tag in _TAGS:
        if by_tag.get(tag):
            return by_tag[tag]
    return next((name for name in by_tag.values() if name), "")
