"""What changed between two results, told to each of those it concerns."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeVar

from cli.report.lines import BLANK, WIDTH, Line, Span, clean, heading, line, shorten, wrap
from cli.report.stub_words import with_inches
from cli.report.words import STATE_WORDS, id_of, joined, money
from solver.comparing.compared import (
    Comparison,
    CrewChange,
    Laid,
    PlumberChange,
    RateChange,
    Spot,
    StateChange,
)
from solver.comparing.result_file import FileFinding, exact_mark
from solver.units import format_length

_PART: Final = {
    "total": "total", "flashing": "flashing", "moves": "moves", "odd_panels": "odd panels",
    "play": "changes of module", "look": "uneven ends, links or centres missed",
    "stock": "sheets",
}
_COUNT: Final = {
    "on-seam": "pipes on a seam", "seams_cut": "seams cut by curbs",
    "crosses": "pipes whose flashing crosses a seam", "tight": "tight pipes",
    "crowded": "crowded curbs", "moved": "pipes moved", "links_missed": "links missed",
    "off_centre": "centres missed", "unlanded": "walls of ribbed curbs without a seam",
    "odd_panels": "odd panels", "uneven": "steps of unevenness", "stock": "units of sheet stock",
}
MOST_FINDINGS: Final = 20
_MOST_BENT: Final = 12
_T = TypeVar("_T")


def compare_page(found: Comparison, files: tuple[str, str]) -> list[Line]:
    """The whole comparison."""
    lines = _title(found, files)
    if found.nothing:
        return [*lines, BLANK, *wrap(
            "NOTHING CHANGED: the same pipes at the same places, the same seams, states, findings, "
            "rates and money.", style="good")]
    length = _Lengths(found)
    parts: tuple[tuple[str, list[Line]], ...] = (
        ("FOR THE PLUMBER", _plumber(found, length)),
        ("FOR THE CREW", _crew(found, length)),
        ("FOR THE ESTIMATOR", _estimator(found)),
        ("FOR THE DETAILER", _detailer(found)),
    )
    for name, part in parts:
        lines += [BLANK, heading(name), *(part or [line("  Nothing changed.")])]
    return [*lines, BLANK, *wrap(
        "Only what the two files hold is compared, layout against layout. Where a pipe is already "
        "set by the old one, freeze its move in the case and solve again before anyone shifts it.",
    )]


class _Lengths:
    def __init__(self, found: Comparison) -> None:
        self._units = found.units

    def of(self, value: int) -> str:
        """A place or a distance as a tape shows it."""
        mark = exact_mark(value, self._units)
        return with_inches(format_length(2 * value, self._units, mark, feet=True))

    def width(self, value: int) -> str:
        """A panel's width, or how far seams shifted."""
        return format_length(2 * value, self._units, exact_mark(value, self._units))

    def spot(self, spot: Spot, towards: str) -> str:
        """Where a penetration stands: `set to 8' 0" (moved 2" towards the east gable)`."""
        if not spot.moved:
            return f"{self.of(spot.x)}, as drawn"
        return f"{self.of(spot.x)}, moved {self.of(abs(spot.moved))} towards the {clean(towards)}"


def _title(found: Comparison, files: tuple[str, str]) -> list[Line]:
    lines: list[Line] = [heading("WHAT CHANGED")]
    for place, name in enumerate(("old", "new")):
        title = clean(found.titles[place]).strip() or "(no title)"
        revision = f", revision {clean(found.revisions[place])}" if found.revisions[place] else ""
        lines.append((Span(shorten(f"  {name}: {title}", WIDTH)),))
        lines += wrap(f"{clean(files[place])}{revision}, layout {found.ranks[place]}, "
                      f"{money(found.totals[place])}", first="       ")
    if not found.nothing:
        lines += wrap("The case is the same, to the letter." if found.same_case else
                      "The case itself differs, or the files do not say.", first="  ")
    return lines


def _plumber(found: Comparison, length: _Lengths) -> list[Line]:
    if not found.plumber:
        return []
    lines = wrap("Centres along the eave from the end of each plane where x is 0.", first="  ")
    for one in found.plumber:
        lines += wrap(_plumber_words(one, length), first="  - ", rest="    ")
    return lines


