"""Text in cells: cutting, filling, breaking, and tables that fit."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from cli.report.grid import Column, fitted, table
from cli.report.lines import Span, clean, pad, plain, shorten, shorten_middle, wrap
from cli.report.words import joined, plural

WIDE = "屋根屋根屋根屋根"


@pytest.mark.parametrize("text", ["", "a", "abcdefgh", WIDE, "a屋b根c", "🚿🚿🚿", "[b]x[/]"])
@pytest.mark.parametrize("width", range(1, 12))
def test_cut_and_filled_text_has_its_width(text: str, width: int) -> None:
    for cut in (shorten, shorten_middle):
        found = cut(text, width)
        assert cell_len(found) <= width
        assert found == text or "…" in found
    for align in ("left", "right"):
        for place in ("end", "middle"):
            assert cell_len(pad(text, width, align, place)) == width


def test_an_id_cut_in_its_middle_keeps_its_number() -> None:
    assert shorten_middle("roof-vent-north-117", 10) == "roof…h-117"


def test_what_would_steer_a_terminal_is_shown() -> None:
    assert clean("a\x1b[31mb\n\u202ec\x07") == "a\\x1b[31mb\\n\\u202ec\\x07"
    assert clean("[bold]מגדל é 屋根[/]") == "[bold]מגדל é 屋根[/]"


@pytest.mark.parametrize("width", [12, 20, 33, 80])
def test_broken_text_keeps_every_word_and_the_width(width: int) -> None:
    text = "V3 and V7 stand apart: " + WIDE + " " + "x" * 90 + " and [/] so on"
    lines = wrap(text, first="  - ", rest="    ", width=width)
    assert all(cell_len(plain(one)) <= width for one in lines)
    joined_up = "".join(plain(one).removeprefix("  - ").strip() for one in lines)
    assert joined_up.replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("length", ["2 1/2\"", "28' 11\"", "212' 11 15/16\"", "350 mm"])
def test_a_length_is_never_broken(length: str) -> None:
    for width in range(20, 60):
        lines = wrap(f"the pipe is moved by {length} towards the gable", width=width)
        assert sum(length in plain(one) for one in lines) == 1


def test_a_table_narrows_only_what_may_be_narrowed() -> None:
    columns = [Column("id", least=6, cut="middle"), Column("at", "right")]
    rows = [[Span("x" * 60), Span("12' 11 1/2\"")], [Span(WIDE), Span("3\"")]]
    lines = [plain(one) for one in table(columns, rows, width=30)]
    assert all(cell_len(one) <= 30 for one in lines)
    assert lines[2].endswith("12' 11 1/2\"") and "…" in lines[2]
    assert lines[3].endswith(" 3\"") and WIDE in lines[3]


def test_two_blanks_between_columns_where_there_is_room() -> None:
    columns = [Column("a"), Column("b")]
    assert fitted([4, 4], columns, 10) == ([4, 4], 2)
    assert fitted([4, 4], columns, 9) == ([4, 4], 1)


def test_counting_words() -> None:
    assert plural(1, "pipe") == "1 pipe" and plural(1200, "pipe") == "1,200 pipes"
    assert joined(["a"]) == "a" and joined(["a", "b", "c"]) == "a, b and c"
