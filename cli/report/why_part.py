"""The page of `offseam why`: the verdict, the groups one by one, and how far was looked."""

from __future__ import annotations

from cli.report.bent_part import left_out_lines, plain_words
from cli.report.closing import CAUTIONS
from cli.report.lines import BLANK, Line, clean, heading, pad, wrap
from cli.report.pages import title_lines
from cli.report.why_words import (
    Tape,
    none_words,
    pair_words,
    relief_words,
    runs_words,
    single_words,
    starts_words,
)
from cli.report.words import id_of, joined, plural
from solver.case import Case
from solver.conflicts.result import Explanation, Group, Part

_NAMES = 12
_OFTEN = 5


def why_page(case: Case, answers: list[Explanation]) -> list[Line]:
    """The whole report: one answer for each cover that the case compares."""
    lines = title_lines(case)
    for answer in answers:
        tape = Tape(answer.case)
        lines.append(BLANK)
        if len(answers) > 1:
            lines += [heading(f"COVER {tape.near(answer.case.panel.cover)}")]
        lines += _answer(tape, answer)
        if case.rules.robust:
            lines += wrap("Clear means here: still clear after the worst shift of seams and "
                          "measurements (robust).", first="  ")
        lines += left_out_lines(answer.case, "this explanation")
        if case.freeze.moves or case.freeze.firsts:
            lines += wrap("Agreed moves count as made, and agreed first widths stay.", first="  ")
    return [*lines, BLANK, *_closing()]


def _answer(tape: Tape, answer: Explanation) -> list[Line]:
    lines: list[Line] = []
    for reason in answer.reasons:
        lines += wrap(f"[{reason.code}] {clean(reason.says)}", rest="  ", style="bad")
    held = [part for part in answer.parts if part.best and part.penetrations]
    if not held:
        return lines or wrap("Nothing stands on this roof: there is nothing to be clear of a seam.")
    if answer.all_clear:
        lines += wrap("WITH NOTHING MOVED, EVERYTHING CAN BE CLEAR.", style="good")
    elif not answer.reasons:
        lines += wrap("WITH NOTHING MOVED, NOT EVERYTHING CAN BE CLEAR.", style="warn")
    else:
        lines += wrap(f"So no layout {plain_words(answer.case)}obeys the rules. What can be clear "
                      "where there is a start:")
    for part in held:
        lines += _part(tape, part)
    if answer.stopped:
        lines += wrap("The work was ended early by Ctrl-C: what follows is what was known by then.",
                      first="  ", style="warn")
    if not answer.found:
        return lines if answer.all_clear else [*lines, *_how_far(answer)]
    lines += [BLANK, heading(_groups_head(answer))]
    lines += wrap("Whatever the first widths, one of a group is not clear; leave any one of them "
                  "out and the rest of the group can all be clear. Smallest groups first."
                  if any(len(g.members) > 1 for g in answer.groups) else
                  "None of these is clear, whatever the first widths.")
    for number, group in enumerate(answer.groups, 1):
        lines += [BLANK, *_group(tape, number, group)]
    return [*lines, BLANK, *_how_far(answer)]


def _groups_head(answer: Explanation) -> str:
    shown, found = len(answer.groups), answer.found
    more = "at least " if any(not part.complete for part in answer.parts) else ""
    if shown == found and not more:
        return f"WHAT EXCLUDES WHAT: {plural(found, 'group')}"
    return f"WHAT EXCLUDES WHAT: {shown:,} of {more}{plural(found, 'group')}"


def _part(tape: Tape, part: Part) -> list[Line]:
    """The best start of one plane, or of planes that must links tie together."""
    what = _planes(part.planes)
    if part.all_clear:
        says = f"{what}: all {plural(part.penetrations, 'penetration')} clear, starting at "
        says = says.replace("all 1 penetration", "its 1 penetration")
        says += starts_words(tape, part.best)
        if len(part.runs) > 1 or (part.runs and part.runs[0][0] != part.runs[0][1]):
            says += f"; it may be anywhere from {runs_words(tape, part.runs)}"
        return wrap(f"{says}.", first="  ", rest="    ")
    count = len(part.not_clear)
    bound = "at best" if part.proven else "with a good start"
    says = (f"{what}: {bound} {part.penetrations - count:,} of "
            f"{plural(part.penetrations, 'penetration')} clear, starting at "
            f"{starts_words(tape, part.best)}; then {_names(part.not_clear)} "
            f"{'is' if count == 1 else 'are'} not.")
    lines = wrap(says, first="  ", rest="    ")
    often = [(name, n) for name, n in part.often if n > 1][:_OFTEN]
    if len(part.often) > 2 and often:
        named = ", ".join(f"{id_of(name)} in {n:,}" for name, n in often)
        groups = f" of {plural(part.found, 'group')}" if part.ended != "count" else ""
        lines += wrap(f"Most often part of a group: {named}{groups}.", first="    ", rest="      ")
    return lines


