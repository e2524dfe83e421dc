"""What every DXF drawing holds before anything is drawn: units, layers, line types, styles."""

from __future__ import annotations

from importlib import import_module
from math import log2
from typing import Any, Final

from cli.drawing.marks import LAYERS, Layer
from cli.drawing.scale import Setting
from cli.look import ACCENT, FAINT, INK, PENS, QUIET, Role
from cli.report.lines import clean
from solver.case import Case
from solver.units import TICKS_PER, TICKS_PER_MM

STYLE: Final = "PLAIN"
DIMSTYLE: Final = "ALONG-EAVE"
RUNNING: Final = "RUNNING"
_LOOKS: Final[dict[Layer, Role]] = {
    "OUTLINE": "outline", "SEAMS": "seam", "CONTROL-LINES": "control", "PENETRATIONS": "body",
    "FLASHINGS": "base", "MOVED-FROM": "moved-from", "DIMENSIONS": "dimension", "GRID": "grid",
    "KEEP-OUT": "keepout", "ODD-PANELS": "odd", "STATES": "body", "TEXT": "text",
    "SCHEDULE": "text", "TITLE": "text",
}
_INDEX: Final = {INK: 7, QUIET: 8, FAINT: 9}
_WEIGHTS: Final = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70)
_INCHES, _MILLIMETRES = 1, 4
_DECIMAL, _ARCHITECTURAL = 2, 4
"""Codes of the DXF reference for $INSUNITS and for $LUNITS and DIMLUNIT."""


def library() -> Any:
    """ezdxf, loaded when a drawing is asked for and not before."""
    return import_module("ezdxf")


def new_document() -> Any:
    """An empty document."""
    document = library().new("R2010", setup=False)
    for name in ("ACDBPLACEHOLDER", "LAYOUT"):  # else written in the order of a set
        document.classes.add_class(name)
    return document


def rgb(colour: str) -> int:
    """A colour as DXF's true colour."""
    return int(colour.removeprefix("#"), 16)


def safe_text(text: str) -> str:
    """A text as data of a TEXT entity: nothing in it is a code of the format.

    Codes there begin with %%, ^ or a backslash, so a blank is put where one would begin.
    """
    plain = clean(text)
    for code in ("%%", "\\U+", "\\M+", "\\u+", "\\m+"):
        while code in plain:
            plain = plain.replace(code, f"{code[0]} {code[1:]}")
    return plain.replace("^", "^ ")


def setup(document: Any, case: Case, setting: Setting) -> None:
    """Units, line types, layers, text and dimension style for one case and scale."""
    inches, per = case.units == "in", TICKS_PER[case.units]
    header = document.header
    header["$INSUNITS"] = _INCHES if inches else _MILLIMETRES
    header["$MEASUREMENT"] = 0 if inches else 1
    header["$LUNITS"] = _ARCHITECTURAL if inches else _DECIMAL
    header["$LUPREC"] = _digits(case)
    mm = TICKS_PER_MM * setting.scale / per
    for role, pen in PENS.items():
        if pen.dashes:
            sizes = [dash * mm * (-1 if place % 2 else 1) for place, dash in enumerate(pen.dashes)]
            document.linetypes.add(
                role.upper(), pattern=[sum(pen.dashes) * mm, *sizes], description=role
            )
    for name in LAYERS:
        pen = PENS[_LOOKS[name]]
        layer = document.layers.add(name, color=_INDEX.get(pen.colour, 5))
        if pen.colour == ACCENT:
            layer.true_color = rgb(ACCENT)
        layer.dxf.lineweight = min(_WEIGHTS, key=lambda w: abs(w - round(pen.weight * 100)))
        if pen.dashes and name != "KEEP-OUT":
            layer.dxf.linetype = _LOOKS[name].upper()
    document.styles.add(STYLE, font="arial.ttf")
    _dimension_style(document, case, mm)


def _dimension_style(document: Any, case: Case, mm: float) -> None:
    inches = case.units == "in"
    values: dict[str, Any] = {
        "dimtxsty": STYLE, "dimtxt": 1.5 * mm, "dimgap": 0.6 * mm, "dimtsz": 0.8 * mm,
        "dimasz": 1.5 * mm, "dimexe": 1.2 * mm, "dimexo": 1.0 * mm, "dimdle": 0.0,
        "dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimtix": 0, "dimtofl": 1, "dimtmove": 2,
        "dimscale": 1.0, "dimlfac": 1.0, "dimrnd": 0.0, "dimdec": _digits(case),
        "dimlunit": _ARCHITECTURAL if inches else _DECIMAL, "dimfrac": 2,
        "dimzin": 3 if inches else 8, "dimdsep": ord("."),
        "dimclrd": 256, "dimclre": 256, "dimclrt": 256,  # as their layer says
    }
    for style, more in ((DIMSTYLE, {}), (RUNNING, {"dimtad": 0})):
        made = document.dimstyles.add(style)
        for name, value in (values | more).items():
            made.set_dxf_attrib(name, value)


def _digits(case: Case) -> int:
    """DIMDEC and $LUPREC that show every mark: a power of two below an inch, decimals of a mm."""
    if case.units == "in":
        parts = next(
            (n for n in (16, 32, 64) if case.mark * n % TICKS_PER["in"] == 0), 64
        )
        return round(log2(parts))
    return next((n for n in (0, 1, 2) if case.mark * 10**n % TICKS_PER_MM == 0), 2)
