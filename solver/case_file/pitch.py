"""Pitches: reading how steep a plane is, and lengths in plan as lengths on the slope."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction
from math import isqrt
from typing import Final

from solver.case_parts import Pitch

HOW_TO_WRITE: Final = 'write rise and run such as "4:12", or degrees such as "22.5 deg"'
_MOST_CHARACTERS: Final = 40
_DIGITS: Final = 40
_SPARE: Final = 20
_PI: Final = Decimal("3.14159265358979323846264338327950288419716939937510582097494459")
_NUMBER: Final = r"[+-]?(?:\d+\.?\d*|\.\d+)"
_RATIO: Final = re.compile(rf"({_NUMBER}) ?: ?({_NUMBER})", re.ASCII)
_DEGREES: Final = re.compile(rf"({_NUMBER}) ?(?:deg|degree|degrees|°)", re.ASCII)


def read_pitch(value: object) -> Pitch:
    """A pitch, from rise and run ("4:12") or from degrees ("22.5 deg").

    Raises:
        ValueError: no such text; 0 or negative; upright or beyond.
    """
    if not isinstance(value, str) or len(value) > _MOST_CHARACTERS:
        raise ValueError(HOW_TO_WRITE)
    plain = " ".join(value.replace("\u2212", "-").lower().split())
    if ratio := _RATIO.fullmatch(plain):
        rise, run = (Fraction(Decimal(number)) for number in ratio.groups())
        if run == 0 and rise != 0:
            raise ValueError("a run of 0 is upright; a roof plane is less steep")
        if rise <= 0 or run <= 0:
            raise ValueError("rise and run of a pitch are more than 0")
        return Pitch(value, rise / run)
    if degrees := _DEGREES.fullmatch(plain):
        angle = Decimal(degrees[1])
        if angle <= 0:
            raise ValueError("a pitch is more than 0 degrees")
        if angle >= 90:
            raise ValueError("90 degrees is upright; a roof plane is less steep")
        return Pitch(value, _tangent(angle))
    raise ValueError(HOW_TO_WRITE)


def slope_length(pitch: Pitch, plan_ticks: int) -> int:
    """A length in plan, up the slope, as a length on it (ticks): times √(1 + rise²).

    Rounded once to the nearest tick, halves away from zero; exact, as the whole root of twice the
    length squared says on which side of a half it lies.
    """
    rise, run = pitch.rise.numerator, pitch.rise.denominator
    twice = isqrt((2 * plan_ticks) ** 2 * (rise * rise + run * run) // (run * run))
    size = (twice + 1) // 2
    return size if plan_ticks >= 0 else -size


def _tangent(degrees: Decimal) -> Fraction:
    """The tangent to 40 digits: sine and cosine by their power series, with digits to spare.

    Beyond 45 degrees it is one over that of the rest, so that the cosine is never small.
    """
    with localcontext() as context:
        context.prec = _DIGITS + _SPARE
        context.rounding = ROUND_HALF_EVEN
        steep = degrees > 45
        angle = (90 - degrees if steep else degrees) * _PI / 180
        square = angle * angle
        sine, cosine = _series(angle, square, 1), _series(Decimal(1), square, 0)
        tangent = cosine / sine if steep else sine / cosine
        context.prec = _DIGITS
        return Fraction(+tangent)


def _series(term: Decimal, square: Decimal, power: int) -> Decimal:
    """The alternating series of sine (from power 1) and cosine (from power 0), to its end."""
    total = Decimal(0)
    while total + term != total:
        total += term
        power += 2
        term = -term * square / (power * (power - 1))
    return total
