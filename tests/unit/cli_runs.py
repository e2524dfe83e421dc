"""Running the command line in a process of its own, and the cases it is run on."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

HEAD = """\
title = "A shed"
units = "in"
[panel]
cover = 18
"""
SHED = HEAD + """\
[[plane]]
id = "S"
width = "20 ft"
length = "12 ft"
low_end = "west gable"
high_end = "east gable"
[[penetration]]
id = "V1"
plane = "S"
kind = "pipe"
x = "8 ft"
y = 60
outside = 3.5
status = "planned"
[[penetration]]
id = "V2"
plane = "S"
kind = "pipe"
x = "15 ft"
y = 60
outside = 2.375
"""
NOTHING_OBEYS = HEAD + """\
[rules]
forbid = ["tight", "crosses", "on-seam"]
[[plane]]
id = "S"
width = "20 ft"
length = "12 ft"
[[penetration]]
id = "A"
plane = "S"
kind = "pipe"
x = 100
y = 30
outside = 3.5
[[penetration]]
id = "B"
plane = "S"
kind = "pipe"
x = 109
y = 90
outside = 3.5
"""
"""Two fixed pipes 9 in apart under 18 in panels: each needs 5 1/4 in beside a seam, so the pan that
holds both has no room, and a seam between them is nearer than that to one of them."""

HOSTILE_IDS = (
    "[bold]x[/]", "=cmd()", "<script>", "🚿🚿", "מגדל", "屋根屋根屋根屋根屋根屋根屋根屋根",
    "a=b", "x" * 80, "[/]", "{0}", "%s", "-", "V 1", "..", "'", "é\u0301\u0301", "NUL", "[link=x]",
    "&amp;", "$(id)",
)


def hostile_case() -> str:
    """Two slopes and 20 penetrations whose names would mean something to a careless printer."""
    planes = ("[red]S[/]", "北斜面")
    text = HEAD.replace("A shed", "[bold red]Roof[/] of 屋根" + "屋根" * 40)
    for place, plane in enumerate(planes):
        lay = ("left-to-right", "right-to-left")[place]
        text += (
            f'[[plane]]\nid = "{plane}"\nwidth = "61 ft"\nlength = "40 ft"\nlay = "{lay}"\n'
            'low_end = "[link=x]西の妻西の妻西の妻西の妻西の妻西の妻西の妻[/link]"\n'
            'high_end = "the east gable of the very long building twelve"\n'
        )
    text += f'[[link]]\nplanes = ["{planes[0]}", "{planes[1]}"]\nhow = "mirror"\n'
    for place, name in enumerate(HOSTILE_IDS):
        status = ("planned", "stubbed", "fixed")[place % 3]
        text += (
            f'[[penetration]]\nid = "{name}"\nplane = "{planes[place % 2]}"\nkind = "pipe"\n'
            f"x = {40.3125 + 33.4375 * place}\ny = {40 + 17 * (place % 9)}\noutside = 3.5\n"
            f'status = "{status}"\n'
        )
    return text + (
        '[[penetration]]\nid = "C1"\nplane = "北斜面"\nkind = "curb"\nx = 300\ny = 400\n'
        "across = 38\nalong = 50\n"
    )


def write(folder: Path, text: str, name: str = "roof.toml") -> str:
    """Put a case into a file and return its path."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def offseam(*args: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own, its output captured and so not on a terminal."""
    return subprocess.run(
        [sys.executable, "-m", "cli.main", *args], cwd=ROOT, capture_output=True, timeout=60,
        encoding="utf-8", env={**os.environ, "PYTHONIOENCODING": "utf-8", **env}, check=False,
    )  # fmt: skip


def offseam_on_a_terminal(*args: str) -> tuple[int, str]:
    """Run the command with everything on one terminal; its exit code and all that was shown."""
    import pty

    child, handle = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        os.environ.update({"TERM": "dumb", "PYTHONIOENCODING": "utf-8"})
        os.execv(sys.executable, [sys.executable, "-m", "cli.main", *args])
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
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return code, seen.decode().replace("\r\n", "\n")
