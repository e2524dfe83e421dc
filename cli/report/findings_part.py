"""The findings: errors first, then warnings, then notes, each with its code."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import Final

from cli.report.lines import Line, Style, clean, heading, line, wrap
from solver.result import Finding
from solver.units import Units

FEW: Final = 3
"""Up to so many findings of one code are told one by one, with their figures."""
FEW_WITH_DISTANCES: Final = {"near-edge": 8, "near-pair": 8, "setback": 8, "off-centre": 8}
"""More of these: it is the distance in each sentence that says what to do."""
TOGETHER: Final = {
    "blocked-pan": "block over half the pan; water must get past each of them",
    "wide-curb": "are over {wide} across: each needs a cricket or diverter",
    "near-edge": "stand nearer to an end of their plane than the edge gap",
    "near-pair": "stand nearer to each other than the spacing",
    "overlap": "overlap as drawn",
    "in-keepout": "stand in a keep-out as drawn",
    "wide-base": "cannot be clear in a full pan",
    "reroof-status": "are given as movable; in a re-roof everything is read as fixed",
    "at-risk": "are clear, but not after the worst shift of seams and positions",
    "held": "are held, so they are read as fixed",
    "setback": "stand nearer to an edge of the roof than the case's own setback",
    "dead-zone": "(pipe and curb) stand too near each other: the pipe is in the dead zone above "
                 "the curb",
    "cricket": "stand on a pitch below 10 degrees: each needs a cricket or diverter",
    "curb-off-roof": "reach beyond the roof or into a hole as drawn",
    "cannot-meet": "cannot meet along the edge they share",
    "split-pan": "meet a seam: their pans are split; keep the splices off end laps and fixed "
                 "points",
    "off-centre": "have a centre on which neither pan nor rib stands as asked",
    "unlanded": "carry their own ribs, and no seam lands on a wall of each",
}
"""What many findings of one code say together; the result file has each with its figures."""
MOST_OF_A_CODE: Final = 12
"""So many findings of one code are printed; the rest is counted, the result file has them all."""
_MOST_NAMES: Final = 60
_OF_LAYOUT: Final = re.compile(r"Layout \d+: ")
_ORDER: Final = ("error", "warning", "note")
_STYLE: Final[dict[str, Style]] = {"error": "bad", "warning": "", "note": "quiet"}


def findings_lines(findings: Sequence[Finding], units: Units = "in") -> list[Line]:
    """All findings, sorted by weight, long runs of one code cut short.

    `units` are the case's: its readers' lengths stand in them.
    """
    if not findings:
        return [heading("FINDINGS"), line("  none")]
    lines = [heading(f"FINDINGS ({len(findings):,})")]
    total = Counter(finding.code for finding in findings)
    printed: Counter[str] = Counter()
    left: Counter[str] = Counter()
    for finding in sorted(findings, key=lambda found: _ORDER.index(found.severity)):
        printed[finding.code] += 1
        few = FEW_WITH_DISTANCES.get(finding.code, FEW)
        if total[finding.code] > few and finding.code in TOGETHER:
            if printed[finding.code] == 1:
                same = [f for f in findings if f.code == finding.code]
                for layout in dict.fromkeys(_layout(f) for f in same):
                    lines += _together([f for f in same if _layout(f) == layout], layout, units)
            continue
        if printed[finding.code] > MOST_OF_A_CODE and finding.severity != "error":
            left[finding.code] += 1
            continue
        lines += wrap(f"{finding.severity} [{finding.code}] {clean(finding.says)}",
                      first="  ", rest="    ", style=_STYLE[finding.severity])
    for code, count in left.items():
        lines += wrap(f"and {count:,} more of [{code}]: the result file (--json) has "
                      "them all", first="  ", rest="    ")
    return lines


def _layout(finding: Finding) -> str:
    """Which listed layout a finding is about, as it says itself; empty where it is the case."""
    found = _OF_LAYOUT.match(finding.says)
    return found[0] if found else ""


def _together(findings: Sequence[Finding], layout: str, units: Units) -> list[Line]:
    """Many findings of one code as one: whom they are about, and what they have in common."""
    first = findings[0]
    about = [clean(name) for f in findings for name in f.about] if layout else [
        "-".join(clean(name) for name in finding.about) for finding in findings]
    names = ", ".join(dict.fromkeys(about[:_MOST_NAMES]))
    if len(about) > _MOST_NAMES:
        names += f" and {len(about) - _MOST_NAMES:,} more"
    wide = "23 5/8\" (600 mm)" if units == "in" else "600 mm"
    where = f"{layout.removesuffix(': ')}, " if layout else ""
    says = TOGETHER[first.code].format(wide=wide)
    return wrap(
        f"{first.severity} [{first.code}] {where}{len(about):,}: {names} {says}",
        first="  ", rest="    ", style=_STYLE[first.severity],
    )
