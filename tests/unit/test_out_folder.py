"""Folders are written whole or not at all, and only over what the program itself wrote."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import stat
from pathlib import Path

import pytest

from cli.failures import OptionError, OutputError
from cli.out.folder import folder_faults, refuse_sources_in, write_folder
from cli.out.manifest import FORMAT
from cli.out.targets import Targets, faults


def sealed(files: dict[str, bytes]) -> dict[str, bytes]:
    listed = [{"name": name, "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
              for name, data in files.items()]
    return {**files, "manifest.json": json.dumps({"format": FORMAT, "files": listed}).encode()}


OLD = sealed({"a.csv": b"old", "drawings/p.svg": b"<svg/>", "gone.txt": b"x"})
NEW = sealed({"a.csv": b"new", "drawings/p.svg": b"<svg>2</svg>"})


def holds(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*") if path.is_file()}


def fault(folder: Path) -> str:
    return " ".join(folder_faults(str(folder), "--out", []))


def test_a_new_folder_and_one_written_before(tmp_path: Path) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    assert holds(place) == OLD and fault(place) == ""
    write_folder(str(place), NEW, "--out")
    assert holds(place) == NEW
    assert os.listdir(tmp_path) == ["out"]


def test_an_empty_folder_is_taken_and_its_permissions_stay(tmp_path: Path) -> None:
    place = tmp_path / "out"
    place.mkdir(mode=0o750)
    before = os.umask(0o027)
    try:
        write_folder(str(place), NEW, "--out")
        write_folder(str(tmp_path / "other"), NEW, "--out")
    finally:
        os.umask(before)
    for path, mode in ((place, 0o750), (place / "a.csv", 0o640), (place / "drawings", 0o750),
                       (tmp_path / "other", 0o750)):
        assert stat.S_IMODE(path.stat().st_mode) == mode


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    write_folder(str(tmp_path / "link"), NEW, "--out")
    assert (tmp_path / "link").is_symlink() and holds(tmp_path / "real") == NEW


def foreign(place: Path) -> None:
    (place / "notes.txt").write_text("mine")


def changed(place: Path) -> None:
    (place / "a.csv").write_text("filled in")


def deep(place: Path) -> None:
    (place / "drawings" / "photo.jpg").write_text("mine")


def empty_folder(place: Path) -> None:
    (place / "photos").mkdir()


def linked(place: Path) -> None:
    (place / "a.csv").rename(place.parent / "elsewhere.csv")
    (place / "a.csv").symlink_to(place.parent / "elsewhere.csv")


def no_manifest(place: Path) -> None:
    (place / "manifest.json").unlink()


def other_manifest(place: Path) -> None:
    (place / "manifest.json").write_text('{"format": "else", "files": []}')


def broken_manifest(place: Path) -> None:
    (place / "manifest.json").write_text("[")


@pytest.mark.parametrize(("spoil", "told"), [
    (foreign, "holds notes.txt, which offseam did not write"),
    (changed, "holds a.csv, which was changed since"),
    (deep, "holds drawings/photo.jpg, which offseam did not write"),
    (empty_folder, "holds photos, which offseam did not write"),
    (linked, "holds a.csv, which offseam did not write"),
    (no_manifest, "no manifest.json of offseam"),
    (other_manifest, "no manifest.json of offseam"),
    (broken_manifest, "no manifest.json of offseam"),
])
def test_a_folder_that_is_not_ours_is_refused_and_stays(
    tmp_path: Path, spoil: object, told: str
) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    spoil(place)  # type: ignore[operator]
    before = holds(place)
    assert told in fault(place) and fault(place).startswith(f"--out: {place} ")
    with pytest.raises(OutputError, match="--out: "):
        write_folder(str(place), NEW, "--out")
    assert holds(place) == before
    assert not [name for name in os.listdir(tmp_path) if name.startswith(".offseam")]


def test_what_a_file_browser_leaves_and_what_was_taken_away_are_no_hindrance(
    tmp_path: Path,
) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    (place / ".DS_Store").write_bytes(b"\0")
    (place / "gone.txt").unlink()
    write_folder(str(place), NEW, "--out")
    assert holds(place) == NEW


@pytest.mark.parametrize("step", ["fsync", "rename"])
@pytest.mark.parametrize("trouble", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_trouble_leaves_the_old_folder_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, trouble: BaseException
) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    real, count = getattr(os, step), 0

    def fails(*given: object) -> None:
        nonlocal count
        count += 1
        if count == 2:  # the second file; the second half of the swap
            raise trouble
        real(*given)

    monkeypatch.setattr(os, step, fails)
    with pytest.raises((OutputError, KeyboardInterrupt)):
        write_folder(str(place), NEW, "--out")
    assert holds(place) == OLD and os.listdir(tmp_path) == ["out"]


@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
def test_an_interrupt_amid_the_swap_waits_for_its_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    real = os.rename

    def pressed(*given: object) -> None:
        os.kill(os.getpid(), signal.SIGINT)
        real(*given)  # type: ignore[call-overload]

    monkeypatch.setattr(os, "rename", pressed)
    handler = signal.getsignal(signal.SIGINT)
    with pytest.raises(KeyboardInterrupt):
        write_folder(str(place), NEW, "--out")
    assert holds(place) == NEW and os.listdir(tmp_path) == ["out"]
    assert signal.getsignal(signal.SIGINT) is handler


def test_places_that_cannot_be_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "file"
    file.write_text("x")
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    for target, told in (
        ("-", "is no folder"), ("", "is no folder"), ("a\0b", "is no folder"),
        (str(file), "is a file"), (str(tmp_path / "gone" / "out"), "does not exist"),
        (str(file / "out"), "is a file, no folder"), (".", "the folder you are in"),
        ("..", "the folder you are in"), ("/", "the folder you are in"),
    ):
        (said,) = folder_faults(target, "--svg", [])
        assert said.startswith("--svg: ") and told in said


def test_a_folder_with_a_file_of_the_case_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "out"
    write_folder(str(place), OLD, "--out")
    source = str(place / "a.csv")
    assert "a.csv" in " ".join(folder_faults(str(place), "--out", [source]))
    with pytest.raises(OptionError, match=r"--out: .* holds a file the case is read from"):
        refuse_sources_in(str(place), "--out", [source])
    refuse_sources_in(str(place), "--out", [str(tmp_path / "a.csv")])


@pytest.mark.parametrize(("targets", "told"), [
    (Targets(svg="a", dxf="a"), "--svg and --dxf: both go to a"),
    (Targets(svg="a", dxf="./a/"), "--svg and --dxf: both go to a"),
    (Targets(page="p.html", json="p.html"), "--json and --page: both go to p.html"),
    (Targets(page="-", json="-"), "--json and --page: both go to -"),
    (Targets(json="out/r.json", out="out"), "--json: out/r.json lies in the folder of --out"),
    (Targets(svg="out/svg", out="out"), "--svg: out/svg lies in the folder of --out"),
    (Targets(svg="out", out="out/all"), "--out: out/all lies in the folder of --svg"),
])
def test_no_two_places_are_in_each_others_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, targets: Targets, told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    write_folder("out", OLD, "--out")
    assert [said for said in faults(targets, "case.toml") if said.startswith(told)]
    assert faults(Targets("r.json", "p.html", "s", "d", "out"), "case.toml") == []
