"""The command line: one app, its commands, and one place where failures are told."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from cli import (
    batch_command,
    check_command,
    compare_command,
    completion,
    field_command,
    free_command,
    import_command,
    new_command,
    panels_command,
    place_command,
    replan_command,
    risk_command,
    schema_command,
    solve_command,
    stubs_command,
    survey_command,
    takeoff_command,
    why_command,
)
from cli.failures import INTERRUPTED, WRONG_INPUT, exit_code, tell
from cli.files import plug_streams
from cli.usage import UsageError, usage_words

EPILOG = """\
Examples:

\b
  offseam solve roof.toml              rank the layouts of a roof
  offseam check roof.toml --first S=11.5 --move V1=-2.5
  offseam why roof.toml                why not everything can be clear
  offseam stubs roof.toml              the list for the plumber

Exit codes: 0 done; 2 the command line or the case is wrong; 3 no layout satisfies the rules;
4 time ran out before any layout was found; 1 a fault of the program.
"""

app = typer.Typer(
    name="offseam",
    help="Lay out standing seam metal roof panels: where each seam stands relative to pipes and "
         "curbs.",
    epilog=EPILOG,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
app.command("solve", epilog=solve_command.EXAMPLES)(solve_command.solve_command)
app.command("check", epilog=check_command.EXAMPLES)(check_command.check_command)
app.command("why", epilog=why_command.EXAMPLES)(why_command.why_command)
app.command("free", epilog=free_command.EXAMPLES)(free_command.free_command)
app.command("place", epilog=place_command.EXAMPLES)(place_command.place_command)
app.command("stubs", epilog=stubs_command.EXAMPLES)(stubs_command.stubs_command)
app.command("panels", epilog=panels_command.EXAMPLES)(panels_command.panels_command)
app.command("takeoff", epilog=takeoff_command.EXAMPLES)(takeoff_command.takeoff_command)
app.command("field", epilog=field_command.EXAMPLES)(field_command.field_command)
app.command("survey", epilog=survey_command.EXAMPLES)(survey_command.survey_command)
app.command("replan", epilog=replan_command.EXAMPLES)(replan_command.replan_command)
app.command("risk", epilog=risk_command.EXAMPLES)(risk_command.risk_command)
app.command("compare", epilog=compare_command.EXAMPLES)(compare_command.compare_command)
app.command("batch", epilog=batch_command.EXAMPLES)(batch_command.batch_command)
app.command("new", epilog=new_command.EXAMPLES)(new_command.new_command)
app.command("import", epilog=import_command.EXAMPLES)(import_command.import_command)
app.command("schema", epilog=schema_command.EXAMPLES)(schema_command.schema_command)
app.command("completion", epilog=completion.EXAMPLES)(completion.completion_command)


def _print_version(asked: bool) -> None:
    if asked:
        from importlib import metadata

        try:
            number = metadata.version("offseam")
        except metadata.PackageNotFoundError:
            number = "(not installed)"
        typer.echo(f"offseam {number}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_print_version, is_eager=True,
                     help="Print the version and stop."),
    ] = False,
) -> None:
    """Options that stand before the command."""


def main() -> None:
    """Run the command line; ends the process with the exit code of what happened."""
    plug_streams()
    completion.prepare(app)
    try:
        # Not standalone: what is wrong is told here, in our own sentences.
        code = app(prog_name="offseam", standalone_mode=False)
    except UsageError as error:
        tell(usage_words(error))
        sys.exit(WRONG_INPUT)
    except Exception as error:
        sys.exit(exit_code(error))
    except KeyboardInterrupt as error:
        sys.exit(exit_code(error))
    if code == INTERRUPTED:  # the parser turns Ctrl-C into an exit code without a word
        tell("interrupted")
    sys.exit(code)


if __name__ == "__main__":
    main()
