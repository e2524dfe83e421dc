"""The README's pictures are there, small, told in words, and made by a command that is there."""

from __future__ import annotations

import re
import struct
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PICTURES = re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", README)


def test_the_readme_names_the_command_that_makes_them() -> None:
    assert "`python tests/pictures.py`" in README and (ROOT / "tests/pictures.py").is_file()
    assert {path for _, path in PICTURES} == {"cases/clinic/page.png", "cases/clinic/terminal.png"}
    written = (ROOT / "tests/pictures.py").read_text(encoding="utf-8")
    assert all(path in written for _, path in PICTURES)


@pytest.mark.parametrize(("words", "path"), PICTURES)
def test_picture(words: str, path: str) -> None:
    data = (ROOT / path).read_bytes()
    assert len(words) > 40 and len(data) < 250_000
    # PNG, ISO/IEC 15948: signature, then IHDR with width and height (from memory)
    assert data[:8] == b"\x89PNG\r\n\x1a\n" and data[12:16] == b"IHDR"
    wide, high = struct.unpack(">II", data[16:24])
    assert wide >= 800 and high >= 600
