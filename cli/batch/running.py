"""Working through a batch: who solves, Ctrl-C, and the bar on a terminal."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING, Final, Protocol

from cli.batch.plan import Todo
from cli.failures import INTERRUPTED, tell
from cli.report.lines import clean, shorten
from solver.batching.one import FAULT, WRONG_CASE, Answer, Task, case_words, fault_words
from solver.batching.read import read_case
from solver.errors import CaseError

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

_LOOK: Final = 0.2
"""Seconds between looks at whether to stop."""
_NAME: Final = 24


class Runner(Protocol):
    """Who solves: processes of this machine, or a cluster. `width`: how many it can have at once.

    `finished` waits up to some seconds; `stop` ends what is under way; `close` is always called.
    """

    width: int

    def submit(self, number: int, task: Task) -> None: ...
    def finished(self, wait: float) -> list[tuple[int, Answer]]: ...
    def stop(self) -> None: ...
    def close(self) -> None: ...


class Interrupt:
    """Whether Ctrl-C was pressed."""

    def __init__(self) -> None:
        self.asked = False


@contextmanager
def interruptible() -> Iterator[Interrupt]:
    """Inside, the first Ctrl-C is noted and the second ends the process.

    All files are written whole or not at all, and worker processes end with their parent.
    """
    asked = Interrupt()
    if threading.current_thread() is not threading.main_thread():
        yield asked
        return

    def on_interrupt(_signal: int, _frame: FrameType | None) -> None:
        if asked.asked:
            tell("interrupted")
            os._exit(INTERRUPTED)
        asked.asked = True
        tell("stopping: what is done is kept; Ctrl-C once more quits at once")

    before = signal.signal(signal.SIGINT, on_interrupt)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)


def work_through(
    todo: Sequence[Todo],
    runner: Runner,
    task_of: Callable[[str], Task],
    answered: Callable[[Todo, str, Answer], None],
    save: Callable[[], None],
    asked: Interrupt,
) -> None:
    """Have every case solved; `answered` is told each one's sha256 and answer as it comes.

    `save` is called a few times a second.
    When Ctrl-C is pressed nothing new is begun and what is under way is ended.
    """
    # The largest first: one that is begun last would be waited for with all others idle.
    waiting = iter(sorted(todo, key=lambda one: -one.size))
    under_way: dict[int, tuple[Todo, str]] = {}
    try:
        while not asked.asked:
            while len(under_way) < runner.width and (one := next(waiting, None)) is not None:
                sha256, answer = _begin(one, runner, task_of)
                if answer is None:
                    under_way[one.number] = (one, sha256)
                else:
                    answered(one, sha256, answer)
                if asked.asked:
                    break
            if not under_way:
                return
            for number, answer in runner.finished(_LOOK):
                one, sha256 = under_way.pop(number)
                answered(one, sha256, answer)
            save()
    finally:
        if under_way:
            runner.stop()
        runner.close()


def _begin(
    one: Todo, runner: Runner, task_of: Callable[[str], Task]
) -> tuple[str, Answer | None]:
    try:
        task = task_of(one.path)
        runner.submit(one.number, task)
    except CaseError as error:  # gone since it was found
        return "", Answer(WRONG_CASE, case_words(error))
    except Exception as error:
        return "", Answer(FAULT, fault_words(error))
    return task.sha256, None


def task_maker(top: int, limit: float | None) -> Callable[[str], Task]:
    """How a path becomes a task."""
    return lambda path: read_case(path).task(top, limit)


class Bar:
    """How far a batch has come, on standard error where that is a terminal; silent elsewhere."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._progress: Progress | None = None
        self._task: TaskID | None = None

    def __enter__(self) -> Bar:
        if self._total and sys.stderr is not None and sys.stderr.isatty():
            from rich.console import Console
            from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

            self._progress = Progress(
                TextColumn("{task.completed:.0f} of {task.total:.0f} cases"),
                BarColumn(bar_width=24), TimeElapsedColumn(),
                TextColumn("{task.fields[last]}", markup=False),
                console=Console(stderr=True, highlight=False), transient=True,
            )
            self._task = self._progress.add_task("", total=self._total, last="")
            self._progress.start()
        return self

    def advance(self, name: str) -> None:
        """One more case is done."""
        if self._progress is not None and self._task is not None:
            self._progress.update(self._task, advance=1, last=shorten(clean(name), _NAME))

    def __exit__(self, *_: object) -> None:
        if self._progress is not None:
            self._progress.stop()
