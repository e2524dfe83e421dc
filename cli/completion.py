"""`offseam completion`: the shell's own script, and what it is answered as the user types.

The script and the parser's part are those of the parser's library. Ours are the files that an
argument can take. Nothing of the solver is loaded for any of it.
"""

from __future__ import annotations

import os
from typing import Annotated, Any, Final, get_args, get_origin, get_type_hints

import typer

from cli.failures import OptionError

EXAMPLES = """\
Examples:

\b
  offseam completion bash > ~/.offseam.bash
  offseam completion zsh > ~/.offseam.zsh
  offseam completion fish > ~/.config/fish/completions/offseam.fish

Then add a line to what the shell reads when it starts; fish needs none:

\b
  source ~/.offseam.bash                 in ~/.bashrc
  source ~/.offseam.zsh                  in ~/.zshrc, behind compinit
"""
SHELLS: Final = ("bash", "zsh", "fish")
_ASKED: Final = "_OFFSEAM_COMPLETE"
_CASES: Final = (".toml", ".json")
_ENDINGS: Final = {
    "CASE": _CASES,
    "CASES": _CASES,
    "OLD": (".json",),
    "NEW": (".json",),
    "SOURCE": (".dxf", ".csv", ".xlsx"),
}
"""By how the help names an argument: the endings of the files it takes."""
_STEERING: Final = frozenset("\\'\"`$!*?[]{}|;&<>~#^")
_MOST_LISTED: Final = 500


def completion_command(
    shell: Annotated[
        str,
        typer.Argument(metavar="SHELL", help="bash, zsh or fish.",
                       autocompletion=lambda incomplete: list(SHELLS)),
    ],
) -> None:
    """Print the script with which a shell completes commands, options and case files."""
    if shell not in SHELLS:
        raise OptionError(f'SHELL "{shell}": give {", ".join(SHELLS[:-1])} or {SHELLS[-1]}')
    typer.echo(_library().get_completion_script(
        prog_name="offseam", complete_var=_ASKED, shell=shell))


def prepare(app: typer.Typer) -> None:
    """Make the app answer a shell that asks how a command line can go on; else do nothing."""
    if not os.environ.get(_ASKED):
        return
    _library().completion_init()
    for command in app.registered_commands:
        if command.callback is None:
            continue
        hints = get_type_hints(command.callback, include_extras=True)
        for hint in hints.values():
            _offer_files(hint)
        # The parser reads them from here; as texts they would be read anew, without our files.
        command.callback.__annotations__ = hints


def _library() -> Any:
    """The parser's own completion, which has no types of its own for what it takes over."""
    from importlib import import_module

    return import_module("typer.completion")


def _offer_files(hint: Any) -> None:
    if get_origin(hint) is not Annotated:
        return
    for info in get_args(hint)[1:]:
        endings = _ENDINGS.get(str(getattr(info, "metavar", None)))
        if endings is not None and getattr(info, "autocompletion", None) is None:
            info.autocompletion = _files(endings)


def _files(endings: tuple[str, ...]) -> Any:
    def offer(incomplete: str) -> list[str]:
        return files(incomplete, endings)

    return offer


def files(incomplete: str, endings: tuple[str, ...]) -> list[str]:
    """Files with one of the endings, and folders, that `incomplete` can go on to.

    A lone folder is opened, so that the shell puts no blank after its name. Names with signs that
    steer a shell are left out: they would have to be quoted, each shell in its own way.
    """
    while True:
        found = _matches(incomplete, endings)
        if len(found) != 1 or not found[0].endswith("/") or found[0] == incomplete:
            return found
        incomplete = found[0]


def _matches(incomplete: str, endings: tuple[str, ...]) -> list[str]:
    folder, name = os.path.split(incomplete)
    try:
        with os.scandir(folder or ".") as entries:
            near = sorted(
                (entry.name, entry.is_dir()) for entry in entries
                if entry.name.startswith(name) and (name or not entry.name.startswith("."))
            )
    except (OSError, ValueError):
        return []
    start = incomplete[: len(incomplete) - len(name)]
    return [
        f"{start}{entry}{'/' if is_folder else ''}" for entry, is_folder in near
        if (is_folder or entry.lower().endswith(endings))
        and entry.isprintable() and " " not in entry and not _STEERING & set(entry)
    ][:_MOST_LISTED]
