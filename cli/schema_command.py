"""`offseam schema`: what a case file may say, for an editor that completes it."""

from __future__ import annotations

from typing import Annotated

import typer

from cli.files import STDOUT, check_target, write_text

EXAMPLES = """\
Examples:

\b
  offseam schema > case.schema.json
  offseam schema --out case.schema.json
"""


def schema_command(
    out: Annotated[
        str, typer.Option("--out", metavar="FILE", help="Write it there instead of printing it.")
    ] = STDOUT,
) -> None:
    """Print the JSON Schema of the case file, by which an editor completes one."""
    check_target(out, "--out")
    import json

    from solver.intake.schema import case_schema

    write_text(out, json.dumps(case_schema(), indent=1, ensure_ascii=False) + "\n", "--out")
    if out != STDOUT:
        from cli.failures import escaped

        typer.echo(escaped(f"wrote {out}; in a case beside it, name it in the first line:\n"
                           f"#:schema ./{out.rpartition('/')[2]}"))
