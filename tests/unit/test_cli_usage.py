"""A command line that cannot be read: one sentence with the option, the value and the cure."""

from __future__ import annotations

from typing import Any

import pytest

from cli.usage import UsageError, usage_words
from tests.unit.cli_runs import offseam


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["solve", "x", "--top", "abc"], '--top "abc": give a whole number, such as 3'),
        (["solve", "x", "--top", "1.5"], '--top "1.5": give a whole number, such as 3'),
        (["solve", "x", "--time", "abc"],
         '--time "abc": give a number of seconds above 0, such as 60'),
        (["solve", "x", "--time", "nan"], "--time nan: give a number of seconds above 0"),
        (["solve", "x", "--time", "inf"], "--time inf: give a number of seconds above 0"),
        (["solve", "x", "--topp", "1"],
         "--topp: offseam solve has no such option; the nearest is --top"),
        (["--bad"], "--bad: offseam has no such option; see offseam --help"),
        (["solve"], "offseam solve: the argument CASE is missing; see offseam solve --help"),
        (["place", "x"], "offseam place: the option --plane is missing; see offseam place --help"),
        (["solve", "x", "--json"], "--json: a value is missing; give it after the option"),
        (["solve", "x", "--no-presolve=1"],
         "--no-presolve: this option takes no value; give it alone"),
        (["solve", "north", "slope.toml"],
         '"slope.toml": offseam solve takes no more arguments; put a text with blanks in quotes; '
         "see offseam solve --help"),
        (["slove"], '"slove": offseam has no such command; it has solve, check, why, free, place, '
                    "stubs, panels, takeoff, field, survey, replan, risk, compare, batch, new, "
                    "import, schema, completion"),
    ],
)  # fmt: skip
def test_it_is_told_in_one_sentence(args: list[str], told: str) -> None:
    done = offseam(*args)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", told + "\n")


class _Param:
    opts = ("-n", "--top")
    default = 3
    metavar = "N"
    param_type_name = "option"


@pytest.mark.parametrize("kind", ["integer", "float"])
def test_a_parser_that_names_the_value_itself_is_understood_too(kind: str) -> None:
    make: Any = type(UsageError)("BadParameter", (UsageError,), {"param": _Param()})
    told = usage_words(make(f"'it\\'s' is not a valid {kind}."))
    number = "a whole number" if kind == "integer" else "a number"
    assert told == f'--top "it\'s": give {number}, such as 3'
