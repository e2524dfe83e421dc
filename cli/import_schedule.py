"""The part of `offseam import` that takes penetrations from a schedule."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cli.failures import OptionError, escaped, tell
from cli.files import STDOUT, write_stdout, write_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.intake.drafts import Table


def take_schedule(
    source: str, out: str | None, toml: str | None, plane: str | None, column: list[str],
    sheet: str | None, units: str | None,
) -> None:
    """Take the penetrations of a schedule into a CSV (`out`) or to the end of a case (`toml`).

    Raises:
        CaseError: the schedule or the case cannot be read, or rows are wrong; every problem.
        OptionError: columns or a plane are missing, or named that there are not.
    """
    from cli.intake_words import schedule_lines
    from solver.intake.schedule_columns import find_columns, read_named
    from solver.intake.schedule_read import read_schedule
    from solver.intake.schedule_rows import read_rows

    named, wrong = read_named(column)
    if plane is not None:
        from solver.case_file.entry_texts import read_id

        try:
            read_id(plane)
        except ValueError as error:
            wrong.append(f'--plane "{plane}": {error}')
    if wrong:
        raise OptionError(*wrong)
    schedule = read_schedule(Path(source), sheet)
    columns, wrong = find_columns(schedule, named)
    if plane is None and columns.at("plane") is None:
        wrong.append("--plane is missing: no column says the plane; give the id of the plane the "
                     "rows stand on")
    if wrong:
        raise OptionError(*(f"{schedule.file}: {says}" for says in wrong))
    rows = read_rows(schedule, columns, plane, units)
    if not rows.tables:
        others = ", ".join(rows.others)
        raise OptionError(f'--plane "{plane}": no row stands on it; the rows stand on {others}; '
                          "--column plane= takes no notice of that" if others else
                          f"{schedule.file}: below row {columns.header} there is no penetration")
    lines = schedule_lines(schedule, columns, rows)
    count = f"{len(rows.tables):,} penetration{'s' * (len(rows.tables) != 1)}"
    if toml is not None:
        _append(toml, rows.tables)
        lines.append(f"put {count} at the end of {toml}")
    elif out is not None:
        from cli.intake_csv import penetrations_csv

        text, notes = penetrations_csv(rows.tables)
        write_text(out, text, "--out")
        lines += notes
        if units is None and any(_is_bare(table) for table in rows.tables):
            lines.append("bare numbers stay bare, and count in the units of the case")
        lines.append(f"wrote {out}: {count}" if out != STDOUT else count)
        lines.append(f'in the case beside it: penetrations_csv = "{Path(out).name}"'
                     if out != STDOUT else "name the file in a case with penetrations_csv")
    put_out_account(lines, out or "")


def _is_bare(table: Table) -> bool:
    """Whether a number of it has no unit."""
    from solver.intake.case_text import length_value

    lengths = ("x", "y", "outside", "base", "across", "along")
    return any(not length_value(table[key]).startswith('"') for key in lengths if key in table)


def _append(toml: str, tables: Sequence[Table]) -> None:
    """Put tables at the end of a case, if it is a case then; else it stays as it is.

    Raises:
        CaseError: the case cannot be read, or is none with them; carries every problem.
        OptionError: it is written in JSON.
    """
    from solver.case_file import load_file
    from solver.case_file.load import case_from_document
    from solver.case_file.load_report import printable
    from solver.intake.case_text import penetrations_text

    file = printable(toml, most=200)
    data = load_file.read_bytes(Path(toml), file)
    document = load_file.parse(data, file, Path(toml).suffix)
    old = data.decode("utf-8")
    if Path(toml).suffix.lower() == ".json" or old.lstrip("\ufeff \t\r\n").startswith("{"):
        raise OptionError(f"--toml: {toml} is written in JSON; write a CSV with --out and name it "
                          "in the case with penetrations_csv")
    if isinstance(document.get("penetration"), list) and "[[penetration]]" not in old:
        raise OptionError(f"--toml: {toml} writes its penetrations as one list; write them as "
                          "[[penetration]] tables, or write a CSV with --out")
    added = penetrations_text(tuple(tables)) + "\n"
    if "\r\n" in old:
        added = added.replace("\n", "\r\n")
    new = old + ("" if old.endswith("\n") else "\n") + added
    case_from_document(load_file.parse(new.encode("utf-8"), file, ".toml"), file=file,
                       beside=Path(toml).parent)
    write_text(toml, new, "--toml")


def put_out_account(lines: list[str], out: str) -> None:
    """Print what was done; where the file itself is printed, beside it on standard error."""
    text = escaped("\n".join(lines))
    if out == STDOUT:
        tell(text)
        return
    write_stdout((text + "\n").encode("utf-8", "backslashreplace"))
