"""What commands that make a list of one ranked layout have in common: options, choice, failures."""

from __future__ import annotations

import math
import os
from typing import TYPE_CHECKING

from cli.failures import NO_LAYOUT, OUT_OF_TIME, OptionError, tell, tell_no_layout
from cli.files import STDOUT, target_faults

if TYPE_CHECKING:
    from solver.result import Ranked, Result


def check_options(
    case: str, layout: int, csv: str | None, json: str | None, time: float | None
) -> None:
    """Refuse what cannot be followed, before any work is done for it.

    Raises:
        OptionError: every option that is wrong.
    """
    wrong = []
    if layout < 1:
        wrong.append(f"--layout {layout}: give 1 or more; 1 is the best")
    if time is not None and not (math.isfinite(time) and time > 0):
        wrong.append(f"--time {time:g}: give a number of seconds above 0")
    wrong += target_faults(csv, "--csv", case)
    wrong += target_faults(json, "--json", case)
    if csv is not None and json is not None and _same(csv, json):
        wrong.append(f"--csv and --json: both go to {csv}; give two different places")
    if wrong:
        raise OptionError(*wrong)


def chosen(result: Result, layout: int) -> Ranked | None:
    """The layout asked for; None where there is none at all.

    Raises:
        OptionError: the list is shorter than that.
    """
    if not result.layouts:
        return None
    count = len(result.layouts)
    if layout > count:
        listed = "there is only 1 layout" if count == 1 else f"there are {count} layouts"
        why = "" if result.complete else " so far: time ran out"
        raise OptionError(f"--layout {layout}: {listed} in the list{why}; give 1 to {count}")
    return result.layouts[layout - 1]


def no_list(result: Result) -> int:
    """Tell why there is no layout and so no list; the exit code. Older files stay as they are."""
    if not result.complete:
        stopped = result.stopped == "interrupt"
        tell("stopped before any layout was found: no list" if stopped else
             "time ran out before any layout was found, so there is no list: give more with --time")
        return OUT_OF_TIME
    errors = [finding.says for finding in result.findings if finding.severity == "error"]
    tell_no_layout(result.case.file, "no layout satisfies the rules, so there is no list", errors)
    return NO_LAYOUT


def _same(one: str, other: str) -> bool:
    if STDOUT in (one, other):
        return one == other
    try:
        return os.path.realpath(one) == os.path.realpath(other)
    except ValueError:
        return False  # no file name at all, which is told already
