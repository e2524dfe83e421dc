"""Files are written whole or not at all, and wrong targets are told before any work."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from cli.failures import OptionError, OutputError
from cli.files import check_target, write_text
from tests.unit.cli_runs import SHED, offseam, write


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    target = tmp_path / "a.json"
    old = os.umask(0o027)
    try:
        write_text(str(target), "ä\n", "--json")
    finally:
        os.umask(old)
    assert target.read_bytes() == "ä\n".encode()
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_an_old_file_keeps_its_permissions_and_a_link_its_target(tmp_path: Path) -> None:
    real = tmp_path / "real.json"
    real.write_text("old")
    real.chmod(0o604)
    link = tmp_path / "link.json"
    link.symlink_to(real)
    write_text(str(link), "new", "--json")
    assert link.is_symlink() and real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o604


def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "a.json"
    target.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match=r"--json: .*no space left"):
        write_text(str(target), "new", "--json")
    assert target.read_text() == "old"
    assert os.listdir(tmp_path) == ["a.json"]


def test_an_interruption_leaves_nothing_either(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_: object, __: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_text(str(tmp_path / "a.json"), "new", "--json")
    assert os.listdir(tmp_path) == []


def test_text_that_is_no_unicode_becomes_its_json_escape(tmp_path: Path) -> None:
    write_text(str(tmp_path / "a.json"), '"\ud800"', "--json")
    assert (tmp_path / "a.json").read_bytes() == b'"\\ud800"'


def test_a_device_is_written_to_and_never_replaced() -> None:
    check_target(os.devnull, "--json")
    write_text(os.devnull, "gone", "--json")
    assert stat.S_ISCHR(os.stat(os.devnull).st_mode)


def test_targets_that_cannot_be_written_are_named(tmp_path: Path) -> None:
    case = tmp_path / "roof.toml"
    case.write_text("x")
    for target, told in (
        (str(tmp_path), "is a folder"),
        (str(tmp_path / "sub") + os.sep, "is a folder"),
        (str(tmp_path / "gone" / "a.json"), "does not exist"),
        (str(case / "a.json"), "is a file, no folder"),
        ("", "no file name"),
        ("a\0b", "no file name"),
        (str(case), "the case itself"),
        (os.path.join(tmp_path, ".", "roof.toml"), "the case itself"),
    ):
        with pytest.raises(OptionError, match=r"^--json: ") as caught:
            check_target(target, "--json", not_over=str(case))
        assert told in str(caught.value)
    check_target("-", "--json")
    check_target(str(tmp_path / "new.json"), "--json", not_over=str(case))


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_missing_permission_is_told(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OptionError, match="permission"):
            check_target(str(tmp_path / "a.json"), "--json")
    finally:
        tmp_path.chmod(0o700)


def test_none_of_the_files_a_case_is_read_from_is_overwritten(tmp_path: Path) -> None:
    stubs = tmp_path / "stubs.csv"
    stubs.write_text("id,plane,kind,x,y,outside\nV9,S,pipe,50,60,2\n")
    path = write(tmp_path, SHED.replace("[panel]", 'penetrations_csv = "stubs.csv"\n[panel]'))
    soft, hard = tmp_path / "soft.json", tmp_path / "hard.json"
    soft.symlink_to(stubs)
    hard.hardlink_to(stubs)
    before = stubs.read_bytes()
    for command in ("solve", "check"):
        for target in (stubs, soft, hard):
            done = offseam(command, path, "--json", str(target))
            assert (done.returncode, done.stdout) == (2, "")
            assert "--json" in done.stderr and "stubs.csv" in done.stderr
    assert stubs.read_bytes() == hard.read_bytes() == before and soft.is_symlink()
    assert offseam("check", path, "--json", str(tmp_path / "new.json")).returncode == 0


def test_a_wrong_target_is_told_before_solving(tmp_path: Path) -> None:
    path = write(tmp_path, SHED)
    for command in ("solve", "check"):
        done = offseam(command, path, "--json", str(tmp_path))
        assert (done.returncode, done.stdout) == (2, "")
        assert "--json" in done.stderr and "folder" in done.stderr
        assert offseam(command, path, "--json", path).returncode == 2
    assert Path(path).read_text(encoding="utf-8") == SHED
