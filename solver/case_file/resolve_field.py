"""What [field], [movement] and [plane.survey] come to: every default filled in."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from solver.case import Panel
from solver.case_file.defaults import LENGTHS
from solver.case_file.entries_field import (
    SURFACES,
    FieldEntry,
    MovementEntry,
    SurveyEntry,
    in_kelvin,
)
from solver.case_parts import Field, Movement, Offset, Survey
from solver.units import Units


def field(entry: FieldEntry, panel: Panel, units: Units) -> Field:
    """What the crew works to; a tape hooks the near face of the seam's leg.

    Control lines stand on seams, so none is nearer than a cover.
    """
    lengths = LENGTHS[units]
    return Field(
        tape_mark=panel.seam_back if entry.tape_mark is None else entry.tape_mark,
        control=max(lengths["control"], panel.cover) if entry.control is None else entry.control,
        closing=lengths["closing"] if entry.closing is None else entry.closing,
        hook=lengths["hook"] if entry.hook is None else entry.hook,
    )


def movement(entry: MovementEntry) -> Movement | None:
    """How far temperatures go either way (kelvin); None where the entry does not say."""
    either = differences(entry)
    if either is None:
        return None
    return Movement(*either, entry.fixed, given=True)


def differences(entry: MovementEntry) -> tuple[Decimal, Decimal] | None:
    """Warmer and colder (kelvin): as given, or half of a range each."""
    if entry.warmer is not None and entry.colder is not None:
        return entry.warmer, entry.colder
    whole = SURFACES[entry.surface] if entry.surface else entry.range
    if whole is None:
        return None
    half = in_kelvin(Fraction(whole) / 2)
    return half, half


def survey(entry: SurveyEntry) -> Survey:
    """What was taped of a plane (ticks)."""
    return Survey(
        eave=entry.eave,
        ridge=entry.ridge,
        low_rake=entry.low_rake,
        high_rake=entry.high_rake,
        up=entry.up,
        down=entry.down,
        base=entry.base,
        offsets=tuple(Offset(one.y, one.low, one.high) for one in entry.offsets),
        run=entry.run,
    )
