"""Which cases a batch takes, and what their results are called."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cli.batch.finding import find_cases, place_of
from cli.batch.names import harmless, relative, result_names
from tests.unit.cli_runs import SHED, write


def case(place: Path) -> str:
    place.parent.mkdir(parents=True, exist_ok=True)
    return write(place.parent, SHED, place.name)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Cases side by side and a folder down, among what is none."""
    place = tmp_path / "roofs"
    for name in ("b.toml", "a.json", "one/case.toml", "two/case.json", "bad.toml"):
        case(place / name)
    (place / "a.json").write_text('{"title": "A", "plane": []}')
    (place / "bad.toml").write_text("title = ")
    (place / "old.json").write_text('{"format": "offseam-result-1", "planes": []}')
    (place / "pyproject.toml").write_text("[tool]\n")
    (place / "notes.md").write_text("")
    (place / ".hidden.toml").write_text(SHED)
    case(place / "empty" / "roof.toml")
    case(place / "deep" / "down" / "case.toml")
    return place


def test_a_folder_gives_its_cases_and_says_what_it_skipped(folder: Path) -> None:
    found = find_cases([str(folder)])
    assert [os.path.relpath(path, folder) for path in found.cases] == [
        "a.json", "b.toml", "bad.toml", "one/case.toml", "two/case.json"]
    assert found.wrong == {}
    (said,) = found.skipped
    assert said.startswith(f"{folder}: skipped ")
    for part in ("old.json (written by this program)", "pyproject.toml (no case: it has neither",
                 "2 folders without case.toml (deep, empty)", "1 file of another kind"):
        assert part in said, part
    assert ".hidden" not in said


def test_a_file_named_is_taken_whatever_it_is(folder: Path) -> None:
    path = str(folder / "notes.md")
    assert find_cases([path, str(folder / "gone.toml")]).cases == [
        path, str(folder / "gone.toml")]


def test_a_pattern_the_shell_left_alone(folder: Path) -> None:
    found = find_cases([str(folder / "b*.toml"), str(folder / "*" / "case.toml")])
    assert [os.path.relpath(path, folder) for path in found.cases] == [
        "b.toml", "bad.toml", "one/case.toml"]
    found = find_cases([str(folder / "z*.toml"), str(folder / "empty" / "*")])
    assert found.wrong == {0: "no file matches this pattern; give the path of a case"}
    assert len(found.cases) == 2


def test_a_name_with_brackets_is_a_file_where_there_is_one(tmp_path: Path) -> None:
    path = case(tmp_path / "roof[1].toml")
    assert find_cases([path]).cases == [path]


def test_arguments_that_stand_for_no_case_keep_their_place(folder: Path) -> None:
    (folder / "bare").mkdir()
    found = find_cases([str(folder / "bare"), str(folder / "b.toml"), "", "a\0b"])
    assert list(found.wrong) == [0, 2, 3]
    assert "no case in this folder" in found.wrong[0]
    assert found.cases[1] == str(folder / "b.toml")


def test_a_case_given_twice_is_solved_once(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    found = find_cases(["b.toml", "./b.toml", str(folder / "b.toml"), "one/../b.toml"])
    assert found.cases == ["b.toml"]
    assert len(found.skipped) == 3 and "given twice" in found.skipped[0]


def test_a_link_to_a_case_is_a_case_of_its_own_but_a_linked_folder_is_not(folder: Path) -> None:
    (folder / "link.toml").symlink_to(folder / "b.toml")
    (folder.parent / "same").symlink_to(folder)
    arguments = [str(folder / "b.toml"), str(folder / "link.toml"),
                 str(folder.parent / "same" / "b.toml")]
    assert find_cases(arguments).cases == arguments[:2]


def names(paths: list[str], out: Path, known: dict[str, str] | None = None) -> list[str]:
    found = result_names(paths, str(out), known or {})
    return [found[path] for path in paths]


def test_results_are_called_as_the_file_or_its_folder(tmp_path: Path) -> None:
    paths = [case(tmp_path / "clinic" / "case.toml"), case(tmp_path / "barn.toml")]
    assert names(paths, tmp_path) == ["clinic", "barn"]


def test_what_would_be_called_the_same_is_told_apart_in_any_order(tmp_path: Path) -> None:
    paths = [case(tmp_path / name) for name in (
        "a/roof.toml", "b/roof.toml", "b/ROOF.json", "x/a/roof.toml", "x/d/case.toml",
        "y/d/case.toml")]
    found = names(paths, tmp_path)
    assert found[1:3] != ["roof", "roof"] and found[4:] == ["x-d", "y-d"]
    assert len({name.casefold() for name in found}) == len(found)
    assert found[0].startswith("a-roof-") and found[3].startswith("a-roof-")
    assert names(paths[::-1], tmp_path) == found[::-1]


def test_a_case_keeps_its_name_and_no_later_one_takes_it(tmp_path: Path) -> None:
    first, second = case(tmp_path / "a" / "roof.toml"), case(tmp_path / "b" / "roof.toml")
    known = {relative(first, str(tmp_path / "out")): "roof"}
    assert names([second], tmp_path / "out", known) == ["b-roof"]
    assert names([second, first], tmp_path / "out", known) == ["b-roof", "roof"]
    os.unlink(first)  # then the name is free again
    assert names([second], tmp_path / "out", known) == ["roof"]


@pytest.mark.parametrize(("text", "name"), [
    ("..", "case"), ("", "case"), ("a/b\\c", "a-b-c"), ("CON", "case-CON"), ("nul.x", "case-nul.x"),
    ("batch", "case-batch"), ("Summary", "case-Summary"), ("=cmd()", "cmd"), (" x ", "x"),
    ("a\nb\x1b", "a-b"), (".hidden", "hidden"), ("屋根", "屋根"), ("\ud800x", "x"), ("-rf", "rf"),
    ("cafe\u0301", "caf\u00e9"), ("a:b*?", "a-b"), ("COM7", "case-COM7"), ("v1.2", "v1.2"),
])  # fmt: skip
def test_hostile_and_reserved_names_are_made_harmless(text: str, name: str) -> None:
    assert harmless(text) == name
    assert harmless(name) == name


def test_no_name_is_too_long() -> None:
    assert len(harmless("x" * 5000)) == 100 and len(harmless("屋" * 5000).encode()) <= 100


def test_places_follow_links_of_folders_only(tmp_path: Path) -> None:
    real = case(tmp_path / "real" / "a.toml")
    (tmp_path / "to").symlink_to(tmp_path / "real")
    assert place_of(str(tmp_path / "to" / "a.toml")) == os.path.realpath(real)
