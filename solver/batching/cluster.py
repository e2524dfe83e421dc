"""The same work on a Dask cluster: tasks go out as data, answers come back as data."""

from __future__ import annotations

import asyncio
import contextlib
import importlib
import threading
import uuid
from concurrent.futures import Future
from typing import TYPE_CHECKING, Any, Final

from solver import __version__
from solver.batching.one import FAULT, Answer, Task, fault_words, solve_task, what_happened
from solver.errors import OffseamError

if TYPE_CHECKING:
    from solver.clock import Clock

PATIENCE: Final = 6.0
"""Seconds to reach the scheduler, and again for its first worker."""
_HEARS_WITHIN: Final = 1.0
_AGAIN: Final = 0.2
_IN_HAND: Final = 4
_LEAST_IN_HAND: Final = 64
"""Tasks sent out for each thread of the cluster, and at least: none waits for its next one, and a
cluster that grows with what waits sees something to grow for."""


class ClusterError(OffseamError, ConnectionError):
    """The cluster cannot be used; the message is a sentence."""


class Cluster:
    """A Dask cluster by the address of its scheduler.

    Raises:
        ClusterError: dask is not installed, the scheduler is not reached within `PATIENCE` seconds,
            has no worker, or a worker has another version of this program.
    """

    def __init__(self, address: str) -> None:
        try:
            self._dask = importlib.import_module("distributed")
        except ImportError:
            raise ClusterError(
                "this needs dask, which is not installed: pip install offseam[cluster]"
            ) from None
        self._event = f"offseam-stop-{uuid.uuid4().hex}"
        self._numbers: dict[Any, int] = {}
        try:
            _knock(self._dask, address)
            self._client = self._dask.Client(
                address, timeout=PATIENCE, set_as_default=False, name="offseam"
            )
        except Exception as error:
            raise ClusterError(
                f"no Dask scheduler answers there ({_why_not(error)}); give the address that it "
                "prints as it starts, such as tcp://10.0.0.5:8786"
            ) from None
        try:
            self._stop = self._dask.Event(self._event, client=self._client)
            self.width = max(_LEAST_IN_HAND, _IN_HAND * self._threads())
        except BaseException:
            self.close()
            raise

    def _threads(self) -> int:
        try:
            self._client.wait_for_workers(1, timeout=PATIENCE)
        except Exception:
            raise ClusterError(
                "this scheduler has no worker; start one with: dask worker ADDRESS"
            ) from None
        try:
            versions = self._client.run(program_version)
        except Exception as error:
            raise ClusterError(
                f"a worker cannot load this program ({what_happened(error)}); install "
                "the same offseam on every worker"
            ) from None
        others = sorted({str(version) for version in versions.values()} - {__version__})
        if others:
            raise ClusterError(
                f"a worker has offseam {others[0]} and this is {__version__}; install the same on "
                "every worker"
            )
        return int(sum(self._client.nthreads().values()))

    def submit(self, number: int, task: Task) -> None:
        """Send a task out."""
        future = self._client.submit(solve_there, task, self._event, pure=False)
        self._numbers[future] = number

    def finished(self, wait: float) -> list[tuple[int, Answer]]:
        """What has been answered, as (number, answer); waits up to `wait` seconds for the first."""
        with contextlib.suppress(Exception):  # none in time; or lost, which each says itself
            self._dask.wait(list(self._numbers), timeout=wait, return_when="FIRST_COMPLETED")
        done = [future for future in self._numbers if future.done()]
        return [(self._numbers.pop(future), self._answer(future)) for future in done]

    def _answer(self, future: Any) -> Answer:
        try:
            answer = future.result(timeout=PATIENCE)
            future.release()
        except Exception as error:
            return Answer(FAULT, _lost_words(error))
        if isinstance(answer, Answer) and answer.version == __version__:
            return answer
        return Answer(FAULT, f"a worker has another offseam than this, {__version__}; install the "
                             "same on every worker")

    def stop(self) -> None:
        """Take back what is waiting and ask what is under way to end."""
        futures = list(self._numbers)
        self._numbers = {}
        with contextlib.suppress(Exception):  # a lost cluster needs no asking
            self._stop.set(timeout=PATIENCE)
            self._client.cancel(futures, force=True)

    def close(self) -> None:
        """Leave the cluster as it is."""
        with contextlib.suppress(Exception):
            self._client.close(timeout=1)


def _knock(dask: Any, address: str) -> None:
    """See that a scheduler answers: a client would wait without end for whoever says nothing.

    Raises:
        Exception: whatever went wrong, TimeoutError after `PATIENCE` seconds.
    """
    security = dask.Security().get_connection_args("client")
    comms = importlib.import_module("distributed.comm")

    async def ask() -> None:
        comm = await comms.connect(address, timeout=PATIENCE, **security)
        try:
            await comm.write({"op": "identity"})
            kind = (await comm.read()).get("type")
        finally:
            comm.abort()
        if kind != "Scheduler":
            raise ValueError(f"it is a {str(kind).lower()}")

    outcome: Future[None] = Future()

    def run() -> None:
        try:
            outcome.set_result(asyncio.run(asyncio.wait_for(ask(), PATIENCE)))
        except BaseException as error:
            outcome.set_exception(error)

    threading.Thread(target=run, daemon=True).start()
    outcome.result(timeout=PATIENCE + 1)


def _why_not(error: BaseException) -> str:
    said = " ".join(str(error).split())[:160]
    if isinstance(error, TimeoutError):
        return said or "nothing does in time"
    if said and isinstance(error, OSError | ValueError):
        return said
    return "what answers speaks otherwise"


def _lost_words(error: BaseException) -> str:
    match type(error).__name__:
        case "KilledWorker":
            return ("every worker that began with it ended, as happens where memory runs out; the "
                    "workers' own logs say more")
        case "CancelledError" | "FutureCancelledError" | "CommClosedError" | "TimeoutError":
            return "the connection to the cluster was lost; run the same command again"
    return fault_words(error)


def program_version() -> str:
    """Which version of this program a worker has."""
    return __version__


def solve_there(task: Task, event: str) -> Answer:
    """Solve a task on a worker; it ends early when the event of that name is set."""
    dask: Any = importlib.import_module("distributed")
    over = threading.Event()
    try:
        stop = dask.Event(event, client=dask.get_client())
    except Exception:  # no way to be stopped is no reason not to begin
        return solve_task(task)
    clocks: list[Clock] = []

    def watch() -> None:
        asked = False
        while not over.is_set():
            if asked:
                for clock in clocks:
                    clock.stop()  # again and again: a search may just have begun
                over.wait(_AGAIN)
                continue
            try:
                asked = bool(stop.wait(timeout=_HEARS_WITHIN))
            except Exception:  # the scheduler is gone, and with it who asked for this
                asked = True

    threading.Thread(target=watch, daemon=True).start()
    try:
        return solve_task(task, clocks.append)
    finally:
        over.set()
