"""Names are data: markup, formulas, wide and combining characters, right-to-left text."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.unit.cli_runs import HOSTILE_IDS, hostile_case, offseam, write


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    return write(tmp_path_factory.mktemp("hostile"), hostile_case())


@pytest.mark.parametrize("command", ["solve", "check"])
@pytest.mark.parametrize("env", [{}, {"NO_COLOR": "1"}, {"TERM": "dumb"}, {"COLUMNS": "200"},
                                 {"FORCE_COLOR": "1"}])
def test_every_line_fits_and_carries_no_escapes(
    path: str, command: str, env: dict[str, str]
) -> None:
    done = offseam(command, path, **env)
    assert (done.returncode, done.stderr) == (0, "")
    assert max(cell_len(one) for one in done.stdout.split("\n")) <= 80
    assert "\x1b" not in done.stdout


def test_every_name_is_printed_as_written(path: str) -> None:
    text = offseam("solve", path).stdout
    for name in HOSTILE_IDS:
        if len(name) < 12 and cell_len(name) < 12:
            rows = [one for one in text.split("\n") if one[:3].strip() and f" {name} " in one]
            assert rows, name
    assert "[bold red]Roof[/]" in text and "PLANE [red]S[/]" in text and "PLANE 北斜面" in text


def test_a_terminal_gets_colour_and_the_same_words(path: str, tmp_path: Path) -> None:
    pty = pytest.importorskip("pty")
    import os
    import re
    import sys

    from tests.unit.cli_runs import ROOT

    def on_a_terminal(**env: str) -> str:
        child, handle = pty.fork()
        if child == 0:
            os.chdir(ROOT)
            os.environ.pop("NO_COLOR", None)
            os.environ.update({"TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8", **env})
            os.execv(sys.executable, [sys.executable, "-m", "cli.main", "solve", path])
        seen = b""
        while True:
            try:
                part = os.read(handle, 65536)
            except OSError:
                break
            if not part:
                break
            seen += part
        os.close(handle)
        assert os.waitpid(child, 0)[1] == 0
        return seen.decode().replace("\r\n", "\n")

    coloured = on_a_terminal()
    assert "\x1b[" in coloured
    bare = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    written = offseam("solve", path).stdout
    assert [one.rstrip() for one in bare.split("\n")] == written.split("\n")
    assert "\x1b" not in on_a_terminal(NO_COLOR="1")
    assert "\x1b" not in on_a_terminal(TERM="dumb")
