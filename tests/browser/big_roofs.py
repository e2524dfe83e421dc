"""Cases for the page that no one would draw by hand: very many pipes, and hostile texts."""

from __future__ import annotations

import random
from typing import Any

HOSTILE = (
    "<script>window.ran = 1</script>", "</script><script>window.ran = 2</script>",
    "<img src=x onerror=\"window.ran = 3\">", "=HYPERLINK(\"http://x.invalid\")", "&amp;&lt;b&gt;",
    "\"quoted\" 'and' `so`", "\u05d0\u05d1\u05d2 \u0627\u0644\u0639", "\U0001f3e0 \U0001f6a7",
    "${1+1} {{7*7}} %s", "]]>--><!--",
)
TITLE = " ".join((HOSTILE[0], HOSTILE[1], HOSTILE[3], HOSTILE[4], HOSTILE[6]))


def crowd(count: int) -> dict[str, Any]:
    """Two slopes with `count` pipes, every tenth still to be moved; the same for every run."""
    dice = random.Random(7)
    pens = []
    for n in range(count):
        pens.append({
            "id": f"P{n + 1:03}", "plane": "SN"[n % 2], "kind": "pipe",
            "x": 20 + 12 * (n // 2) + dice.randrange(0, 64) / 16, "y": 30 + dice.randrange(0, 400),
            "outside": dice.choice([2.375, 3.5, 4.5]),
            "status": "planned" if n % 10 == 0 else "fixed",
        })
    return {
        "title": "Very many pipes", "units": "in", "panel": {"cover": 18, "seam_half": 0.5},
        "rules": {"spacing": 0},
        "plane": [
            {"id": "S", "width": "262 ft", "length": "40 ft", "low_end": "west",
             "high_end": "east"},
            {"id": "N", "width": "262 ft", "length": "40 ft", "lay": "right-to-left",
             "low_end": "east", "high_end": "west"},
        ],
        "link": [{"planes": ["S", "N"], "how": "mirror"}],
        "penetration": pens,
    }


def hostile() -> dict[str, Any]:
    """A small roof with a hostile text in every field that takes one."""
    h = HOSTILE
    return {
        "title": TITLE, "units": "in", "revision": h[0], "date": h[1],
        "panel": {"cover": 18, "seam_half": 0.5},
        "moves": {"reach": 12},
        "plane": [
            {"id": h[0], "width": "30 ft", "length": "20 ft", "low_end": h[2], "high_end": h[6],
             "keepout": [{"from": 20, "to": 24, "what": h[1]}]},
            {"id": h[7], "width": "30 ft", "length": "20 ft", "lay": "right-to-left",
             "low_end": h[4], "high_end": h[5]},
        ],
        "link": [{"planes": [h[0], h[7]], "how": "mirror"}],
        "gridline": [{"id": name, "plane": h[0], "x": 60 + 40 * n} for n, name in enumerate(h[:4])],
        "centre": [{"plane": h[7], "at": 100, "on": "pan", "what": h[1]}],
        "penetration": [
            {"id": name, "plane": h[0], "kind": "pipe", "x": 36 + 30 * n, "y": 100, "outside": 3.5,
             "status": "planned" if n % 2 else "fixed", "use": h[(n + 1) % len(h)],
             **({} if n % 2 else {"hold": h[(n + 2) % len(h)]})}
            for n, name in enumerate(h)
        ],
    }