def _plumber_words(one: PlumberChange, length: _Lengths) -> str:
    name = id_of(one.id)
    if one.old is None and one.new is not None:
        return (f"{name} is ADDED on plane {id_of(one.new.plane)}: "
                f"{length.spot(one.new, one.towards)}.")
    if one.new is None and one.old is not None:
        return (f"{name} is GONE; it was on plane {id_of(one.old.plane)}: "
                f"{length.spot(one.old, one.towards_old)}.")
    assert one.old is not None and one.new is not None
    does = []
    if "other-plane" in one.kinds:
        does.append(f"is on plane {id_of(one.new.plane)} now, was on {id_of(one.old.plane)}")
    if "redrawn" in one.kinds:
        apart = length.of(abs(one.new.drawn - one.old.drawn))
        does.append(f"is DRAWN {apart} {'further on' if one.new.drawn > one.old.drawn else 'back'}"
                    f" ({length.of(one.old.drawn)} before, {length.of(one.new.drawn)} now)")
    if "newly-moved" in one.kinds:
        does.append("is MOVED now and was not")
    if "no-longer-moved" in one.kinds:
        does.append("is NO LONGER moved")
    if "moves-differently" in one.kinds:
        does.append("MOVES DIFFERENTLY")
    return (f"{name}, plane {id_of(one.new.plane)}, {joined(does)}. "
            f"Was: {length.spot(one.old, one.towards_old)}. "
            f"Now: {length.spot(one.new, one.towards)}."
            + (" It stays where it was set." if one.old.x == one.new.x
               and one.old.plane == one.new.plane else ""))


def _crew(found: Comparison, length: _Lengths) -> list[Line]:
    lines: list[Line] = []
    old_cover, new_cover = found.covers
    if old_cover != new_cover:
        shown = [length.width(cover) if cover is not None else "not said" for cover in found.covers]
        lines += wrap(f"Panels cover {shown[1]}; before, {shown[0]}.", first="  - ", rest="    ")
    for one in found.crew:
        lines += wrap(_crew_words(one, length), first="  - ", rest="    ")
    return lines


def _crew_words(change: CrewChange, length: _Lengths) -> str:
    name = f"Plane {id_of(change.id)}"
    old, new = change.old, change.new
    if new is None:
        return f"{name} is gone."
    ends = _ends(new, length)
    if old is None:
        more = [ends, f"{new.panels} panels"]
        if new.line is not None:
            more.append(_line(new, length))
        more += [_odd(odd, length) for odd in new.odds]
        more += [_module(module, length) for module in new.modules]
        return f"{name} is new: {'; '.join(more)}."
    said = []
    if old.line != new.line:
        said.append(f"{_line(new, length)}; before, {_line(old, length)}")
    if (old.first, old.last) != (new.first, new.last):
        said.append(f"{ends}; before, {_ends(old, length, panel='')}")
    if old.panels != new.panels:
        said.append(f"{new.panels} panels, before {old.panels}")
    said += _bent(old.odds, new.odds, lambda odd: _odd(odd, length))
    said += _bent(old.modules, new.modules, lambda module: _module(module, length))
    if change.same_seams:
        said.append("the seams stay where they were")
    elif change.shift is None:
        said.append("the seams stand differently, not all by the same shift")
    elif change.shift:
        way = "larger" if change.shift > 0 else "smaller"
        said.append(f"every seam {length.width(abs(change.shift))} over, towards {way} x")
    else:
        said.append("the seams that both have stay where they were")
    if old.window != new.window and new.window is not None and new.line is None:
        said.append(f"the start may be {_window(new.window, length)}, before "
                    f"{_window(old.window, length)}")
    return f"{name}: " + "; ".join(said) + "."


def _ends(laid: Laid, length: _Lengths, panel: str = " panel") -> str:
    one, other = ("first", "last") if laid.line is None else ("low end", "high end")
    return f"{one}{panel} {length.width(laid.first)}, {other} {length.width(laid.last)}"


def _line(laid: Laid, length: _Lengths) -> str:
    if laid.line is None:
        return "laid from one end"
    return f"laid both ways from a line at {length.of(laid.line)}"


def _odd(odd: tuple[int, int, int, int], length: _Lengths) -> str:
    number, width, low, high = odd
    return (f"panel {number} is odd, {length.width(width)} wide, from {length.of(low)} to "
            f"{length.of(high)}")


def _module(module: tuple[int, int, int, int], length: _Lengths) -> str:
    _, first, last, change = module
    wider = "wider" if change > 0 else "narrower"
    return f"full panels {first} to {last} are each laid {length.width(abs(change))} {wider}"


def _bent(old: Sequence[_T], new: Sequence[_T], says: Callable[[_T], str]) -> Iterator[str]:
    """What is odd or changed now, and what was and no longer is as it was."""
    for word, here, there in (("NEW", new, old), ("no longer", old, new)):
        alone = [one for one in here if one not in there]
        yield from (f"{word}: {says(one)}" for one in alone[:_MOST_BENT])
        if len(alone) > _MOST_BENT:
            yield f"and {len(alone) - _MOST_BENT:,} more of these (--json has them all)"


