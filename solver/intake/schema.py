"""The JSON Schema of a case file, by which an editor completes and checks one as it is written.

It is the models' own schema (`solver.case_file.entries`), with lengths told once and titles that
only repeat a key left out. It says what each key takes; what only the whole case can tell (ids that
do not exist, pipes off their plane) is told by the commands.
"""

from __future__ import annotations

from typing import Any, Final

from solver.case_file.entries import CaseEntry
from solver.units import HOW_TO_WRITE

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
LENGTH: Final = "LengthText"
SIZE: Final = "Size"
_LENGTH_TEXT: Final[dict[str, Any]] = {
    "type": "string",
    "minLength": 1,
    "maxLength": 64,
    "pattern": r"^[\s+\-\u2010\u2011\u2013\u2212]*[0-9.½¼¾⅛⅜⅝⅞⅓⅔]",
    "description": "A length as a text: " + HOW_TO_WRITE.split(" or a text ")[-1]
    + '. Feet and inches, fractions, "in", "ft", "mm", "cm", "m"; without a unit it is in the '
    "case's units.",
}


def case_schema() -> dict[str, Any]:
    """The schema of a case file in the order in which its models tell it."""
    schema = CaseEntry.model_json_schema(by_alias=True)
    for model in (schema, *schema["$defs"].values()):
        model.pop("title", None)
        for field in model.get("properties", {}).values():
            field.pop("title", None)
    told = _lengths(schema)
    told["$defs"][LENGTH] = _LENGTH_TEXT
    told["$defs"][SIZE] = {
        "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"$ref": f"#/$defs/{LENGTH}"}]
    }
    told["$defs"] = dict(sorted(told["$defs"].items()))
    return {"$schema": DIALECT, "title": "A case: one roof, its panels, its penetrations", **told}


def _lengths(node: Any) -> Any:
    """The same with every text that is a length, and every list of lengths, saying so."""
    if isinstance(node, list):
        return [_lengths(item) for item in node]
    if not isinstance(node, dict):
        return node
    told = {key: _lengths(value) for key, value in node.items()}
    choices = told.get("anyOf")
    if isinstance(choices, list) and _takes_lengths(choices):
        told["anyOf"] = [
            {"$ref": f"#/$defs/{LENGTH}"} if choice.get("type") == "string" else choice
            for choice in choices
        ]
    if told.get("type") == "array" and "items" not in told and "prefixItems" not in told:
        told["items"] = {"$ref": f"#/$defs/{SIZE}"}
    return told


def _takes_lengths(choices: list[dict[str, Any]]) -> bool:
    """A number without a highest value, or else a text of any length: so lengths are told."""
    if len(choices) < 2:
        return False
    number, text = choices[:2]
    return (
        number.get("type") == "number"
        and "maximum" not in number
        and text == {"type": "string", "minLength": 1}
    )
