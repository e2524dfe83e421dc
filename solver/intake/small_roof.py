"""The few answers a small roof needs, each read on its own, and the case they make."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from solver.case import Case
from solver.case_file.entry_texts import read_text
from solver.case_file.load import case_from_document
from solver.case_file.pitch import read_pitch
from solver.intake.case_text import case_text
from solver.intake.drafts import Draft, PlaneDraft, Table
from solver.intake.pipe_text import length_fault
from solver.units import Units

PLANE: Final = "S"
USUAL_COVER: Final[dict[Units, str]] = {"in": "18", "mm": "450"}
"""Common practice, no source, in inches; within what the NZ Metal Roof and Wall Cladding Code of
Practice (read) gives for folded pans, 300 to 500 mm, in millimetres."""


def fault(key: str, text: str, units: Units) -> str:
    """What is wrong with the answer to one question; empty where it can be used."""
    try:
        if key == "title":
            read_text(text)
        elif key == "units":
            return "" if text in ("in", "mm") else "give in (inches) or mm (millimetres)"
        elif key == "pitch":
            read_pitch(text)
        else:
            return length_fault(text, units, above_0=True)
    except ValueError as error:
        return str(error)
    return ""


def small_roof(
    title: str, units: Units, width: str, length: str, cover: str, pitch: str,
    pipes: Sequence[Table],
) -> Draft:
    """A roof of one plane. Every answer must be one that `fault` finds nothing wrong with."""
    return Draft(
        title=title,
        units=units,
        cover=cover,
        planes=(PlaneDraft(PLANE, width, length, pitch=pitch),),
        penetrations=tuple(pipes),
        notes=("A case to go on from: change what does not fit, add what is missing.",),
    )


def loaded(text: str, file: str) -> Case:
    """The case that a text makes, told as `file` in what is wrong with it.

    Raises:
        CaseError: every problem of it.
    """
    return case_from_document(tomllib.loads(text, parse_float=Decimal), file=file)


def written(draft: Draft, file: str) -> str:
    """The text of a draft, once it is known to be a case.

    Raises:
        CaseError: it is none, as where a pipe stands off its plane; carries every problem.
    """
    text = case_text(draft)
    loaded(text, file)
    return text
