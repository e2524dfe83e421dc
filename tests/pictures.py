"""Makes the README's pictures from the demo case `clinic`, with Chromium.

    python tests/pictures.py

writes cases/clinic/page.png, the page of `offseam solve --page`, and cases/clinic/terminal.png,
what `offseam solve` prints, its first lines. Chromium is Debian's, or the one that CHROMIUM names.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
CASE = "cases/clinic/case.toml"
PAGE = ROOT / "cases/clinic/page.png"
TERMINAL = ROOT / "cases/clinic/terminal.png"
LARGEST = 250_000
LINES = 41
"""Lines of the report on the picture: the list of layouts."""
_TITLE = 30
"""Height of the title that rich leaves room for, in its units."""
ARGUMENTS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
SVG = """\
<svg class="rich-terminal" viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: "DejaVu Sans Mono", "Liberation Mono", monospace;
 font-size: {char_height}px; line-height: {line_height}px; }}
{styles}
</style>
<defs>{lines}</defs>
<rect width="{width}" height="{height}" fill="#ffffff"/>
<g transform="translate({terminal_x}, {terminal_y})">{backgrounds}
<g class="{unique_id}-matrix">{matrix}</g></g>
</svg>
"""
"""Plain paper: rich's own frame asks a network for its letters."""


def terminal_svg() -> str:
    """The first lines of the report, as a terminal with light paper shows them."""
    from rich.console import Console
    from rich.terminal_theme import TerminalTheme
    from rich.text import Text

    from cli.report.pages import solve_page
    from cli.screen import _STYLES
    from solver.api import load_case, solve

    dark = [(0, 0, 0), (170, 30, 30), (20, 110, 50), (150, 90, 0), (0, 80, 160), (150, 40, 120),
            (0, 110, 120), (90, 90, 90)]
    paper = TerminalTheme((255, 255, 255), (20, 20, 20), dark, dark)
    console = Console(record=True, width=80, file=open(os.devnull, "w"), force_terminal=True,  # noqa: SIM115
                      color_system="standard", highlight=False, markup=False, emoji=False)
    prompt = Text(f"$ offseam solve {CASE}", style="bold")
    console.print(prompt)
    for line in solve_page(solve(load_case(CASE)), 1)[:LINES]:
        text = Text()
        for span in line:
            text.append(span.text, style=_STYLES[span.style])
        console.print(text, soft_wrap=True)
    return console.export_svg(theme=paper, code_format=SVG, unique_id="report")


def cropped(svg: str) -> tuple[str, float]:
    """A drawing without the room for a title, and its height for a width of 1."""
    _, _, wide, high = svg.split('viewBox="')[1].split('"')[0].split()
    shown = float(high) - _TITLE
    text = svg.replace(f'viewBox="0 0 {wide} {high}"', f'viewBox="0 {_TITLE} {wide} {shown}"')
    return text, shown / float(wide)


def page_html() -> str:
    """The page of the case."""
    from cli.page.page import page_text
    from solver.api import load_case, solve

    return page_text(solve(load_case(CASE)))


def shoot(
    browser: Any, text: str, ending: str, target: Path, wide: int, high: int, at: str = ""
) -> None:
    """A picture of a document in a window of that size, scrolled to what `at` selects."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"shown{ending}"
        file.write_text(text, encoding="utf-8")
        page = browser.new_page(viewport={"width": wide, "height": high})
        page.goto(file.as_uri())
        page.wait_for_timeout(500)
        if at:
            page.evaluate("at => window.scrollBy(0, document.querySelector(at)"
                          ".getBoundingClientRect().top - 64)", at)
            page.wait_for_timeout(300)
        page.screenshot(path=str(target))
        page.close()
    if target.stat().st_size >= LARGEST:
        raise SystemExit(f"{target} has {target.stat().st_size} bytes; pictures stay below "
                         f"{LARGEST}")


def main() -> None:
    """Write both pictures."""
    from playwright.sync_api import sync_playwright

    os.chdir(ROOT)
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        raise SystemExit("no Chromium: install Debian's chromium, or name one in CHROMIUM")
    svg, ratio = cropped(terminal_svg())
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=ARGUMENTS)
        shoot(browser, page_html(), ".html", PAGE, 1200, 1000, "section.plane")
        shoot(browser, svg, ".svg", TERMINAL, 900, round(900 * ratio))
        browser.close()
    print(f"wrote {PAGE.relative_to(ROOT)} and {TERMINAL.relative_to(ROOT)}")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