def _planes(ids: tuple[str, ...]) -> str:
    if len(ids) == 1:
        return f"Plane {id_of(ids[0])}"
    return f"Planes {joined([id_of(name) for name in ids])} (tied by must links)"


def _names(ids: tuple[str, ...]) -> str:
    shown = [id_of(name) for name in ids[:_NAMES]]
    more = len(ids) - len(shown)
    return joined([*shown, f"{more:,} more"]) if more else joined(shown)


def _group(tape: Tape, number: int, group: Group) -> list[Line]:
    on = dict.fromkeys(member.plane for member in group.members)
    if len(on) == 1:
        who = f"{joined([id_of(name) for name in group.ids])} on plane {id_of(next(iter(on)))}"
    else:
        who = joined([f"{id_of(m.id)} (plane {id_of(m.plane)})" for m in group.members])
    head = f"{number:>3}. "
    lines = wrap(who, first=head, rest=" " * len(head), style="head")
    says: list[str] = []
    if group.single is not None:
        says += single_words(tape, group)
    elif group.pair is not None:
        says.append(pair_words(tape, group.pair))
    for text in says:
        lines += wrap(text, first="     ")
    if group.pair is None and (len(group.members) > 1 or group.members[0].runs):
        lines += _runs_table(tape, group)
    for relief in group.reliefs:
        lines += wrap(relief_words(tape, group, relief), first="     ", style="warn")
    if group.without:
        lines += _without(tape, group)
    if not group.whole:
        lines += wrap(f"The checker judged {group.judged:,} starts of this group, not all of "
                      "them: they are too many.", first="     ")
    return lines


def _runs_table(tape: Tape, group: Group) -> list[Line]:
    """Every member's own stretch of first widths, so that a reader sees that they share none."""
    many = len({member.plane for member in group.members}) > 1
    lines = wrap("First widths that leave each one clear:" if len(group.members) > 1 else
                 "First widths that leave it clear:", first="     ")
    names = [id_of(m.id) + (f" (plane {id_of(m.plane)})" if many else "") for m in group.members]
    width = min(max(map(len, names)), 24)
    for name, member in zip(names, group.members, strict=True):
        lead = f"       {pad(name, width, cut='middle')}  "
        lines += wrap(runs_words(tape, member.runs), first=lead, rest=" " * len(lead))
    return [*lines, *wrap(none_words(tape, group), first="     ")]


def _without(tape: Tape, group: Group) -> list[Line]:
    parts = []
    for drop in group.without:
        rest = [id_of(name) for name in group.ids if name != drop.id]
        those = f"{rest[0]} is clear" if len(rest) == 1 else (
            "the other two are clear" if len(rest) == 2 else f"the other {len(rest)} are clear")
        parts.append(f"without {id_of(drop.id)}, {those} starting at "
                     f"{starts_words(tape, drop.starts)}")
    says = "; ".join(parts)
    return wrap(says[0].upper() + says[1:] + ".", first="     ")


def _how_far(answer: Explanation) -> list[Line]:
    """What was looked for, where the search ended, and what the checker judged."""
    lines: list[Line] = []
    for part in answer.parts:
        if part.complete:
            continue
        name = _planes(part.planes)
        if part.ended == "size":
            says = f"{name}: groups of more than {part.complete_to} were not looked for (--size)."
        elif part.ended == "count":
            says = (f"{name}: very many groups; the search ended at {part.found:,}. "
                    f"{_complete_words(part)}")
        else:
            why = "by Ctrl-C" if part.ended == "stopped" else "where it grew too long"
            says = f"{name}: the search was ended {why}. {_complete_words(part)}"
        lines += wrap(says, first="  ", rest="    ")
    if not lines and answer.found:
        lines += wrap("These are all the groups there are." if answer.found == len(answer.groups)
                      else "All groups there are have been found.", first="  ", rest="    ")
    if len(answer.groups) < answer.found:
        lines += wrap(f"The first {len(answer.groups):,} are shown: give a larger --most for more.",
                      first="  ", rest="    ")
    if not answer.groups:
        return lines
    judged = sum(group.judged for group in answer.groups)
    whole = all(group.whole for group in answer.groups)
    every = "every legal start" if whole else f"{judged:,} starts, not all of them,"
    lines += wrap(f"Every group shown was judged again by the independent checker: {every} leaves "
                  "one of the group not clear, and every start named here does what it says.",
                  first="  ", rest="    ")
    return lines


def _complete_words(part: Part) -> str:
    if not part.complete_to:
        return "There may be more of any size."
    return (f"Every group of up to {part.complete_to} is known; of larger ones there may be more.")


def _closing() -> list[Line]:
    lines = [heading("BEFORE YOU BUILD FROM THIS")]
    lines += wrap("A start that leaves these clear may still cost more than another: offseam solve "
                  "weighs it all.", first="  - ", rest="    ")
    for caution in CAUTIONS[1:]:
        lines += wrap(caution, first="  - ", rest="    ")
    return lines
