"""The look of the drawings for the page's script and style: signs of states, fills of the map."""

from __future__ import annotations

from typing import Any, Final

from cli.look import INK, QUIET, SIGNS, STATE_COLOUR, STATE_LETTER, STATE_WORD, Sign
from cli.page.markup import esc
from solver.case import State

STATES: Final[tuple[State, ...]] = ("clear", "tight", "crosses", "on-seam", "crowded", "spans")
"""In the order of `solver.page.tables.STATE_CODES`."""

# What stands in a lane: a tint and strokes in a tile of 8 by 8, so that each reads in grey.
_FILLS: Final[dict[State, tuple[str, str]]] = {
    "clear": ("#ffffff", "M0 7.5H8"),
    "tight": ("#f5ead2", "M2 0V8"),
    "crosses": ("#f6cfae", "M-1 9L9 -1M-1 1L1 -1M7 9L9 7"),
    "on-seam": ("#1a1a1a", ""),
    "crowded": ("#f6cfae", "M0 2H8M0 6H8"),
    "spans": ("#ecd9e6", "M-1 -1L9 9M-1 7L1 9M7 -1L9 1"),
}


def look_data() -> dict[str, Any]:
    """Colours, letters, words and signs by state number."""
    return {
        "colours": [STATE_COLOUR[state] for state in STATES],
        "letters": [STATE_LETTER[state] for state in STATES],
        "words": [STATE_WORD[state] for state in STATES],
        "signs": {
            "pipe": [_sign(SIGNS.get(("pipe", state))) for state in STATES],
            "curb": [_sign(SIGNS.get(("curb", state))) for state in STATES],
        },
    }


def _sign(sign: Sign | None) -> dict[str, Any] | None:
    if sign is None:
        return None
    return {"ring": sign.ring, "filled": sign.filled,
            "strokes": [list(stroke[1:]) for stroke in sign.strokes]}


def patterns() -> str:
    """Fills the map and the drawings share, and nothing to be seen."""
    tiles = "".join(
        f'<pattern id="fill-{number}" width="8" height="8" patternUnits="userSpaceOnUse">'
        f'<rect width="8" height="8" fill="{tint}"/>'
        f'<path d="{strokes}" stroke="{STATE_COLOUR[state]}" stroke-width="1.3" fill="none"/>'
        "</pattern>"
        for number, state in enumerate(STATES) for tint, strokes in (_FILLS[state],)
    )
    keepout = (
        '<pattern id="fill-keepout" width="6" height="6" patternUnits="userSpaceOnUse">'
        f'<path d="M-1 1L1 -1M0 6L6 0M5 7L7 5" stroke="{QUIET}" stroke-width=".6"/></pattern>'
    )
    return ('<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>'
            f"{tiles}{keepout}</defs></svg>")


def legend() -> str:
    """The states by sign, fill, letter and word."""
    items = []
    for number, state in enumerate(STATES):
        kind: Any = "curb" if state in ("crowded", "spans") else "pipe"
        items.append(
            f'<li>{sign_svg(SIGNS[kind, state], STATE_COLOUR[state])}'
            f'<svg class="swatch" aria-hidden="true"><rect width="30" height="14" '
            f'fill="url(#fill-{number})" stroke="{INK}" stroke-width=".5"/></svg>'
            f"{STATE_LETTER[state]} {esc(STATE_WORD[state])}</li>"
        )
    return f'<ul class="legend" aria-label="Signs of states">{"".join(items)}</ul>'


def key() -> str:
    """What the lines of a drawing are."""
    lines = (
        ("seams", "M2 8H32", "seam"), ("control", "M2 8H32", "control line, as listed"),
        ("grid", "M2 8H32", "grid line"), ("arrow", "M32 8H6m5 -4l-5 4l5 4", "moved"),
    )
    items = [
        f'<li><svg viewBox="0 0 34 16" aria-hidden="true"><path class="{kind}" d="{path}"/></svg>'
        f"{words}</li>" for kind, path, words in lines
    ]
    items.append('<li><svg viewBox="0 0 34 16" aria-hidden="true"><circle class="base" cx="17" '
                 'cy="8" r="8"/><circle class="body" cx="17" cy="8" r="4"/></svg>body and flashing '
                 "base, to scale</li>")
    items.append('<li><svg viewBox="0 0 34 16" aria-hidden="true"><rect class="keepout" x="2" '
                 'y="3" width="30" height="10"/></svg>keep-out; in the map: no legal start</li>')
    items.append('<li><svg viewBox="0 0 34 16" aria-hidden="true"><path class="start" '
                 'd="M17 3l-5 9h10z"/></svg>laying starts here</li>')
    return f'<ul class="legend key screen" aria-label="Lines of the drawing">{"".join(items)}</ul>'


def sign_svg(sign: Sign, colour: str) -> str:
    """One sign as a small picture."""
    r = 6.2
    box = f'<circle r="{r}"/>' if sign.ring else (
        f'<rect x="{-r}" y="{-r}" width="{2 * r}" height="{2 * r}"/>')
    white = ' stroke="#fff"' if sign.filled else ""
    lines = "".join(
        f'<line x1="{x1 * r:.2f}" y1="{-y1 * r:.2f}" x2="{x2 * r:.2f}" y2="{-y2 * r:.2f}"{white}/>'
        for _, x1, y1, x2, y2 in sign.strokes
    )
    fill = colour if sign.filled else "#fff"
    return ('<svg class="icon" viewBox="-10 -10 20 20" aria-hidden="true">'
            f'<g class="sign" fill="{fill}" stroke="{colour}">{box}{lines}</g></svg>')
