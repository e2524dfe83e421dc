"""What is told of a command line that cannot be read: one sentence with option, value and cure."""

from __future__ import annotations

import ast
import re
from typing import Any, Final

import typer

UsageError: Final[type[Exception]] = typer.BadParameter.__mro__[1]
"""What the parser raises for a wrong command line, wherever the installed parser keeps it."""
_NO_NUMBER: Final = re.compile(
    r"(?:(?P<value>['\"].*['\"]) is not|should be) a valid (?P<kind>integer|float|number)",
    re.DOTALL,
)
_NO_COMMAND: Final = re.compile(r"No such command (?P<value>['\"].*?['\"])\.", re.DOTALL)
_EXTRA: Final = re.compile(
    r"Got unexpected extra arguments?(?:\(s\))? \((?P<value>.*)\)", re.DOTALL
)
_GIVE: Final = {"SECONDS": "give a number of seconds above 0, such as 60"}


def usage_words(error: Exception) -> str:
    """A sentence on a wrong command line.

    `error` is an instance of `UsageError`. Its kinds are told apart by name: the parser's classes
    have moved between its versions, their names and fields have not.
    """
    ctx: Any = getattr(error, "ctx", None)
    command = ctx.command_path if ctx is not None else "offseam"
    param: Any = getattr(error, "param", None)
    said = str(getattr(error, "message", "") or error)
    match type(error).__name__:
        case "NoArgsIsHelpError":
            return said
        case "NoSuchOption":
            return _no_option(error, command)
        case "MissingParameter":
            name = _name(param)
            what = "option" if name.startswith("-") else "argument"
            return f"{command}: the {what} {name} is missing; {_how(command)}"
        case "BadOptionUsage":
            name = getattr(error, "option_name", "")
            if "requires" in said:
                return f"{name}: a value is missing; give it after the option"
            if "not take a value" in said:
                return f"{name}: this option takes no value; give it alone"
            return f"{name}: {_lower(said)}; {_how(command)}"
    if param is not None and (found := _NO_NUMBER.search(said)):
        value = _quoted(found["value"]) if found["value"] else _input(error)
        return f"{_name(param)}{value and f' {value}'}: {_what_to_give(param, found['kind'])}"
    if found := _NO_COMMAND.search(said):
        known = ", ".join(ctx.command.list_commands(ctx)) if ctx is not None else ""
        return f"{_quoted(found['value'])}: {command} has no such command; it has {known}"
    if found := _EXTRA.search(said):
        return (f'"{found["value"]}": {command} takes no more arguments; put a text with blanks '
                f"in quotes; {_how(command)}")
    name = f"{_name(param)}: " if param is not None else ""
    return f"{name}{_lower(said)}; {_how(command)}"


def _no_option(error: Exception, command: str) -> str:
    name = getattr(error, "option_name", "")
    near = sorted(getattr(error, "possibilities", None) or ())
    cure = f"the nearest is {' or '.join(near)}" if near else _how(command)
    return f"{name}: {command} has no such option; {cure}"


def _name(param: Any) -> str:
    """An option by its first name, an argument by what stands for it in the help."""
    if param is None:
        return "?"
    if getattr(param, "param_type_name", "") == "argument":
        return str(param.metavar or param.name.upper())
    return str(max(param.opts, key=len))


def _what_to_give(param: Any, kind: str) -> str:
    metavar = str(getattr(param, "metavar", "") or "")
    if metavar in _GIVE:
        return _GIVE[metavar]
    default = getattr(param, "default", None)
    number = "a whole number" if kind == "integer" else "a number"
    such = f", such as {default}" if isinstance(default, int | float) else ""
    return f"give {number}{such}"


def _quoted(text: str) -> str:
    """The parser shows a value as Python writes it; a reader sees what was typed."""
    try:
        return f'"{ast.literal_eval(text)}"'
    except (ValueError, SyntaxError):
        return text


def _input(error: Exception) -> str:
    """The value where the parser's message leaves it out: its cause has it."""
    errors: Any = getattr(error.__cause__, "errors", None)
    given = errors()[0].get("input") if callable(errors) else None
    return "" if given is None else f'"{given}"'


def _how(command: str) -> str:
    return f"see {command} --help"


def _lower(text: str) -> str:
    first = text.strip().split("\n")[0].rstrip(".")
    return first[:1].lower() + first[1:]
