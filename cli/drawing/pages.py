"""The sheets of a drawing: one for each stretch of the eave, then what is left of the schedule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cli.drawing.marks import Line, Mark, Text
from cli.drawing.plan import Plan
from cli.drawing.scale import ABOVE, MARGIN, SIDES, TITLE, Setting, below_high, setting_for
from cli.drawing.schedule import Words, schedule_of
from cli.drawing.table import Frame, Table
from cli.drawing.title import Sheet, title_marks
from cli.report.lines import clean
from solver.case import Case
from solver.drawing.parts import Scene

_GAP = 3.0
_BESIDE = 22.0
"""Between roof and schedule, and beyond a match-free end of the eave (mm)."""


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet: its upper left corner on the roof (ticks), what `clip` (x from, to) cuts off, what
    stands over it. `stretch` is None on a sheet that holds a part of the schedule only."""

    setting: Setting
    corner: tuple[float, float]
    stretch: tuple[int, int] | None
    clip: tuple[float, float]
    roof: tuple[Mark, ...]
    over: tuple[Mark, ...]


@dataclass
class _Draft:
    stretch: tuple[int, int] | None
    rows: list[int]
    notes: bool = False
    more: bool = False


def pages_of(case: Case, scene: Scene, *, layouts: int, proven: bool) -> tuple[Page, ...]:
    """All sheets of the drawing of one plane."""
    setting = setting_for(scene, case.panel.cover, case.units)
    words = Words(case)
    table = Table(schedule_of(case, scene), setting.paper.wide - 2 * MARGIN)
    drafts = _drafts(scene, setting, table)
    pages = []
    for number, draft in enumerate(drafts, 1):
        sheet = Sheet(number, len(drafts), layouts, proven)
        pages.append(_page(case, scene, setting, words, table, draft, sheet))
    return tuple(pages)


def _roof_high(scene: Scene, setting: Setting) -> float:
    return max(y for _, y in scene.outline) / setting.ticks(1)


def _drafts(scene: Scene, setting: Setting, table: Table) -> list[_Draft]:
    """Each row goes on the sheet of its stretch while there is room, else on sheets behind."""
    free = setting.paper.high - 2 * MARGIN - TITLE - ABOVE - below_high(scene, setting.scale)
    free -= _roof_high(scene, setting) + 2 * _GAP
    drafts, left = [], []
    pens = scene.penetrations
    for place, (low, high) in enumerate(setting.stretches):
        last = place == len(setting.stretches) - 1
        own = [row for row, one in enumerate(pens)
               if low <= one.stands.x < high or (last and one.stands.x >= high)]
        count = table.fits(own, free - table.notes_high) if own else 0
        drafts.append(_Draft((low, high), own[:count], bool(count), count < len(own)))
        left += own[count:]
    full = setting.paper.high - 2 * MARGIN - TITLE - _GAP - 6.0
    while left:
        count = max(table.fits(left, full - table.notes_high), 1)
        drafts.append(_Draft(None, left[:count], True, count < len(left)))
        left = left[count:]
    return drafts


def _page(
    case: Case, scene: Scene, setting: Setting, words: Words, table: Table, draft: _Draft,
    sheet: Sheet,
) -> Page:
    k = setting.ticks(1)
    inner = setting.paper.wide - 2 * MARGIN
    roof: list[Mark] = []
    over: list[Mark] = []
    if draft.stretch is None:
        frame = Frame(0.0, 0.0, k)
        clip = (0.0, 0.0)
        head = f"Schedule of plane {clean(scene.plane.id)}, continued"
        over.append(Text("SCHEDULE", frame.at(0, 3.2), head, 2.6 * k, bold=True))
        down = 6.0
    else:
        low, high = draft.stretch
        spare = (inner - (high - low) / k) / 2
        frame = Frame(low - spare * k, max(y for _, y in scene.outline) + ABOVE * k, k)
        drawn = Plan(words, scene, setting, draft.stretch).marks()
        roof, over = drawn.roof, drawn.over
        width = scene.plane.width
        clip = (low - (0.0 if low else (SIDES + _BESIDE) * k),
                high + (0.0 if high < width else (SIDES + _BESIDE) * k))
        over += _match_lines(scene, setting, draft.stretch)
        down = ABOVE + _roof_high(scene, setting) + below_high(scene, setting.scale) + _GAP
    if draft.rows:
        over += table.marks(frame.below(0, down), draft.rows)
        down += table.high(draft.rows)
    if draft.notes:
        over += table.note_marks(frame.below(0, down))
        down += table.notes_high
    if not scene.penetrations:
        over.append(Text("SCHEDULE", frame.at(0, down + 2.5), "No penetrations on this plane.",
                         2.2 * k))
    elif draft.more:
        over.append(Text("SCHEDULE", frame.at(inner, down + 1.6),
                         "The schedule continues on the next sheet.", 2.0 * k, "end",
                         role="leader"))
    foot = frame.below(0, setting.paper.high - 2 * MARGIN - TITLE)
    over += title_marks(case, scene, setting, sheet, foot, inner)
    return Page(setting, frame.at(-MARGIN, -MARGIN), draft.stretch, clip, tuple(roof), tuple(over))


def _match_lines(
    scene: Scene, setting: Setting, stretch: tuple[int, int]
) -> Sequence[Mark]:
    """Where a sheet's stretch begins or ends within the plane."""
    found: list[Mark] = []
    k, top = setting.ticks(1), float(max(y for _, y in scene.outline))
    place = setting.stretches.index(stretch) + 1
    for x, other, way in ((stretch[0], place - 1, -1), (stretch[1], place + 1, 1)):
        if not 0 < x < scene.plane.width:
            continue
        found.append(Line("TEXT", "centre", (x, -4 * k), (x, top + 24 * k)))
        at = (x + way * k * (1.4 if way < 0 else 3.2), top / 2)
        found.append(Text("TEXT", at, f"match line: continues on sheet {other}", 2.2 * k, "middle",
                          90))
    return found
