"""Processes on this machine that solve the cases of a batch, each on its own.

Not an executor of the standard library: there, one process that dies takes all waiting work along.
Here it costs the case it was at, and another process takes its place.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import connection, get_context, parent_process, resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import Final, cast

from solver.batching.one import FAULT, REPORT, Answer, Task, solve_task

_SPAWN: Final = get_context("spawn")  # a fork would copy threads and locks in whatever state
_GONE: Final = (EOFError, OSError)
_KILLED: Final = 9
_LAST_WORDS: Final = 5.0
"""Seconds that a process whose pipe has closed gets to end."""


def cores() -> int:
    """How many cores this process may use."""
    try:
        return len(os.sched_getaffinity(0)) or 1
    except AttributeError:  # not on this system
        return os.cpu_count() or 1


class Pool:
    """At most `width` processes, each started when it is first needed.

    Raises:
        OSError: from `submit`, where the system starts no process.
    """

    def __init__(self, width: int) -> None:
        self.width = width
        self._idle: list[_Worker] = []
        self._busy: dict[Connection, _Worker] = {}

    def submit(self, number: int, task: Task) -> None:
        """Give a task to a process; no more than `width` may be under way."""
        while self._idle:
            if self._give(self._idle.pop(), number, task):
                return  # else it had died while it waited
        worker = _start()
        if not self._give(worker, number, task):  # died as it started: told as its answer
            worker.number = number
            self._busy[worker.line] = worker

    def _give(self, worker: _Worker, number: int, task: Task) -> bool:
        try:
            worker.line.send(task)
        except _GONE:
            worker.process.kill()
            return False
        worker.number = number
        self._busy[worker.line] = worker
        return True

    def finished(self, wait: float) -> list[tuple[int, Answer]]:
        """What has been answered, as (number, answer); waits up to `wait` seconds for the first."""
        found = []
        for line in connection.wait(list(self._busy), wait):
            worker = self._busy.pop(cast("Connection", line))
            try:
                answer = worker.line.recv()
                self._idle.append(worker)
            except _GONE:
                answer = Answer(FAULT, worker.last_words())
            found.append((worker.number, answer))
        return found

    def stop(self) -> None:
        """End all processes at once, whatever they are at."""
        workers = [*self._idle, *self._busy.values()]
        for worker in workers:
            worker.process.kill()
        for worker in workers:
            worker.process.join(_LAST_WORDS)
            worker.line.close()
        self._idle, self._busy = [], {}

    close = stop


@dataclass
class _Worker:
    process: SpawnProcess
    line: Connection
    number: int = -1

    def last_words(self) -> str:
        """Why a process is gone, in a sentence."""
        self.process.join(_LAST_WORDS)
        self.process.kill()
        self.line.close()
        code = self.process.exitcode
        if code == -_KILLED:
            return ("the process that solved it was killed from outside, as happens where memory "
                    "runs out: fewer --jobs need less of it")
        how = f"with code {code}"
        if code is not None and code < 0:
            how = f"by signal {-code} ({signal.strsignal(-code) or 'unknown'})"
        return f"the process that solved it ended {how}; {REPORT}"


def _start() -> _Worker:
    ours, theirs = _SPAWN.Pipe()
    process = _SPAWN.Process(target=_serve, args=(theirs,), daemon=True)
    with _uninterrupted():
        process.start()
    theirs.close()  # so that the pipe ends with the process
    return _Worker(process, ours)


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Processes started inside never hear Ctrl-C; it waits for us until we leave."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # started within, it would let Ctrl-C through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _serve(line: Connection) -> None:
    """Answer tasks until the other side is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches the whole group; ours is told
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (1, 2):  # what a library prints belongs in no report
        os.dup2(nowhere, stream)
    threading.Thread(target=_leave_with_parent, daemon=True).start()
    while True:
        try:
            line.send(solve_task(line.recv()))
        except _GONE:
            return


def _leave_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)
