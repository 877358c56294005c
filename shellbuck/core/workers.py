"""Worker processes for work of many pieces: lost ones are replaced, and a stop ends them at once."""

from __future__ import annotations

import contextlib
import multiprocessing
import numbers
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait as wait_for
from typing import Any, Protocol

from .errors import Incomplete, Problem, Refusal

PIECES_PER_WORKER = 4
"""Pieces of a chunk per worker: enough that nobody waits long for the last one."""

_TRIES = 3
"""Times that lost workers are replaced without an answer in between before the work gives up."""

_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


class Workers(Protocol):
    """Where work is done: an executor that can be made anew when its workers are lost."""

    count: int
    lost: tuple[type[BaseException], ...]
    """Errors that say that a worker, not the work, has failed."""

    def executor(self) -> Executor:
        """The executor in use."""

    def replace(self) -> None:
        """Give up the executor in use and start another."""


def whole_from_one(name: str, value: Any) -> None:
    """Refuse a number of things that is not whole, or below 1.

    Raises
    ------
    Refusal
    """
    if isinstance(value, bool) or not isinstance(value, numbers.Integral):
        raise Refusal(Problem("value-kind", "a whole number is needed", name, repr(value)[:60], "1 or more"))
    if value < 1:
        raise Refusal(Problem("value-range", "at least one is needed", name, str(value), "1 or more"))


def map_chunks(
    work: Callable[[Any], Any],
    chunks: Iterable[Sequence[Any]],
    workers: Workers,
    tell: Callable[[int], None] | None = None,
) -> Iterator[list[Any]]:
    """Results of every chunk, chunk after chunk.

    Parameters
    ----------
    work : callable
        Takes a piece; must be known to the workers by its name.
    chunks : iterable of sequences of pieces
        The next chunk is taken up when the caller asks for it, after it has kept the last one.
    workers : Workers
    tell : callable
        Told after every piece how many pieces of the chunk are done.

    Raises
    ------
    Incomplete
        When workers are lost again and again at the same piece.
    """
    for pieces in chunks:
        results: dict[int, Any] = {}
        for i, answer in answers(work, pieces, workers):
            results[i] = answer
            if tell is not None:
                tell(len(results))
        yield [results[i] for i in range(len(pieces))]


def answers(work: Callable[[Any], Any], pieces: Sequence[Any], workers: Workers) -> Iterator[tuple[int, Any]]:
    """Position and result of every piece, as they come.

    Parameters
    ----------
    work : callable
        Takes a piece; must be known to the workers by its name.
    pieces : sequence
    workers : Workers

    Raises
    ------
    Incomplete
        When workers are lost again and again without an answer in between.
    """
    left = dict(enumerate(pieces))
    losses = 0
    while left:
        try:
            for i, answer in _some(work, left, workers.executor()):
                del left[i]
                losses = 0
                yield i, answer
        except workers.lost:
            losses += 1
            if losses > _TRIES:
                raise Incomplete(
                    Problem(
                        "workers-lost",
                        "the worker processes end before they answer",
                        "",
                        f"{losses} times in a row",
                        "",
                        "mostly too little memory: take fewer workers; in a script, start the work under "
                        'if __name__ == "__main__"; what is finished is kept',
                    )
                ) from None
            workers.replace()


def _some(work: Callable[..., Any], pieces: dict[int, Any], executor: Executor) -> Iterator[tuple[int, Any]]:
    """Results as they come, until a worker is lost or the work fails."""
    with _no_interrupt():
        waiting: dict[Future[Any], int] = {executor.submit(work, piece): i for i, piece in pieces.items()}
    trouble: Exception | None = None
    try:
        while waiting and trouble is None:
            # a timeout, so that an interrupt is noticed on every platform
            done, _ = wait(waiting, timeout=0.5, return_when=FIRST_COMPLETED)
            for future in done:
                i = waiting.pop(future)
                try:
                    answer = future.result()
                except Exception as error:  # the answers that came with it are handed over first
                    trouble = error
                    continue
                yield i, answer
        if trouble is not None:
            raise trouble
    finally:
        for future in waiting:
            future.cancel()


@contextlib.contextmanager
def _no_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back for a moment. Processes that start in it never hear of it; the caller hears it after."""
    mask = getattr(signal, "pthread_sigmask", None)
    if mask is None:
        yield
        return
    before = mask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        mask(signal.SIG_SETMASK, before)


class LocalWorkers:
    """Worker processes of this machine: one BLAS thread each, deaf to Ctrl-C, gone when their parent is gone.

    Parameters
    ----------
    count : int or None
        Number of processes; None takes one per core.
    """

    lost = (BrokenProcessPool,)

    def __init__(self, count: int | None = None):
        if count is not None:
            whole_from_one("workers", count)
        self.count = _cores() if count is None else count
        self._pool: ProcessPoolExecutor | None = None
        self._before: dict[str, str | None] = {}

    def __enter__(self) -> LocalWorkers:
        # read when numpy is loaded, in a fresh process: every worker counts with one thread
        self._before = {name: os.environ.get(name) for name in _THREADS}
        os.environ.update(dict.fromkeys(_THREADS, "1"))
        return self

    def __exit__(self, *_: object) -> None:
        self._end()
        for name, value in self._before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value

    def executor(self) -> Executor:
        if self._pool is None:
            fresh = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(self.count, mp_context=fresh, initializer=_quiet_worker)
        return self._pool

    def replace(self) -> None:
        self._end()

    def _end(self) -> None:
        if self._pool is None:
            return
        processes = list((getattr(self._pool, "_processes", None) or {}).values())
        manager = getattr(self._pool, "_executor_manager_thread", None)
        self._pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:  # what is in work is given up: nobody waits for it
            process.terminate()
        for process in processes:
            process.join(5)
        if manager is not None:  # it closes the pool's pipes, which the end of the program would still write to
            manager.join(5)
        self._pool = None


def _cores() -> int:
    """Cores that this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not every system says
        return os.cpu_count() or 1


def _quiet_worker() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_leave_with, args=(parent.sentinel,), daemon=True).start()


def _leave_with(sentinel: int) -> None:
    wait_for([sentinel])
    os._exit(1)


class HereWorkers:
    """No processes: the work is done in the caller, for tests and small studies."""

    count = 1
    lost = ()

    def __enter__(self) -> HereWorkers:
        return self

    def __exit__(self, *_: object) -> None:
        return None

    def executor(self) -> Executor:
        return _Here()

    def replace(self) -> None:
        return None


class _Here(Executor):
    def submit(self, work: Callable[..., Any], /, *given: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        try:
            future.set_result(work(*given, **named))
        except Exception as error:
            future.set_exception(error)
        return future
