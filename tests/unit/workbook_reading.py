"""A workbook read by the standard library alone, as ECMA-376 lays it out (from memory): no code is
shared with the library that wrote it.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass
from decimal import Decimal
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True)
class Cell:
    """A value (None: empty), whether it is a formula, and how its style shows it."""

    value: str | Decimal | None
    formula: bool
    quoted: bool
    number_format: str


@dataclass(frozen=True)
class Sheet:
    """Rows of cells by heading, with what is frozen and how wide columns are."""

    headings: list[str]
    rows: list[dict[str, Cell]]
    frozen: str
    widths: list[float]


def read(data: bytes) -> dict[str, Sheet]:
    """Sheets by name, in the order of the book."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    links = {
        link.attrib["Id"]: link.attrib["Target"].lstrip("/")
        for link in ElementTree.fromstring(parts["xl/_rels/workbook.xml.rels"])
    }
    book = ElementTree.fromstring(parts["xl/workbook.xml"])
    strings = [
        _text(one) for one in ElementTree.fromstring(parts["xl/sharedStrings.xml"])
    ] if "xl/sharedStrings.xml" in parts else []
    styles = ElementTree.fromstring(parts["xl/styles.xml"])
    own = {one.attrib["numFmtId"]: one.attrib["formatCode"]
           for one in styles.iter(f"{MAIN}numFmt")}
    cell_styles = [
        (one.attrib.get("quotePrefix") in ("1", "true"), one.attrib["numFmtId"])
        for one in styles.find(f"{MAIN}cellXfs") or []
    ]
    # ECMA-376 part 1, 18.8.30: 0 General, 4 #,##0.00, 49 @
    known = {"0": "General", "4": "#,##0.00", "49": "@", **own}
    found = {}
    for sheet in book.iter(f"{MAIN}sheet"):
        path = links[sheet.attrib[RELATION]]
        root = ElementTree.fromstring(parts[path if path.startswith("xl/") else f"xl/{path}"])
        found[sheet.attrib["name"]] = _sheet(root, strings, cell_styles, known)
    return found


def _sheet(
    root: ElementTree.Element, strings: list[str], styles: list[tuple[bool, str]],
    known: dict[str, str],
) -> Sheet:
    grid: list[dict[str, Cell]] = []
    for row in root.iter(f"{MAIN}row"):
        cells = {}
        for one in row.iter(f"{MAIN}c"):
            column = re.sub(r"\d", "", one.attrib["r"])
            quoted, style = styles[int(one.attrib.get("s", "0"))]
            raw, inside = one.findtext(f"{MAIN}v"), one.find(f"{MAIN}is")
            kind = one.attrib.get("t", "n")
            value: str | Decimal | None = None
            if inside is not None:
                assert kind == "inlineStr"
                value = _text(inside)
            elif raw is not None:
                assert kind in ("s", "n"), kind
                value = strings[int(raw)] if kind == "s" else Decimal(raw)
            formula = one.find(f"{MAIN}f") is not None
            cells[column] = Cell(value, formula, quoted, known[style])
        grid.append(cells)
    heads = {column: str(cell.value) for column, cell in grid[0].items()}
    pane = next(root.iter(f"{MAIN}pane"))
    return Sheet(
        list(heads.values()),
        [{heads[column]: cell for column, cell in row.items()} for row in grid[1:]],
        pane.attrib["topLeftCell"] if pane.attrib["state"] == "frozen" else "",
        [float(one.attrib["width"]) for one in root.iter(f"{MAIN}col")],
    )


def _text(of: ElementTree.Element) -> str:
    raw = "".join(node.text or "" for node in of.iter(f"{MAIN}t"))
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), raw)
