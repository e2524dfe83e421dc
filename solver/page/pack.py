"""Rows of exact whole numbers, written short: runs in which each differs from the next alike."""

from __future__ import annotations

from collections.abc import Sequence

Packed = list[int | None]


def packed(values: Sequence[int | None]) -> Packed:
    """A row as (how many, the first, what each next one is more) again and again.

    A margin changes by the same amount from mark to mark until another seam binds, so that a row of
    hundreds is a handful of runs. None is a run of its own, with 0 as difference.
    """
    found: Packed = []
    place = 0
    while place < len(values):
        stop, first = place + 1, values[place]
        step = 0
        if first is None:
            while stop < len(values) and values[stop] is None:
                stop += 1
        else:
            after = values[stop] if stop < len(values) else None
            if after is not None:
                step = after - first
                last = first
                while stop < len(values) and values[stop] == last + step:
                    last += step
                    stop += 1
        # A jump between two rows of equals would else take one of each as a run.
        if first is not None and stop - place == 2 and step:
            stop, step = place + 1, 0
        found += [stop - place, first, step]
        place = stop
    return found


def unpacked(row: Packed) -> list[int | None]:
    """What `packed` was given."""
    values: list[int | None] = []
    for at in range(0, len(row), 3):
        count, first, step = row[at : at + 3]
        assert count is not None and step is not None
        values += [None if first is None else first + n * step for n in range(count)]
    return values
