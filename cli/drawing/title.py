"""The strip at the foot of a sheet: cautions, what the signs mean, title block."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from cli.drawing.marks import Line, Mark, Polygon, SignAt, Text, fit, wrapped
from cli.drawing.scale import TITLE, Setting
from cli.drawing.schedule import Words
from cli.drawing.table import Frame
from cli.look import SIGNS, STATE_WORD
from cli.report.closing import CAUTIONS
from cli.report.lines import clean
from solver.case import Case
from solver.drawing.parts import Scene

TO_VERIFY: Final = "POSITIONS TO BE VERIFIED ON SITE BEFORE ANYTHING IS CUT"
_LEGEND: Final = 50.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a title block says of its sheet: which of how many, how many layouts there are, whether
    this one is proven; `scaled`: whether it is printed to scale."""

    number: int
    count: int
    layouts: int
    proven: bool
    scaled: bool = True


def title_marks(
    case: Case, scene: Scene, setting: Setting, sheet: Sheet, frame: Frame, wide: float
) -> Iterator[Mark]:
    """The strip, `wide` millimetres wide and `TITLE` high, below and right of the frame."""
    block = min(wide * 0.4, 150.0)
    middle = wide - block - _LEGEND
    yield _box(frame, 0, wide)
    for right in (middle, wide - block):
        yield Line("TITLE", "frame", frame.at(right, 0), frame.at(right, TITLE))
    yield from _cautions(frame, middle)
    yield from _legend(frame.below(middle, 0))
    yield from _block(case, scene, setting, sheet, frame.below(wide - block, 0), block)


def _box(frame: Frame, left: float, right: float) -> Polygon:
    return Polygon("TITLE", "frame", (
        frame.at(left, 0), frame.at(right, 0), frame.at(right, TITLE), frame.at(left, TITLE)))


def _cautions(frame: Frame, wide: float) -> Iterator[Mark]:
    k = frame.k
    lines = wrapped(TO_VERIFY, (wide - 3) / 1.1, 2.3)
    down = 3.4
    for line in lines:
        yield Text("TITLE", frame.at(1.5, down), line, 2.3 * k, bold=True, role="arrow")
        down += 3.1
    size = 1.9
    texts = [line for caution in CAUTIONS for line in wrapped(caution, wide - 3, size)]
    if len(texts) * size * 1.28 > TITLE - down:
        size = 1.65
        texts = [line for caution in CAUTIONS for line in wrapped(caution, wide - 3, size)]
    for line in texts:
        if down > TITLE - 0.4:
            break
        yield Text("TITLE", frame.at(1.5, down), line, size * k)
        down += size * 1.3


def _legend(frame: Frame) -> Iterator[Mark]:
    k = frame.k
    down = 3.4
    for kind, state in SIGNS:
        word = STATE_WORD[state] if state != "clear" else f"{kind}, clear"
        if kind == "curb" and state == "spans":
            word = "curb, cuts a seam"
        elif kind == "curb" and state == "crowded":
            word = "curb, crowded"
        yield SignAt(kind, state, frame.at(3, down - 0.7), 1.05 * k)
        yield Text("TITLE", frame.at(5.4, down), word, 1.8 * k)
        down += 3.35
    down = 3.4
    x_1, x_2, x_3 = 27.5, 33.5, 34.7
    for role, word in (("seam", "seam"), ("control", "control line"), ("grid", "grid line"),
                       ("keepout", "keep-out"), ("moved-from", "as drawn"), ("arrow", "moved to"),
                       ("leader", "tag")):
        if role == "leader":
            break
        yield Line("TITLE", role, frame.at(x_1, down - 0.6),  # type: ignore[arg-type]
                   frame.at(x_2, down - 0.6), arrow=1.5 * k if role == "arrow" else 0)
        yield Text("TITLE", frame.at(x_3, down), word, 1.8 * k)
        down += 3.35
    for line in ("outer circle: flashing", "inner circle: pipe"):
        yield Text("TITLE", frame.at(x_1, down), line, 1.65 * k, role="leader")
        down += 2.8


def _block(
    case: Case, scene: Scene, setting: Setting, sheet: Sheet, frame: Frame, wide: float
) -> Iterator[Mark]:
    k, words = frame.k, Words(case)
    title = fit(clean(case.title).strip() or "(no title)", wide - 3, 3.2, bold=True)
    yield Text("TITLE", frame.at(1.5, 4.6), title, 3.2 * k, bold=True)
    plane = fit(f"Plane {clean(scene.plane.id)}", wide - 3, 2.9, bold=True)
    yield Text("TITLE", frame.at(1.5, 9.0), plane, 2.9 * k, bold=True)
    proof = "proven" if sheet.proven else "not proven best"
    scale = f"{setting.says} on {setting.paper.name}" if sheet.scaled else (
        f"drawn full size; texts for {setting.says}")
    laid = "both ways from seam 0" if scene.start.kind == "line" else (
        f"from {clean(scene.start.says())}")
    rows = (
        ("layout", f"{scene.rank} of {sheet.layouts}, {proof}"),
        ("revision", clean(case.revision) or "none given"),
        ("date", clean(case.date) or "none given"),
        ("units", "feet and inches" if case.units == "in" else "millimetres"),
        ("scale", scale),
        ("panels", f"cover {words.full(case.panel.cover)}, laid {laid}"),
        ("sheet", f"{sheet.number} of {sheet.count}"),
    )
    down = 12.4
    yield Line("TITLE", "rule", frame.at(0, 10.3), frame.at(wide, 10.3))
    for name, says in rows:
        yield Text("TITLE", frame.at(1.5, down), name, 1.9 * k, role="leader")
        yield Text("TITLE", frame.at(16, down), fit(says, wide - 18, 2.1), 2.1 * k)
        down += 2.85
