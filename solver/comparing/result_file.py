"""Reading a result file back: strictly, and every way it can be wrong in a sentence.

Only what a comparison needs is read; keys it does not know are passed over. Lengths become ticks,
money becomes cents.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Any, Final, Literal, NoReturn

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from solver.case import RATE_NAMES
from solver.case_file.load_file import decoded, read_bytes
from solver.document import FORMAT
from solver.errors import CaseError, LengthError, Problem
from solver.result import COUNT_NAMES
from solver.units import TICKS_PER, Units, parse_length

HOW: Final = "write it with offseam solve CASE --json FILE"
_MOST_DIGITS: Final = 30
Money = Annotated[float, Field(ge=-1e12, le=1e12)]
Count = Annotated[int, Field(ge=0, le=10**9)]
Number = Annotated[int, Field(ge=-(10**9), le=10**9)]
LATER_RATES: Final = frozenset({"play", "off_centre", "unlanded", "area"})
"""Rates that files of earlier versions lack: nothing was charged by them then."""
LATER_COUNTS: Final = frozenset({"off_centre", "unlanded", "stock"})
"""Counts that files of earlier versions lack, `stock` also those of cases that charge no sheets."""


class _Model(BaseModel):
    model_config = ConfigDict(strict=True, extra="ignore", allow_inf_nan=False, frozen=True)


class FileOdd(_Model):
    """A panel of odd width: its number, its width, and where it lies along x."""

    panel: Number
    width: float
    low: float
    high: float


class FileStretch(_Model):
    """A stretch between control lines; `change` is how much wider its full panels are laid."""

    stretch: Number
    panels: list[Number]
    full: Count
    module: float
    change: float


class FilePlane(_Model):
    """A plane of a layout, lengths in the file's units.

    `line` is where the line stands that a plane laid both ways is laid from. Files written before
    there were such planes, odd panels or play have none of these.
    """

    id: str
    first: float
    last: float
    panels: Count
    seams: list[float]
    window: list[float] | None = None
    low_end: str | None = None
    high_end: str | None = None
    line: float | None = Field(default=None, alias="from")
    odd: list[FileOdd] = []
    stretches: list[FileStretch] = []


class FilePenetration(_Model):
    """A penetration of a layout, lengths in the file's units."""

    id: str
    plane: str
    x: float
    moved: float
    state: str
    seams_cut: Count = 0
    at_risk: bool = False


class FileLink(_Model):
    """Whether the seams of two planes meet."""

    planes: list[str]
    meet: bool
    strays: float = 0


class FileCost(_Model):
    """Money in currency units."""

    total: Money
    flashing: Money
    moves: Money
    odd_panels: Money
    look: Money
    play: Money = 0
    stock: Money = 0


class FileLayout(_Model):
    """One layout of a result file."""

    proof: str | None = None
    cost: FileCost
    counts: dict[str, Count]
    planes: list[FilePlane]
    links: list[FileLink] = []
    penetrations: list[FilePenetration]


class FileFinding(_Model):
    """One finding."""

    code: str
    severity: str
    about: list[str]
    says: str


class FileRates(_Model):
    """The rates used: numbers for the two hours, tables of numbers for the others."""

    used: dict[str, float | dict[str, float]]
    default: list[str]


class ResultFile(_Model):
    """A result file as far as a comparison needs it."""

    format: Literal["offseam-result-1"]
    title: str
    units: Literal["in", "mm"]
    cover: float | None = None
    revision: str = ""
    date: str = ""
    case_sha256: str = ""
    rates: FileRates
    layouts: list[FileLayout]
    findings: list[FileFinding]


def read_result(path: str) -> ResultFile:
    """A result file of `offseam solve` or `offseam check`.

    Raises:
        CaseError: unreadable, not JSON, no result file, or one whose values have no meaning; one
            sentence for each thing that is wrong, up to eight.
    """
    data = read_bytes(Path(path), path, "result")
    text = decoded(data)
    if text is None:
        _refuse(path, f"it is no UTF-8 text, so it is no result file; {HOW}")
    document = _parse(text, path)
    if not isinstance(document, dict) or "format" not in document:
        _refuse(path, f"it is JSON but no result file: it has no format; {HOW}")
    if document["format"] != FORMAT:
        shown = _shown(document["format"])
        _refuse(path, f"its format is {shown}, not \"{FORMAT}\"; {HOW}")
    try:
        found = ResultFile.model_validate(document)
    except ValidationError as error:
        raise CaseError(_problems(path, error)) from None
    wrong = [*_meaningless(found)]
    if wrong:
        raise CaseError([Problem(path, "", "", "", says) for says in wrong[:8]])
    return found