def _window(window: tuple[int, int] | None, length: _Lengths) -> str:
    if window is None:
        return "not said"
    low, high = (length.width(end) for end in window)
    return f"{low} only" if low == high else f"{low} to {high}"


def _estimator(found: Comparison) -> list[Line]:
    lines: list[Line] = []
    for one in found.costs:
        apart = one.new - one.old
        lines += wrap(f"{_PART[one.name]}: {money(one.new)}, before {money(one.old)}: "
                      f"{money(abs(apart))} {'more' if apart > 0 else 'less'}.",
                      first="  - ", rest="    ")
    if counts := [f"{_COUNT[one.name]} {one.new} (before {one.old})" for one in found.counts]:
        lines += wrap("; ".join(counts) + ".", first="  - ", rest="    ")
    follow = [rate for rate in found.rates if _follows(rate, found.rates)]
    for rate in found.rates:
        if rate not in follow:
            lines += wrap(_rate_words(rate), first="  - ", rest="    ")
    if follow:
        names = joined([clean(rate.name) for rate in follow])
        lines += wrap(f"by the hour alone, each of these costs otherwise: {names}.",
                      first="  - ", rest="    ")
    if found.proofs[0] != found.proofs[1]:
        said = [clean(proof) or "not said" for proof in found.proofs]
        lines += wrap(f"proof: {said[1]}, before {said[0]}.", first="  - ", rest="    ")
    return lines


def _follows(rate: RateChange, every: Sequence[RateChange]) -> bool:
    """Whether a rate's hours and material stayed, and only an hourly rate makes it another."""
    hourly = any(len(other.new) == 1 for other in every)
    return (hourly and len(rate.old) == len(rate.new) == 3 and rate.old[:2] == rate.new[:2]
            and rate.old_default == rate.new_default)


def _rate_words(rate: RateChange) -> str:
    name = f"rate {clean(rate.name)}"
    if rate.old == rate.new:
        return f"{name}: the same, {'a guess now' if rate.new_default else 'given now'}."
    guess = " (a guess)"
    return (f"{name}: {_values(rate.new)}{guess if rate.new_default else ''}, before "
            f"{_values(rate.old)}{guess if rate.old_default else ''}.")


def _values(values: tuple[float, ...]) -> str:
    if len(values) == 3:
        return f"{values[0]:g} h and {values[1]:,.2f}, {values[2]:,.2f} each"
    return f"{values[0]:,.2f}" if values else "not there"


def _detailer(found: Comparison) -> list[Line]:
    lines: list[Line] = []
    for one in found.states:
        lines += wrap(f"{id_of(one.id)}: {_state_words(one)}.", first="  - ", rest="    ")
    for planes, _, meet in found.links:
        pair = joined([id_of(plane) for plane in planes]) if planes else "?"
        does = {True: "meet as asked now", False: "do NOT meet as asked any more",
                None: "are no longer linked"}[meet]
        lines += wrap(f"the seams of {pair} {does}.", first="  - ", rest="    ")
    lines += _findings("NEW", found.findings_new)
    lines += _findings("gone", found.findings_gone)
    if found.titles[0] != found.titles[1]:
        lines += wrap("the title of the case changed.", first="  - ", rest="    ")
    return lines


def _state_words(one: StateChange) -> str:
    said = []
    if one.old != one.new:
        said.append(f"{_state(one.new)}, before {_state(one.old)}")
    if one.cut_old != one.cut_new:
        said.append(f"cuts {one.cut_new} seams, before {one.cut_old}")
    if one.risk_old != one.risk_new:
        said.append("AT RISK now" if one.risk_new else "no longer at risk")
    return "; ".join(said)


def _state(state: str) -> str:
    known = {str(name): words for name, words in STATE_WORDS.items()}
    return known.get(state) or shorten(clean(state), 32)


def _findings(word: str, findings: Sequence[FileFinding]) -> Iterator[Line]:
    for finding in findings[:MOST_FINDINGS]:
        yield from wrap(f"{word} {clean(finding.severity)} [{clean(finding.code)}] "
                        f"{clean(finding.says)}", first="  - ", rest="    ")
    if len(findings) > MOST_FINDINGS:
        yield from wrap(f"and {len(findings) - MOST_FINDINGS:,} more findings {word.lower()}: "
                        "--json has them all.", first="    ")
