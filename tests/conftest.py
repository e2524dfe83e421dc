"""Options shared by all tests."""

from __future__ import annotations

import pytest
from hypothesis import settings

# The same examples every time, so that a change is what fails; others with
# `--hypothesis-profile=random`.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("random", deadline=None)
settings.load_profile("steady")


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--cases N`: how many random cases each comparison with the oracle takes."""
    parser.addoption(
        "--cases", type=int, default=None, help="random cases per comparison with the oracle"
    )


@pytest.fixture
def cases_or(request: pytest.FixtureRequest) -> CasesOr:
    """How many cases to take: the option, or the test's own number."""
    return CasesOr(request.config.getoption("--cases"))


class CasesOr:
    """Called with a test's own number of cases; the command line's number wins."""

    def __init__(self, asked: int | None) -> None:
        self.asked = asked

    def __call__(self, usual: int) -> int:
        return usual if self.asked is None else self.asked
