"""How long the work may take, and whether someone asked it to stop."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager


class Clock:
    """A deadline and a stop request, asked by everything that may run long.

    `limit` is in seconds from the making of the clock; None is no limit. `progress` is called with
    a plain sentence about what is being done.
    """

    def __init__(
        self, limit: float | None = None, progress: Callable[[str], None] | None = None
    ) -> None:
        self.started = time.monotonic()
        self.limit = limit
        self.interrupted = False
        self.timed_out = False
        self._progress = progress
        self._halts: list[Callable[[], None]] = []

    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.started

    def left(self) -> float | None:
        """Seconds left, never negative; None where there is no limit."""
        return None if self.limit is None else max(self.limit - self.seconds(), 0.0)

    def over(self) -> bool:
        """Whether the work must end now: out of time or interrupted."""
        if self.limit is not None and self.seconds() >= self.limit:
            self.timed_out = True
        return self.timed_out or self.interrupted

    def stop(self) -> None:
        """Ask the work to end with the best answer so far. Safe from another thread."""
        self.interrupted = True
        for halt in tuple(self._halts):
            halt()

    @contextmanager
    def stopping(self, halt: Callable[[], None]) -> Iterator[None]:
        """While inside, a stop request also calls `halt`."""
        self._halts.append(halt)
        try:
            yield
        finally:
            self._halts.remove(halt)

    def note_early_end(self) -> None:
        """A search ended unproven without a stop request: it ran out of time."""
        if not self.interrupted:
            self.timed_out = True

    def stopped(self) -> str:
        """Why the work ended early: "interrupt", "time" or "" if it did not."""
        if self.interrupted:
            return "interrupt"
        return "time" if self.timed_out else ""

    def say(self, sentence: str) -> None:
        """Report progress."""
        if self._progress is not None:
            self._progress(sentence)
