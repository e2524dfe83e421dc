"""Who may import whom. The checker must share no arithmetic with what it checks."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHECKER = sorted(path.stem for path in (ROOT / "solver" / "checker").glob("*.py"))
FOUNDATION = {"case", "case_parts", "layout", "units", "errors", "result"}


def imports(path: Path) -> set[str]:
    """Dotted names of our own modules that a file imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return found


def modules(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


@pytest.mark.parametrize("name", CHECKER)
def test_the_checker_shares_nothing_with_the_optimizer(name: str) -> None:
    found = imports(ROOT / "solver" / "checker" / f"{name}.py")
    ours = {m for m in found if m.startswith("solver.")}
    allowed = {f"solver.{m}" for m in FOUNDATION} | {f"solver.checker.{m}" for m in CHECKER}
    assert ours <= allowed
    assert not {m.split(".")[0] for m in found} & {"numpy", "ortools", "shapely"}


def test_the_solver_knows_no_screen() -> None:
    for path in modules("solver"):
        assert not {m for m in imports(path) if m.split(".")[0] in {"cli", "rich", "typer"}}, path


def test_ortools_is_imported_in_the_model_rooms_only() -> None:
    for path in [*modules("solver"), *modules("cli")]:
        if path.parent.name != "model":  # `solver/model`, and no other room
            assert not {m for m in imports(path) if m.split(".")[0] == "ortools"}, path


def test_the_command_line_reads_the_solver_through_its_results() -> None:
    """Presentation computes nothing: it never reaches for tables, phases or models."""
    inner = {"tabling", "odd", "ranks", "model"}
    for path in modules("cli"):
        reached = {m.split(".")[1] for m in imports(path) if m.startswith("solver.")}
        assert not reached & inner, path


def test_files_stay_readable() -> None:
    for path in [*modules("solver"), *modules("cli")]:
        lines = len(path.read_text(encoding="utf-8").splitlines())
        assert lines <= 320, f"{path.name} has {lines} lines: split it where it tells two stories"


def test_loading_the_api_does_not_load_ortools() -> None:
    code = "import sys, solver.api; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
