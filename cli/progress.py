"""What happens while the solver works: a progress line on a terminal, and Ctrl-C."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from types import FrameType
from typing import Final, TypeVar

from cli.failures import INTERRUPTED, escaped, tell
from solver.clock import Clock

T = TypeVar("T")
PATIENCE: Final = 2.0
"""Seconds before anything is said."""
_EVERY: Final = 0.5
_WIDTH: Final = 79


class Progress:
    """One line on standard error that is written over; silent where that is no terminal."""

    def __init__(self) -> None:
        self._started = time.monotonic()
        self._doing = "reading"
        self._best = ""
        self._clock: Clock | None = None
        self._done = threading.Event()
        self._thread: threading.Thread | None = None

    def say(self, sentence: str) -> None:
        """What is being done now."""
        self._doing = sentence

    def found(self, text: str) -> None:
        """The latest layout found."""
        self._best = text

    def watch(self, clock: Clock) -> None:
        """Tell what that clock knows of the layout that is looked for: best so far and bound."""
        self._clock = clock

    def _text(self) -> str:
        seconds = time.monotonic() - self._started
        parts = [self._doing, *([self._best] if self._best else [])]
        best = self._clock.best if self._clock is not None else None
        bound = self._clock.bound if self._clock is not None else None
        if best is not None:
            parts.append(f"best so far {best / 100:,.2f}")
        if bound is not None:
            parts.append(f"at least {bound / 100:,.2f}")
        return escaped(f"{seconds:.0f} s: {'; '.join(parts)}".replace("\n", " "))

    def __enter__(self) -> Progress:
        if sys.stderr is not None and sys.stderr.isatty():
            self._thread = threading.Thread(target=self._run, daemon=True)
            self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._done.set()
        if self._thread is not None:
            self._thread.join()

    def _run(self) -> None:
        shown = False
        with contextlib.suppress(OSError, ValueError):
            if self._done.wait(PATIENCE):
                return
            while True:
                sys.stderr.write("\r" + _fitted(self._text()))
                sys.stderr.flush()
                shown = True
                if self._done.wait(_EVERY):
                    break
            if shown:
                sys.stderr.write("\r" + " " * _WIDTH + "\r")
                sys.stderr.flush()


def _fitted(text: str) -> str:
    """A line cut to the width in its middle: the figures at its end are what is waited for."""
    if len(text) > _WIDTH:
        tail = text[text.find("; ") :] if "; " in text else ""
        text = text[: max(_WIDTH - len(tail), 12)] + tail
    return text[:_WIDTH].ljust(_WIDTH)


def run_stoppable(clock: Clock, work: Callable[[], T]) -> T:
    """Do `work` so that the first Ctrl-C asks the clock to stop and the second ends the process.

    The work runs in a thread of its own: signals reach the main thread only, and that must be free
    to take them while the work sits in compiled code.
    """
    if threading.current_thread() is not threading.main_thread():
        return work()
    outcome: Future[T] = Future()

    def run() -> None:
        try:
            outcome.set_result(work())
        except BaseException as error:
            outcome.set_exception(error)

    def on_interrupt(_signal: int, _frame: FrameType | None) -> None:
        if clock.interrupted:
            tell("interrupted")
            os._exit(INTERRUPTED)  # nothing is being written; compiled code is not waited for
        clock.stop()
        if sys.stderr is not None and sys.stderr.isatty():
            sys.stderr.write("\r" + " " * _WIDTH + "\r")  # where the progress line stands
        tell("stopping: the best so far follows; Ctrl-C once more quits without it")

    before = signal.signal(signal.SIGINT, on_interrupt)
    try:
        threading.Thread(target=run, daemon=True).start()
        while True:
            try:
                return outcome.result(timeout=_EVERY)
            except TimeoutError:
                if outcome.done():
                    raise  # the work's own
                if clock.interrupted:
                    clock.stop()  # a search that began just after the first request hears this one
    finally:
        signal.signal(signal.SIGINT, before)
