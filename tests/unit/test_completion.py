"""`offseam completion`: scripts, answers to a shell, and nothing slow or steering in them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from cli.completion import files
from tests.unit.cli_runs import ROOT, offseam

HEAVY = {"numpy", "ortools", "solver.case_file.entries", "solver.api", "ezdxf", "openpyxl"}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with cases, and the command as a shell would find it."""
    tool = tmp_path / "bin" / "offseam"
    tool.parent.mkdir()
    tool.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m cli.main "$@"\n')
    tool.chmod(0o755)
    work = tmp_path / "work"
    (work / "cases" / "shed").mkdir(parents=True)
    (work / "cases" / "shed" / "case.toml").write_text("")
    for name in ("roof.toml", "notes.txt", "result.json", "plan.dxf", ".hidden.toml"):
        (work / name).write_text("")
    return work


def run(place: Path, *command: str, **env: str) -> subprocess.CompletedProcess[str]:
    path = f"{place.parent / 'bin'}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(command, cwd=place, capture_output=True, text=True, timeout=60,
                          check=False, env={"PATH": path, "HOME": str(place.parent), **env})


def in_bash(place: Path, *words: str) -> list[str]:
    """What bash offers for the last of these words."""
    script = (
        'eval "$(offseam completion bash)"; '
        f'COMP_WORDS=(offseam {" ".join(repr(word) for word in words)}); COMP_CWORD={len(words)}; '
        '_offseam_completion offseam; printf "%s\\n" "${COMPREPLY[@]}"'
    )
    done = run(place, "bash", "--norc", "-c", script)
    assert done.stderr == ""
    return done.stdout.split()


def test_bash(place: Path) -> None:
    assert in_bash(place, "so") == ["solve"]
    assert {"solve", "import", "completion"} <= set(in_bash(place, ""))
    assert in_bash(place, "solve", "--js") == ["--json"]
    assert in_bash(place, "solve", "") == ["cases/", "result.json", "roof.toml"]
    assert in_bash(place, "check", "ro") == ["roof.toml"]
    assert in_bash(place, "solve", "ca") == ["cases/shed/case.toml"]
    assert in_bash(place, "import", "pl") == ["plan.dxf"]
    assert in_bash(place, "completion", "") == ["bash", "zsh", "fish"]


@pytest.mark.skipif(shutil.which("fish") is None, reason="fish is not installed here")
def test_fish(place: Path) -> None:
    def offered(line: str) -> set[str]:
        script = f"offseam completion fish | source; complete -C '{line}'"
        done = run(place, "fish", "--no-config", "-c", script)
        return {one.split("\t")[0] for one in done.stdout.splitlines()}

    assert offered("offseam so") == {"solve"}
    assert "roof.toml" in offered("offseam solve ro")
    assert "--json" in offered("offseam solve --js")


@pytest.mark.skipif(shutil.which("zsh") is None, reason="zsh is not installed here")
def test_zsh_takes_the_script(place: Path) -> None:
    script = ('autoload -Uz compinit; compinit -u; eval "$(offseam completion zsh)"; '
              "print ${_comps[offseam]}")
    done = run(place, "zsh", "-f", "-c", script)
    assert done.stdout.strip() == "_offseam_completion", done.stderr
    done = run(place, "offseam", _OFFSEAM_COMPLETE="complete_zsh",
               _TYPER_COMPLETE_ARGS="offseam solve ro")
    assert '"roof.toml"' in done.stdout


@pytest.mark.parametrize("words", ["offseam ", "offseam solve ", "offseam import --o"])
def test_an_answer_loads_nothing_slow(place: Path, words: str) -> None:
    done = run(place, sys.executable, "-X", "importtime", "-m", "cli.main", PYTHONPATH=str(ROOT),
               _OFFSEAM_COMPLETE="complete_bash", COMP_WORDS=words,
               COMP_CWORD=str(len(words.split(" ")) - 1))
    assert done.returncode == 0 and done.stdout.strip()
    loaded = {line.rsplit("|", 1)[-1].strip() for line in done.stderr.splitlines()}
    assert "typer" in loaded and not loaded & HEAVY


def test_a_shell_that_is_not_known_is_told() -> None:
    done = offseam("completion", "csh")
    assert (done.returncode, done.stderr) == (2, 'SHELL "csh": give bash, zsh or fish\n')


def test_names_that_would_steer_a_shell_are_not_offered(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hostile = ["$(touch owned).toml", "`touch owned`.toml", "a'b.toml", 'a"b.toml', "a\\b.toml",
               "a\nb.toml", "two words.toml", "*.toml", "a;b.toml", "\x1b[2J.toml"]
    for name in hostile:
        (place / name).write_text("")
    (place / "屋根.toml").write_text("")
    monkeypatch.chdir(place)
    assert files("", (".toml",)) == ["cases/", "roof.toml", "屋根.toml"]
    assert files("nowhere/", (".toml",)) == [] == files("\0", (".toml",))
    assert in_bash(place, "solve", "a") == [] and not (place / "owned").exists()


def test_every_help_has_examples() -> None:
    for command in in_help():
        done = offseam(command, "--help")
        assert "Examples:" in done.stdout and f"offseam {command}" in done.stdout.split(
            "Examples:")[1], command
        assert max(map(len, done.stdout.splitlines())) <= 80, command


def in_help() -> list[str]:
    text = offseam("--help").stdout.split("Commands:")[1].split("Examples:")[0]
    return [line.split()[0] for line in text.splitlines()
            if line.startswith("  ") and line[2:3].isalpha()]
