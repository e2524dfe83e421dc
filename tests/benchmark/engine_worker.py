"""A process that stays warm and answers cases with one engine, so that it can be cut off.

Each engine is called through its public function. The answer is the optimum in cents, None where no
layout is allowed.
"""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from processes import WentWrongError

Document = Mapping[str, Any]
Answer = int | None
Batch = Sequence[Document]
ENGINES = ("tables", "direct", "HiGHS", "brute force")
_GRACE = 1.0
_START = 120.0


class _UnprovenError(Exception):
    """The engine ended by itself without a proven answer."""


@dataclass(frozen=True)
class Run:
    """Seconds for a batch of cases and their optima; `answers` None where the bound was hit."""

    seconds: float
    answers: tuple[Answer, ...] | None


class Worker:
    """One engine in a process of its own, started when first needed."""

    def __init__(self, engine: str) -> None:
        self.engine = engine
        self._process: multiprocessing.process.BaseProcess | None = None
        self._line: Connection | None = None

    def run(self, batch: Batch, bound: float) -> Run:
        """The optima of a batch, or nothing if that takes more than `bound` seconds.

        Raises:
            WentWrongError: the engine failed; the message holds its error.
        """
        line = self._ready()
        line.send((batch, bound))
        if not line.poll(bound + _GRACE):
            self.close()
            return Run(bound, None)
        try:
            kind, told = line.recv()
        except EOFError:
            self.close()
            raise WentWrongError(f"{self.engine} ended without an answer") from None
        if kind == "error":
            raise WentWrongError(f"{self.engine}: {told}")
        done: Run = told
        return done if done.seconds <= bound else Run(bound, None)

    def close(self) -> None:
        """End the process, in the middle of its work if need be."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        self._process = self._line = None

    def _ready(self) -> Connection:
        if self._line is None:
            context = multiprocessing.get_context("spawn")
            self._line, theirs = context.Pipe()
            self._process = context.Process(
                target=_serve, args=(self.engine, theirs), daemon=True
            )
            self._process.start()
            theirs.close()
            if not self._line.poll(_START):
                self.close()
                raise WentWrongError(f"{self.engine} did not start")
            self._line.recv()
        return self._line


def _serve(engine: str, line: Connection) -> None:
    prepare, answer = _functions(engine)
    line.send("ready")
    while True:
        try:
            batch, bound = line.recv()
        except EOFError:
            return
        try:
            ready = [prepare(document) for document in batch]
            began = time.perf_counter()
            try:
                found = tuple(
                    answer(case, bound - (time.perf_counter() - began)) for case in ready
                )
            except _UnprovenError:
                line.send(("run", Run(bound, None)))
                continue
            line.send(("run", Run(time.perf_counter() - began, found)))
        except Exception as error:
            line.send(("error", f"{type(error).__name__}: {error}"))


def _functions(engine: str) -> tuple[Callable[[Document], Any], Callable[[Any, float], Answer]]:
    """What turns a document into what the engine takes (not timed), and what answers it (timed)."""
    if engine == "HiGHS":
        import highs

        def by_highs(document: Document, left: float) -> Answer:
            try:
                return highs.optimum_cents(document, time_limit=max(left, 0.01))
            except highs.NotSolvedError as error:
                raise _UnprovenError from error

        return lambda document: document, by_highs
    if engine == "brute force":
        import oracle

        def by_force(document: Document, left: float) -> Answer:
            layouts = oracle.solve(document, top=1)["layouts"]
            return int(layouts[0]["total"]) if layouts else None

        return lambda document: document, by_force

    from solver.api import Case, Engine, case_from_document, solve
    from solver.clock import Clock

    ours: Engine = "direct" if engine == "direct" else "tables"
    if ours == "direct":
        import solver.model.direct  # noqa: F401  # ortools is loaded before the clock runs

    def by_us(case: Case, left: float) -> Answer:
        result = solve(case, top=1, engine=ours, clock=Clock(max(left, 0.01)))
        if not result.proven:
            raise _UnprovenError
        return result.layouts[0].judged.cost.total if result.layouts else None

    return lambda document: case_from_document(dict(document)), by_us
