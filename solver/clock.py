"""How long the work may take, and whether someone asked it to stop."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager


class Clock:
    """A deadline and a stop request, asked by everything that may run long.

    `limit` is in seconds from the making of the clock (from `started`, a reading of
    `time.monotonic`, if given); None is no limit. `progress` is called with a plain sentence about
    what is being done. `best` and `bound` (cents, None: not known) are for whoever watches: the
    cheapest layout met so far of the one that is looked for, and what it costs at least.
    `first_bound` is what the first of a list costs at least.
    """

    def __init__(
        self,
        limit: float | None = None,
        progress: Callable[[str], None] | None = None,
        started: float | None = None,
    ) -> None:
        self.started = time.monotonic() if started is None else started
        self.limit = limit
        self.interrupted = False
        self.timed_out = False
        self.best: int | None = None
        self.bound: int | None = None
        self.first_bound: int | None = None
        self._first = self._watched = True
        self._end = limit
        self._progress = progress
        self._halts: list[Callable[[], None]] = []

    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.started

    def left(self) -> float | None:
        """Seconds left, never negative; None where there is no limit."""
        return None if self._end is None else max(self._end - self.seconds(), 0.0)

    def over(self) -> bool:
        """Whether the work must end now: out of time or interrupted."""
        if self._end is not None and self.seconds() >= self._end:
            self.timed_out = True
        return self.timed_out or self.interrupted

    def keep_back(self, seconds: float) -> None:
        """Leave so much of the limit to what follows the search, but no more than half of it."""
        if self.limit is not None:
            self._end = self.limit - min(seconds, self.limit / 2)

    @contextmanager
    def share(self, part: float) -> Iterator[None]:
        """Inside, only that part of the time left may be used; behind, the rest is there again."""
        end, timed_out = self._end, self.timed_out
        left = self.left()
        if left is not None:
            self._end = self.seconds() + part * left
        try:
            yield
        finally:
            self._end, self.timed_out = end, timed_out

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

    def found(self, cents: int) -> None:
        """A layout of that cost was met."""
        if self._watched:
            self.best = cents if self.best is None else min(cents, self.best)

    def at_least(self, cents: int) -> None:
        """No layout of those that are looked for costs less."""
        if self._watched:
            self.bound = cents if self.bound is None else max(cents, self.bound)
            if self._first:
                self.first_bound = self.bound

    def next_search(self) -> None:
        """Another layout of the list is looked for: what was known is of the one before."""
        if self._watched:
            self.best = self.bound = None
            self._first = False

    def new_list(self) -> None:
        """The first of a list is looked for; the best that is known is no worse than it."""
        self.bound = self.first_bound = None
        self._first = True

    @contextmanager
    def unwatched(self) -> Iterator[None]:
        """What is found inside is no answer to the question as a whole, and not told."""
        before, self._watched = self._watched, False
        try:
            yield
        finally:
            self._watched = before
