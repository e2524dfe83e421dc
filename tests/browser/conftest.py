"""A browser for the page: Debian's Chromium, headless, without a network."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ARGUMENTS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]


def _chromium() -> str:
    for found in (os.environ.get("CHROMIUM", ""), "/usr/bin/chromium", shutil.which("chromium")):
        if found and Path(found).exists():
            return found
    pytest.skip("no Chromium on this machine: install Debian's chromium, or name one in CHROMIUM")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The browser; skipped where there is none."""
    path = _chromium()
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium: Any, tmp_path: Path) -> Iterator[Any]:
    """Opens a page's text in a window of `wide` by `high`; at the end no error was logged, nothing
    was asked of a network, and no script but the page's own ran."""
    contexts, wrong = [], []

    def open_(text: str, *, wide: int = 1280, high: int = 900, touch: bool = False) -> Any:
        file = tmp_path / f"page{len(contexts)}.html"
        file.write_text(text, encoding="utf-8")
        context = chromium.new_context(viewport={"width": wide, "height": high}, has_touch=touch)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: wrong.append(f"console: {said.text}"))
        page.on("pageerror", lambda error: wrong.append(f"error: {error}"))
        page.on("dialog", lambda dialog: (wrong.append("a dialog"), dialog.dismiss()))
        page.on("request", lambda asked: wrong.append(f"request: {asked.url[:90]}")
                if not asked.url.startswith(("file:", "data:")) else None)
        page.goto(file.as_uri())
        return page

    yield open_
    for context in contexts:
        context.close()
    assert not wrong
