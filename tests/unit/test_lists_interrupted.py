"""Ctrl-C while a list is made of what was found: the list is handed over all the same."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.unit.cli_runs import ROOT, SHED

CODE = """
import os, signal, sys, time
import {module} as room
made = room.{function}
def slowly(*given):
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(0.5)
    return made(*given)
room.{function} = slowly
sys.argv = ["offseam", "{command}", sys.argv[1]]
from cli.main import main
main()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize(("command", "module", "function"), [
    ("takeoff", "solver.takeoff.lines", "take_offs"),
    ("panels", "solver.panels.list", "panel_list"),
])
def test_the_first_interrupt_hands_over_the_list(
    tmp_path: Path, command: str, module: str, function: str
) -> None:
    file = tmp_path / "case.toml"
    file.write_text(SHED, encoding="utf-8")
    code = CODE.format(command=command, module=module, function=function)
    done = subprocess.run(
        [sys.executable, "-c", code, str(file)], cwd=ROOT, capture_output=True, text=True,
        timeout=60, check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "A shed" in done.stdout
    assert "stopping" in done.stderr and "interrupted" not in done.stderr
