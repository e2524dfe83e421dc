"""Cases by hand that tell the planted faults which random cases hardly ever do."""

from __future__ import annotations

from typing import Any


def _by_hand(planes: dict[str, int], pipes: dict[str, list[float]], **rules: Any) -> dict[str, Any]:
    """Cover 16, seams without sides; fixed pipes of 2 in, at each x, none but clear allowed."""
    pens = [(plane, x) for plane, xs in pipes.items() for x in xs]
    return {
        "title": "by hand",
        "units": "in",
        "panel": {"cover": 16, "seam_half": 0},
        "rules": {"end_lap": 0, "work_gap": 0, "edge_gap": 0, "spacing": 0, "enough": 0,
                  "forbid": ["tight", "crosses", "on-seam"]} | rules,
        "moves": {"step": 4},
        "plane": [{"id": plane, "width": width, "length": 100} for plane, width in planes.items()],
        "penetration": [
            {"id": f"V{n}", "plane": plane, "kind": "pipe", "x": x, "y": 10 * n, "outside": 2}
            for n, (plane, x) in enumerate(pens)
        ],
    }  # fmt: skip


def telling_cases() -> dict[str, dict[str, Any]]:
    """By planted fault: a case whose answer it changes."""
    # Ends of 12 to 16 on 82: one odd panel of 8 or 10. Pipes that need 3 in at 20 and 45 leave only
    # panel 3 to be odd: of 10, 28 to 38, with ends of 12. V0 at 38 moves 4 either way, to 5 - 4 or
    # 5 + 4 from the odd panel's centre line: the farther. Where Q has one through a pipe, at 17 or
    # 33, no distance is left to gain: the smaller move, down.
    alone = _by_hand({"P": 82}, {"P": [38, 20, 45]}, min_end=12, odd_panels=1, odd_min=8, flange=2)
    alone |= {"mark": 2}
    alone["penetration"][0] |= {"status": "planned", "reach": 4}
    both = _by_hand({"P": 82, "Q": 50}, {"P": [38, 20, 45], "Q": [17, 33]},
                    min_end=12, odd_panels=1, odd_min=8, flange=2)  # fmt: skip
    both |= {"mark": 2}
    both["penetration"][0] |= {"status": "planned", "reach": 4}
    # Pipes leave Q only a first width of 12, and P has to meet it. There a last panel of 3 (of 47)
    # or 2 (of 46) is too narrow without the odd panel of 15, or 2 less for a panel; pipes on P
    # let that be panel 3 only. With a first width of 16 panel 3 would be the last.
    link = {"link": [{"planes": ["P", "Q"], "how": "same", "must": True}]}
    falls = _by_hand({"P": 47, "Q": 32}, {"P": [27], "Q": [4, 8, 16]},
                     min_end=4, odd_panels=1, odd_widths=[15], flange=0)  # fmt: skip
    idle = _by_hand({"P": 46, "Q": 32}, {"P": [26, 30], "Q": [4, 8, 16]},
                    min_end=4, play=2, play_mark=2, remeasure=1, flange=0)  # fmt: skip
    # 43, ends of 12 or 16: the pipe at 27 1/2 is too near 28 and 27, so 12 29 (a panel 1 wider) and
    # 14 left, or 16 31 (1 narrower) and 12 left: alike but for the first width and the change.
    first = _by_hand({"P": 43}, {"P": [27.5]}, min_end=12, play=1, play_mark=1, uneven_free=20,
                     flange=0)  # fmt: skip
    return {
        "changes-before-first": first | {"mark": 4},
        "odd-distance-drawn": alone,
        "odd-distance-own-plane": both,
        "window-odd-falls-off": falls | link | {"mark": 4},
        "window-idle-change": idle | link | {"mark": 4},
    }
