"""The README names every command and option, and every example in it runs."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.main import get_command

from cli.main import app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^    (offseam [a-z].*)$", README, re.MULTILINE)


def commands() -> dict[str, list[str]]:
    """Every command with its options as typed."""
    group = get_command(app)
    with typer.Context(group) as context:  # type: ignore[attr-defined]
        return {
            name: [option for parameter in command.params for option in parameter.opts
                   if option.startswith("--")]
            for name in group.list_commands(context)  # type: ignore[attr-defined]
            if (command := group.get_command(context, name))  # type: ignore[attr-defined]
        }


def test_every_command_has_two_examples() -> None:
    assert len(commands()) >= 8
    for name in commands():
        found = [example for example in EXAMPLES if example.split()[1] == name]
        assert len(found) >= 2, name


def test_every_option_stands_in_its_commands_section() -> None:
    sections = re.split(r"(?m)^`offseam ", README)
    for name, options in commands().items():
        section = next(text for text in sections if text.startswith(name))
        for option in options:
            if option != "--help":
                assert f"`{option}" in section, (name, option)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo cases and two result files, as a reader of the README would have them."""
    place = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "cases", place / "cases")
    for name in ("before", "after"):
        run(place, f"offseam solve cases/clinic/case.toml --json {name}.json")
    return place


def run(place: Path, line: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "cli.main", *shlex.split(line)[1:]],
        cwd=place, capture_output=True, text=True, check=False,
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
    )


@pytest.mark.parametrize("example", EXAMPLES)
def test_example_runs(folder: Path, example: str) -> None:
    done = run(folder, example)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