def _parse(text: str, path: str) -> Any:
    try:
        return json.loads(text, parse_constant=_no_constant, parse_int=_whole)
    except json.JSONDecodeError as error:
        what = "the file is empty" if not text.strip() else (
            f"it is not JSON: {error.msg} at line {error.lineno}, column {error.colno}"
        )
        _refuse(path, f"{what}; {HOW}")
    except RecursionError:
        _refuse(path, f"it is nested too deeply for a result file; {HOW}")
    except ValueError as error:
        _refuse(path, f"it holds a number that is none: {error}; {HOW}")


def _no_constant(text: str) -> NoReturn:
    raise ValueError(text)


def _whole(text: str) -> int:
    if len(text) > _MOST_DIGITS:
        raise ValueError(f"{text[:12]}… has {len(text)} digits")
    return int(text)


def _problems(path: str, error: ValidationError) -> list[Problem]:
    problems = []
    for one in error.errors(include_url=False)[:8]:
        parts = [f"entry {p + 1}" if isinstance(p, int) else _shown(p)[1:-1] for p in one["loc"]]
        want = "it is missing" if one["type"] == "missing" else (
            f"it is {_shown(one['input'])}, and that will not do "
            f"({one['msg'][:1].lower()}{one['msg'][1:]})"
        )
        problems.append(Problem(path, "", ", ".join(parts), "", f"{want}; {HOW}"))
    return problems


def _meaningless(found: ResultFile) -> list[str]:
    """What the shape alone does not rule out: lengths beyond reason, ids that stand twice."""
    wrong = []
    if found.cover is not None and not 0 < found.cover <= 1e6:
        wrong.append(f"its cover is {found.cover:g} {found.units}: a cover is above 0, up to 1 km")
    for rank, layout in enumerate(found.layouts, 1):
        lengths = [v for p in layout.planes for v in _lengths(p)]
        lengths += [v for p in layout.penetrations for v in (p.x, p.moved)]
        lengths += [link.strays for link in layout.links]
        for value in lengths:
            try:
                parse_length(value, found.units)
            except LengthError as error:
                wrong.append(f"layout {rank} has a length of {value:g} {found.units}: {error}")
        for kind, ids in (
            ("plane", [p.id for p in layout.planes]),
            ("penetration", [p.id for p in layout.penetrations]),
        ):
            twice = sorted({name for name in ids if ids.count(name) > 1}) if (
                len(set(ids)) < len(ids)) else []
            wrong += [f"layout {rank} has {kind} {_shown(name)} twice" for name in twice]
        planes = {p.id for p in layout.planes}
        wrong += [
            f"layout {rank}: penetration {_shown(p.id)} stands on plane {_shown(p.plane)}, which "
            "the layout does not have" for p in layout.penetrations if p.plane not in planes
        ]
        wrong += [
            f"layout {rank}, plane {_shown(p.id)}: a window is two lengths"
            for p in layout.planes if p.window is not None and len(p.window) != 2
        ]
        wrong += [
            f"layout {rank}, plane {_shown(p.id)}: a stretch runs from one panel to another"
            for p in layout.planes if any(len(s.panels) != 2 for s in p.stretches)
        ]
        missing = [
            name for name in COUNT_NAMES
            if name not in layout.counts and name not in LATER_COUNTS
        ]
        if missing:
            wrong.append(f"layout {rank} lacks the counts {', '.join(missing)}")
    absent = [
        name for name in RATE_NAMES if not isinstance(found.rates.used.get(name), dict)
        and (name in found.rates.used or name not in LATER_RATES)
    ]
    if absent:
        wrong.append(f"the rates used lack {', '.join(absent)}")
    return wrong


def _lengths(plane: FilePlane) -> list[float]:
    """Every length of a plane."""
    lengths = [plane.first, plane.last, *plane.seams, *(plane.window or ())]
    lengths += [v for odd in plane.odd for v in (odd.width, odd.low, odd.high)]
    lengths += [v for stretch in plane.stretches for v in (stretch.module, stretch.change)]
    return lengths if plane.line is None else [*lengths, plane.line]


def ticks(value: float, units: Units) -> int:
    """A length of the file in ticks."""
    return parse_length(value, units)


def cents(value: float) -> int:
    """An amount of the file in cents."""
    return round(value * 100)


def exact_mark(value: int, units: Units) -> int:
    """The coarsest usual mark (ticks) that shows a length: 1/64 in; 1 mm or 1/10 mm."""
    per = TICKS_PER[units]
    if units == "in":
        return per // 64
    return per if value % per == 0 else per // 10


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else repr(value)
    return f'"{text[:40]}…"' if len(text) > 40 else f'"{text}"'


def _refuse(path: str, says: str) -> NoReturn:
    raise CaseError([Problem(path, "", "", "", says)])
