"""Rules, rates, sheets and links of the small random roofs of strategies_outline."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from solver.case import RATE_NAMES, Link, Panel, Plane, Rate, Rates, Rules
from solver.case_parts import Sheet
from strategies import Chooser


class RuleBuilder:
    """What of a case does not depend on its planes; lengths are thought in units of the lattice."""

    def __init__(self, source: Chooser) -> None:
        self.s = s = source
        self.inches = s.chance(60)
        self.u = 16256 if self.inches else 20 * 640
        self.cover = s.pick((6, 8, 8, 10, 12))
        self.mark = s.pick((1, 2, 2, 3))
        self.count = s.pick((1, 1, 1, 1, 2, 2, 3))
        self.tiny = (-1, 0, 0, 0, 1)

    def near(self, ticks: int) -> int:
        """A length, or a tick more or less."""
        return ticks + self.s.pick(self.tiny)

    def _panel(self) -> Panel:
        s, u = self.s, self.u
        sides = (0, u // 4, u // 2, u // 2, u)
        back = s.pick(sides)
        return Panel(self.cover * u, back, back if s.chance(50) else s.pick(sides))

    def _rules(self) -> Rules:
        s, u = self.s, self.u
        own: dict[str, Any] = {}
        if s.chance(15):
            own = {
                "cover_tol": s.pick((0, u // 8, u // 4)), "remeasure": s.pick((1, 2, 4)),
                "width_tol": s.pick((0, u // 4)), "robust": s.chance(85),
            }  # fmt: skip
        forbid = s.pick((*((),) * 8, ("on-seam",), ("crowded",), ("spans", "crosses")))
        if s.chance(18):
            own["odd_panels"] = s.pick((1, 1, 2))
            widths = (s.whole(1, self.cover - 1), s.whole(1, self.cover - 1))
            own["odd_widths"] = tuple(sorted({w * u for w in widths}))
        if s.chance(5) and self.mark > 1:
            own |= {"play": u // 2, "play_mark": u // 2, "remeasure": s.pick((2, 4))}
        return Rules(
            **{
                "min_end": s.pick((2, 3, 3, 4, self.cover // 2, self.cover - 1)) * u,
                "work_gap": s.pick((0, u // 2)), "hole_gap": s.pick((0, u // 2)), "seamer_gap": 0,
                "end_lap": s.pick((0, 1, 2)) * u, "curb_side": s.pick((0, 1, 2, 3)) * u,
                "edge_gap": s.pick((0, 1, 2, 4)) * u, "spacing": s.pick((0, 2, 4)) * u,
                "flange": u, "enough": s.pick((0, 0, 1, 2)) * u,
                "uneven_free": s.pick((0, 1, 2, 20)) * u,
                "meet_tol": s.pick((0, u // 2, u)), "forbid": forbid, "odd_panels": 0,
                "odd_min": self.cover * u // 2, "play_mark": u // 2,
                "min_piece": s.pick((1, 2, 2, 3, 4)) * self.mark * u // 2,
                "min_length": s.pick((0, 1, 2, 3, 4, 6)) * u,
                "land_tol": s.pick((0, u // 4, u // 2, u)), **own,
            }
        )  # fmt: skip

    def _rates(self) -> Rates:
        s = self.s
        style = s.pick(("any", "any", "equal", "coarse"))
        each = {}
        for name in RATE_NAMES:
            cost = {
                "any": s.pick((0, 1, 5, 12, 35, 100)), "equal": 10, "coarse": 50 * s.whole(0, 2),
            }[style]  # fmt: skip
            each[name] = Rate(Decimal(s.pick((0, 0, "0.25"))), Decimal(cost), name != "area")
        each["area"] = Rate(Decimal(0), Decimal(s.pick(("0", "0.5", "1.25", "3"))), s.chance(35))
        return Rates(Decimal(80), Decimal(100), each, ())

    def _sheet(self) -> Sheet:
        s, u = self.s, self.u
        return Sheet(
            "steel", 406, 24, s.pick((u, 5 * u // 4)), s.pick((u, 3 * u // 2)),
            s.pick((0, u // 2, u, u)), u, u, u, u, u, None, u, (), u, 2, True,
        )  # fmt: skip

    def _links(self, planes: tuple[Plane, ...]) -> tuple[Link, ...]:
        s = self.s
        if len(planes) < 2 or s.chance(45):
            return ()
        offset = s.whole(-3, 6) * self.u
        return (Link((planes[0].id, planes[1].id), s.pick(("mirror", "same")), offset,
                     s.chance(15), s.chance(25)),)  # fmt: skip
