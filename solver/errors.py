"""The errors of the solver: one root, and reports that carry every problem at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class OffseamError(Exception):
    """Root of every error the solver raises on purpose."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with a case or a command line.

    `where` names the thing by its id ("penetration V1"), `key` the entry ("x"), `got` the value
    as it was written, `want` what would be right. `where`, `key` and `got` may be empty.
    """

    file: str
    where: str
    key: str
    got: str
    want: str

    def sentence(self) -> str:
        """The problem in one sentence: file, thing, value, what would be right."""
        subject = " ".join(part for part in (self.where, self.key) if part)
        head = f"{self.file}: " if self.file else ""
        if subject and self.got:
            return f"{head}{subject} is {self.got}: {self.want}"
        if subject:
            return f"{head}{subject}: {self.want}"
        return f"{head}{self.want}"


class CaseError(OffseamError, ValueError):
    """A case cannot be used. Carries every problem found, in the order of the file."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class LengthError(OffseamError, ValueError):
    """A text or number is no usable length. The message says what would be right."""


class ChoiceError(OffseamError, ValueError):
    """A choice handed to the solver (an option, an id, an engine) does not exist."""


class DisagreementError(OffseamError, RuntimeError):
    """Optimizer and checker disagree about one layout: a fault of the program.

    The message holds both views, so that neither is silently preferred.
    """


class OutOfTimeError(OffseamError, TimeoutError):
    """Time ran out before any layout was found."""
