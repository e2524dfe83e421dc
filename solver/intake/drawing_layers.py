"""On which layers of a drawing the outlines, the pipes and the curbs are: as named, or guessed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from solver.case_file.load_report import nearest, printable
from solver.intake.drawing_read import Drawing, Ring

_WORDS: Final = {
    "outline": ("outline", "roof", "plane", "slope", "perimeter"),
    "pipe": ("pipe", "vent", "plumb", "penetr", "stack", "flue", "vtr"),
    "curb": ("curb", "kerb", "hatch", "skylight", "unit", "mech", "equip", "rtu"),
}


@dataclass(frozen=True, slots=True)
class Layers:
    """Layer names by what is drawn on them, and a sentence on each guess."""

    outline: tuple[str, ...]
    pipe: tuple[str, ...]
    curb: tuple[str, ...]
    guesses: tuple[str, ...] = ()


def layers_of(
    drawing: Drawing, named: dict[str, Sequence[str]]
) -> tuple[Layers, list[str]]:
    """The layers, and what is wrong with those named: a sentence each, with its option.

    `named` has "outline", "pipe" and "curb", each empty where it is to be guessed.
    """
    known = {layer.casefold(): layer for layer in drawing.layers()}
    wrong: list[str] = []
    found: dict[str, tuple[str, ...]] = {}
    for what, names in named.items():
        for name in names:
            if name.casefold() not in known:
                wrong.append(f'--{what}-layer "{printable(name)}": nothing is drawn on such a '
                             f"layer; {nearest(name, known.values())}")
        found[what] = tuple(dict.fromkeys(
            known[name.casefold()] for name in names if name.casefold() in known
        ))
    guesses: list[str] = []
    for what, guess in (("outline", _outline), ("pipe", _pipe), ("curb", _curb)):
        if named[what]:
            continue
        layer = guess(drawing, found)
        found[what] = (layer,) if layer is not None else ()
        guesses.append(
            f'{what} layer guessed: "{printable(layer)}" (--{what}-layer names another)'
            if layer is not None
            else f"no {what} layer found (--{what}-layer names one)"
        )
    return Layers(found["outline"], found["pipe"], found["curb"], tuple(guesses)), wrong


def is_rectangle(points: Sequence[tuple[Fraction, Fraction]]) -> bool:
    """Whether four corners stand square to the drawing, to a thousandth of its size."""
    corners = list(points[:-1] if len(points) == 5 and points[0] == points[-1] else points)
    if len(corners) != 4:
        return False
    xs, ys = zip(*corners, strict=True)
    near = max(max(xs) - min(xs), max(ys) - min(ys)) / 1000
    return all(
        min(x - min(xs), max(xs) - x) <= near and min(y - min(ys), max(ys) - y) <= near
        for x, y in corners
    ) and min(max(xs) - min(xs), max(ys) - min(ys)) > 2 * near


def _outline(drawing: Drawing, _: dict[str, tuple[str, ...]]) -> str | None:
    """The layer of the largest closed ring, among layers that are called so if there are any."""
    rings = [ring for ring in drawing.rings if not ring.fault]
    called = [ring for ring in rings if _is_called("outline", ring.layer)]
    best = max(called or rings, key=lambda ring: _size(ring), default=None)
    return best.layer if best else None


def _pipe(drawing: Drawing, _: dict[str, tuple[str, ...]]) -> str | None:
    counted = Counter(circle.layer for circle in drawing.circles)
    counted.update(block.layer for block in drawing.blocks if block.circles)
    return _most(counted, lambda layer: _is_called("pipe", layer))


def _curb(drawing: Drawing, found: dict[str, tuple[str, ...]]) -> str | None:
    """A layer that is called so; else one, not that of the outlines, that has rectangles only."""
    rings: dict[str, list[Ring]] = {}
    for ring in drawing.rings:
        rings.setdefault(ring.layer, []).append(ring)
    counted = Counter({layer: len(on) for layer, on in rings.items()})
    counted.update(block.layer for block in drawing.blocks)
    called = Counter({layer: n for layer, n in counted.items() if _is_called("curb", layer)})
    if called:
        return _most(called, lambda _: True)
    plain = Counter({
        layer: len(on) for layer, on in rings.items()
        if layer not in found["outline"] and all(is_rectangle(ring.points) for ring in on)
    })
    return _most(plain, lambda _: True)


def _most(counted: Counter[str], called: Callable[[str], bool]) -> str | None:
    return min(counted, key=lambda name: (not called(name), -counted[name], name), default=None)


def _is_called(what: str, layer: str) -> bool:
    plain = layer.casefold()
    return any(word in plain for word in _WORDS[what])


def _size(ring: Ring) -> Fraction:
    xs, ys = zip(*ring.points, strict=True)
    return Fraction((max(xs) - min(xs)) * (max(ys) - min(ys)))
