"""The clarifications of a take-off: what the prices assume, what is a guess, what is not in them.

Plain sentences; ids stand in them as the case writes them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solver.case import Case
from solver.result import Judged
from solver.takeoff.prices import MAN_DAY, metal_in_total, price_name, price_of
from solver.takeoff.quantities import Item, Quantities
from solver.units import say_length

EXCLUDED: Final = (
    "The prices do not hold taxes, overhead, profit, bonds, permits, freight, hoisting, "
    "scaffolding, fall protection, tear-off, deck, insulation, underlayment, gutters, snow guards, "
    "testing, nor any work of other trades but the moves of pipes listed."
)
VERIFY: Final = (
    "Quantities follow from the case as it is written: verify every one on site, against the panel "
    "maker's details and the panel list, before anything is ordered."
)


def clarifications(
    case: Case, judged: Judged, usual: Judged | None, this: Quantities, proven: bool
) -> tuple[str, ...]:
    """All that a price from this take-off assumes, most pressing first."""
    return tuple([
        *_moves(case, judged), *_standing(judged), *_layouts(judged, usual, proven),
        *_guesses(case, this), VERIFY, *_counting(case, this), *_once(case, this), EXCLUDED,
    ])


def _moves(case: Case, judged: Judged) -> Iterator[str]:
    moved: dict[str, list[str]] = {}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if stands.moved:
            moved.setdefault(pen.status, []).append(pen.id)
    for status, words in (("planned", "not yet set"), ("stubbed", "roughed in")):
        if ids := moved.get(status):
            yield (f"Assumes {_named(ids)} ({words}) moved by the plumber before the deck goes on, "
                   "to where the stub-up list puts them.")
    if not moved:
        yield "Assumes no pipe moved."


def _standing(judged: Judged) -> Iterator[str]:
    for state, words in (
        ("on-seam", "on a seam, the pan split and spliced there"),
        ("crosses", "with a boot across a seam"), ("tight", "tight in the pan"),
        ("crowded", "with a seam nearer than the curb's side needs"),
    ):
        if ids := [pen.id for pen in judged.penetrations if pen.state == state]:
            yield f"Assumes {_named(ids)} accepted {words}."


def _layouts(judged: Judged, usual: Judged | None, proven: bool) -> Iterator[str]:
    if not proven:
        yield "The layout is the best found so far, not proven to be the best."
    if usual is None:
        yield ("There is no usual layout to compare with: at least one plane has no legal start "
               "of full panels.")
    elif usual.breaks:
        yield (f"The usual layout breaks {_plural(len(usual.breaks), 'rule')} of the case: the "
               "saving on it is against something that may not be built.")


def _guesses(case: Case, this: Quantities) -> Iterator[str]:
    charged = [(item, price_of(case, item)) for item, count in this.items() if count]
    priced = [(item, price) for item, price in charged if price is not None]
    guessed = [item for item, price in priced if not _given(case, item)]
    for part, table in (("rest", "[prices]"), ("extra", "[rates]")):
        names = list(dict.fromkeys(price_name(item) for item in guessed if item.part == part))
        if names:
            yield (f"Of what is charged here these are guesses until the case gives them in "
                   f"{table}: {', '.join(names)}.")
    trades = {f"{price.trade}_hour": None for _, price in priced if price.hours}
    if hours := [name for name in trades if name in case.rates.default]:
        yield f"The price of an hour is a guess until the case gives it: {', '.join(hours)}."


def _given(case: Case, item: Item) -> bool:
    if item.part == "extra":
        return case.rates.each[item.name].given
    return dict(case.prices)[price_name(item)].given


def _counting(case: Case, this: Quantities) -> Iterator[str]:
    names = [item.name for item, count in this.items() if count]
    if case.sheet is not None:
        yield ("Sheets: one for every strip between seams, as long as the strip and as wide as a "
               "full panel takes; the first and the last panel of a plane share one where both "
               "and their turn-ups fit; one more for every end lap. What hooks, turn-ups at the "
               "ends, laps and drops used again change in area is for the panel list.")
        yield (f"Clips: along every seam outside the curbs, at both ends of each stretch and at "
               f"most {say_length(case.sheet.clip_spacing, case.units)} apart (common practice; "
               "the maker's table for wind comes first).")
    if any(name in names for name in ("hip", "valley", "ridge")):
        yield ("A hip, valley or ridge that two planes share by a link of the case is counted "
               "once, its closures once from either side. What no link joins is each plane's own.")
    yield (f"Hours are quantity times hours each, a man-day is {MAN_DAY} hours (NAVFAC P-405, "
           "1996).")


def _once(case: Case, this: Quantities) -> Iterator[str]:
    yield ('"Extra" is what the optimizer weighs: what the layout costs more than the same roof '
           "with every penetration clear. The rest of the roof it does not weigh.")
    names = [item.name for item, count in this.items() if count]
    given = {name: price.given for name, price in case.prices}
    if "splice" in names:
        yield ("Splices have a price in the case beside the rate of a pipe on a seam: see that "
               "the two do not hold the same work." if given.get("splice") else
               "Splices are not priced by themselves: the rate of a pipe on a seam holds them.")
    if "odd_sheet" in names:
        yield ("The metal of an odd panel's sheet is in the rate of an odd panel; only its laying "
               "is charged with the panels.")
    if metal_in_total(case):
        area = case.rates.each["area"]
        parts = [word for word, is_in in (("hours", area.hours), ("material", area.material))
                 if is_in]
        yield (f"The rate \"area\" charges the {' and '.join(parts)} of the sheets, so the price "
               f"\"panel\" does not charge them again.")


def _named(ids: Sequence[str]) -> str:
    return ids[0] if len(ids) == 1 else ", ".join(ids[:-1]) + " and " + ids[-1]


def _plural(count: int, one: str) -> str:
    return f"{count} {one}" if count == 1 else f"{count} {one}s"
