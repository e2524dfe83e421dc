"""What a layout decides, as the direct model says it: choices to keep to or away from."""

from __future__ import annotations

from dataclasses import dataclass

from solver.layout import Change, Layout, Odd
from solver.model.objective import plane_choices
from solver.model.variables import Expr, PlaneVars, RoofVars


@dataclass(frozen=True)
class Choice:
    """What a candidate is the best layout for."""

    firsts: tuple[int, ...]
    odds: tuple[Odd, ...] = ()
    changes: tuple[Change, ...] = ()

    @classmethod
    def of(cls, layout: Layout) -> Choice:
        """The choice that a layout has made."""
        return cls(layout.firsts, layout.odds, layout.changes)


def chosen(roof: RoofVars, choice: Choice) -> list[tuple[Expr, int]]:
    """What the model chooses on planes, beside what `choice` says of it."""
    pairs: list[tuple[Expr, int]] = []
    most = roof.case.rules.odd_panels
    for i, host in enumerate(roof.planes):
        odds = sorted((odd.panel, odd.width) for odd in choice.odds if odd.plane == i)
        changes = {one.stretch: one.ticks for one in choice.changes if one.plane == i}
        stretches = _stretches(roof, host)
        if len(odds) > most or not changes.keys() <= set(stretches):
            return [(roof.nothing, 1)]  # no layout of the model chooses that
        wanted = [choice.firsts[i], *(n for odd in odds for n in odd)]
        wanted += [0] * (2 * (most - len(odds)))
        wanted += [changes.get(stretch, 0) for stretch in stretches]
        own = plane_choices(roof, host)
        if host.plane.lay == "from" and not host.one_panel:
            own, wanted = own[1:], wanted[1:]  # a result, not a choice
        pairs += [
            (roof.nothing + value, theirs) if isinstance(value, int) else (value, theirs)
            for value, theirs in zip(own, wanted, strict=True)
        ]
    return pairs


def _stretches(roof: RoofVars, host: PlaneVars) -> list[int]:
    """The stretches that `plane_choices` goes through, in its order."""
    rules = roof.case.rules
    if not rules.play:
        return []
    most = host.plane.width // (roof.case.panel.cover - rules.play) + 1
    signs = (1, -1) if host.plane.lay == "from" else (1,)
    return [sign * n for sign in signs for n in range(1, most + 1)]


def layout_of(roof: RoofVars, levels: tuple[int, ...]) -> Layout:
    """The decisions at the end of the tie order."""
    moves = levels[len(levels) - len(roof.pens) :]
    counts = [len(plane_choices(roof, host)) for host in roof.planes]
    at = len(levels) - len(roof.pens) - sum(counts)
    firsts, odds, changes = [], [], []
    for i, (host, count) in enumerate(zip(roof.planes, counts, strict=True)):
        own = levels[at : at + count]
        at += count
        behind = 1 + 2 * roof.case.rules.odd_panels
        pairs = zip(own[1:behind:2], own[2:behind:2], strict=True)
        firsts.append(own[0])
        odds += [Odd(i, number, width) for number, width in pairs if number]
        changes += [
            Change(i, stretch, ticks)
            for stretch, ticks in zip(_stretches(roof, host), own[behind:], strict=True)
            if ticks
        ]
    return Layout(tuple(firsts), moves, tuple(sorted(odds)), tuple(sorted(changes)))
