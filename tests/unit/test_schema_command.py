"""`offseam schema`: the JSON Schema of a case, held against the cases and against the loader."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from solver.intake.schema import case_schema
from tests.demo_cases import FOLDER, case_path, names
from tests.unit.cli_runs import SHED, offseam

jsonschema = pytest.importorskip("jsonschema")
PLAIN: dict[str, Any] = tomllib.loads(SHED)


def faults(document: Any) -> list[str]:
    return [error.json_path for error in
            jsonschema.Draft202012Validator(case_schema()).iter_errors(document)]


def test_it_is_a_schema_of_its_dialect() -> None:
    schema = case_schema()
    assert schema["$schema"] == jsonschema.Draft202012Validator.META_SCHEMA["$id"]
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("name", names())
def test_every_demo_case_is_valid_and_points_to_it(name: str) -> None:
    assert faults(tomllib.loads(case_path(name).read_text())) == []
    first = case_path(name).read_text().splitlines()[0]
    assert first == "#:schema ../case.schema.json"
    assert (case_path(name).parent / first.split()[1]).resolve() == FOLDER / "case.schema.json"


def test_the_file_beside_the_cases_is_what_the_command_prints() -> None:
    done = offseam("schema")
    assert (done.returncode, done.stderr) == (0, "")
    assert (FOLDER / "case.schema.json").read_text(encoding="utf-8") == done.stdout, (
        "offseam schema --out cases/case.schema.json writes it anew")


def test_it_can_be_written_to_a_file(tmp_path: Path) -> None:
    done = offseam("schema", "--out", str(tmp_path / "s.json"))
    assert done.returncode == 0 and "#:schema ./s.json" in done.stdout
    assert json.loads((tmp_path / "s.json").read_text()) == case_schema()
    done = offseam("schema", "--out", str(tmp_path / "no" / "s.json"))
    assert done.returncode == 2 and done.stderr.startswith("--out")


@pytest.mark.parametrize(
    "text",
    ["11 1/2", "28' 11 1/2\"", "8.5 ft", "350 mm", "2.4 m", ".5", "-3", "+1/64", "½", "\u2212 2",
     "5'"],
)
def test_lengths_are_numbers_or_texts(text: str) -> None:
    for value in (text, 11.5, 0):
        assert faults(PLAIN | {"penetration": [PLAIN["penetration"][0] | {"x": value}]}) == []


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"units": "ft"}, "$.units"),
        ({"titel": "x"}, "$"),
        ({"panel": {}}, "$.panel"),
        ({"panel": {"cover": 0}}, "$.panel.cover"),
        ({"panel": {"cover": "wide"}}, "$.panel.cover"),
        ({"panel": {"cover": [18, "x"]}}, "$.panel.cover"),
        ({"panel": {"cover": 18, "seam_half": -1}}, "$.panel.seam_half"),
        ({"plane": []}, "$.plane"),
        ({"rules": {"forbid": ["wet"]}}, "$.rules.forbid[0]"),
        ({"moves": {"reach": True}}, "$.moves.reach"),
        ({"penetration": [{"kind": "pipe"}]}, "$.penetration[0]"),
    ],
)
def test_what_no_case_may_say_is_refused(change: dict[str, Any], path: str) -> None:
    assert faults(PLAIN) == []
    assert path in faults(PLAIN | change)


def test_every_key_is_described() -> None:
    for model in case_schema()["$defs"].values():
        for name, field in model.get("properties", {}).items():
            assert "description" in field or "$ref" in field, name
            assert "title" not in field
