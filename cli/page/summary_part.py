"""Head of the page, the layouts compared, findings and cautions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cli.page.markup import bullets, esc, name, paragraph, shown, table
from cli.report.closing import CAUTIONS, rates_words
from cli.report.lines import clean, plain
from cli.report.pages import title_lines
from cli.report.ranked_table import HEADINGS, wanted_counts
from cli.report.words import Lengths, money
from solver.case import Case
from solver.result import COUNT_NAMES, PROVEN, Finding, Judged, Result

_WEIGHTS: Final = (("error", "Errors"), ("warning", "Warnings"), ("note", "Notes"))
_MANY: Final = 12


def top(result: Result) -> str:
    """The title, what was read, how sure the answer is, and where things are on the page."""
    case = result.case
    said = " ".join(plain(line).strip() for line in title_lines(case)[1:])
    links = "".join(
        f'<li><a href="#{where}">{words}</a></li>' for where, words in _contents(result)
    )
    return (
        f'<header class="top"><h1 dir="auto">{esc(shown(case.title).strip() or "(no title)")}</h1>'
        f"{paragraph(said)}{paragraph(_proof(result))}<nav aria-label=\"On this page\"><ul>{links}"
        "</ul></nav></header>"
    )


def _contents(result: Result) -> Iterator[tuple[str, str]]:
    if result.layouts or result.usual or result.as_drawn:
        yield "cost", "Cost"
    if result.layouts or result.usual or result.as_drawn or result.blind:
        yield "compared", "Layouts compared"
    if result.layouts or result.usual or result.as_drawn:
        for number, plane in enumerate(result.case.planes[:12]):
            yield f"plane-{number}", f"Plane {name(plane.id)}"
    yield "findings", "Findings"
    if result.layouts:
        yield from (("stubs", "Stub-up list"), ("takeoff", "Take-off"), ("field", "Field sheet"))
    yield "cautions", "Before you build"


def _proof(result: Result) -> str:
    if not result.layouts:
        return ("No layout satisfies the rules: the findings say why." if result.complete else
                "No layout was found in the time given.")
    if result.proven and result.complete:
        return "The list is proven: no layout that obeys the rules costs less."
    return "The list is not proven: the work was ended early, and there may be a better one."


def compared_section(result: Result) -> str:
    """The list, the usual layout, the best as drawn and the blind start, side by side; nothing
    where there is none of them."""
    case = result.case
    found: list[tuple[str, Judged, str, str]] = [
        (f"Layout {entry.rank}", entry.judged,
         "proven" if entry.proof == PROVEN else f"at least {money(entry.bound)}",
         clean(entry.against_first.says))
        for entry in result.layouts
    ]
    for title, judged in (("Usual", result.usual), ("As drawn", result.as_drawn)):
        if judged is not None:
            broken = " ".join(clean(breach.says) for breach in judged.breaks[:3])
            found.append((title, judged, "", f"breaks a rule: {broken.rstrip('.')}"
                          if broken else ""))
    counts = [
        (place, count) for place, count in enumerate(COUNT_NAMES)
        if count in wanted_counts(case) or any(one.counts[place] for _, one, _, _ in found)
    ]
    heads = ["", "Extra cost", *(HEADINGS[count].replace("\n", " ") for _, count in counts),
             "Proof"]
    rows = [
        [esc(title), money(judged.cost.total), *(str(judged.counts[n]) for n, _ in counts),
         esc(proof)]
        for title, judged, proof, _ in found
    ]
    if not rows and result.blind is None:
        return ""
    out = ['<section id="compared"><h2>Layouts compared</h2>']
    if rows:
        out.append(table("What each costs and does", heads, rows, kind="compared"))
        out.append(bullets(f"{title}: {says}." for title, _, _, says in found[1:] if says))
        out.append(_widths(case, result, found))
    if result.blind is not None:
        starts = sum(result.blind.starts.values())
        out.append(paragraph(
            f"Blind start (each plane started at any of its legal first widths, {starts:,} in all, "
            f"nothing moved): mean {money(result.blind.mean)}, worst {money(result.blind.worst)}."
        ))
    return "".join([*out, "</section>"])


def _widths(case: Case, result: Result, found: list[tuple[str, Judged, str, str]]) -> str:
    lengths = Lengths(case)
    rows = []
    for number, plane in enumerate(case.planes):
        cells = [name(plane.id)]
        for place, (_, judged, _, _) in enumerate(found):
            ends = judged.planes[number]
            if not ends.seams:
                cells.append("one panel")
                continue
            text = f"{lengths.near(ends.first)} / {lengths.near(ends.last)}"
            if place < len(result.layouts) and plane.start is None:
                low, high = result.layouts[place].windows[number]
                text += (" (exact)" if low == high else
                         f" ({lengths.near(low)} to {lengths.near(high)})")
            cells.append(esc(text))
        rows.append(cells)
    heads = ["Plane", *(title for title, _, _, _ in found)]
    title = "First and last panel of each plane, and how far off the start may be"
    return table(title, heads, rows)


def findings_section(result: Result) -> str:
    """All findings, errors first; many of one kind fold."""
    out = ['<section id="findings" class="sheet"><h2>Findings</h2>']
    for weight, title in _WEIGHTS:
        own = [one for one in result.findings if one.severity == weight]
        if own:
            out.append(f"<h3>{title}</h3>{_listed(own)}")
    if not result.findings:
        out.append("<p>None.</p>")
    return "".join([*out, "</section>"])


def _listed(findings: list[Finding]) -> str:
    by_code: dict[str, list[Finding]] = {}
    for one in findings:
        by_code.setdefault(one.code, []).append(one)
    out = []
    for code, own in by_code.items():
        items = [f'<li dir="auto">{esc(clean(one.says))} <code>[{esc(code)}]</code></li>'
                 for one in own]
        whole = f'<ul class="findings">{"".join(items)}</ul>'
        if len(items) > _MANY:
            out.append(f'<details class="in-print"><summary>{len(items):,} findings '
                       f"[{esc(code)}]</summary>{whole}</details>")
        else:
            out.append(whole)
    return "".join(out)


def cautions_section(case: Case) -> str:
    """What the figures do not say."""
    return (f'<section id="cautions"><h2>Before you build from this</h2>'
            f"{bullets([*CAUTIONS, *rates_words(case)])}</section>")
