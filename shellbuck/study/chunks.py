"""Work in chunks on any executor: one chunk at a time, its points spread over the workers.

A chunk is what is saved together. The next one begins when the last is saved, so that a stop loses one chunk at most.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait as wait_for
from typing import Any, Protocol

from .. import __version__
from ..errors import Incomplete, Problem, Refusal, install_words

PIECES_PER_WORKER = 4
"""Pieces of a chunk per worker: enough that nobody waits long for the last one."""

_TRIES = 3
"""Times that lost workers are replaced before the same piece before the study gives up."""

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


def map_chunks(
    work: Callable[[Any], Any], chunks: Iterable[Sequence[Any]], workers: Workers,
    tell: Callable[[int], None] | None = None,
) -> Iterator[list[Any]]:  # fmt: skip
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
        yield _whole(work, pieces, workers, tell)


def _whole(work: Callable, pieces: Sequence[Any], workers: Workers, tell: Callable[[int], None] | None) -> list[Any]:
    results: dict[int, Any] = {}
    losses = 0
    while len(results) < len(pieces):
        before = len(results)
        try:
            _some(work, pieces, workers.executor(), results, tell)
        except workers.lost:
            losses = losses + 1 if len(results) == before else 1
            if losses > _TRIES:
                raise Incomplete(Problem(
                    "study-workers-lost", "the worker processes end before they answer", "", f"{losses} times in a row",
                    "", "mostly too little memory: take fewer workers; in a script, start the study under "
                    'if __name__ == "__main__"; finished chunks are kept',
                )) from None  # fmt: skip
            workers.replace()
    return [results[i] for i in range(len(pieces))]


def _some(
    work: Callable, pieces: Sequence[Any], executor: Executor, results: dict[int, Any],
    tell: Callable[[int], None] | None,
) -> None:
    """Work out the pieces that have no result yet."""
    with _no_interrupt():
        waiting: dict[Future, int] = {executor.submit(work, p): i for i, p in enumerate(pieces) if i not in results}
    try:
        while waiting:
            # a timeout, so that an interrupt is noticed on every platform
            done, _ = wait(waiting, timeout=0.5, return_when=FIRST_COMPLETED)
            for future in done:
                results[waiting.pop(future)] = future.result()
                if tell is not None:
                    tell(len(results))
    finally:
        for future, i in waiting.items():
            # an answer that came before the trouble is not asked for again
            if not future.cancel() and future.done() and not future.cancelled() and future.exception() is None:
                results[i] = future.result()


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
        self.count = count or _cores()
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
        self._pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:  # what is in work is given up: nobody waits for it
            process.terminate()
        for process in processes:
            process.join(5)
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


class DaskWorkers:
    """Workers of a Dask scheduler, local or far.

    Parameters
    ----------
    address : str
        Of the scheduler, for example ``tcp://host:8786``.

    Raises
    ------
    Refusal
        When the library is missing, nobody answers or nobody works, or a worker cannot load this program.
    """

    def __init__(self, address: str, patience: float = 15.0):
        try:
            from dask.distributed import Client
            from distributed import KilledWorker
        except ImportError:
            raise Refusal(Problem(
                "study-dask-missing", "a scheduler needs the dask library", "--scheduler", address[:80], "",
                f"{install_words('dask[distributed]')}; without --scheduler this machine does the work",
            )) from None  # fmt: skip
        try:
            self._client = Client(address, timeout=patience)
            self._client.wait_for_workers(1, timeout=patience)
            self.count = max(sum(self._client.nthreads().values()), 1)
        except (OSError, ValueError, TimeoutError) as error:
            raise Refusal(Problem(
                "study-scheduler", "no scheduler with a worker answers at this address", "--scheduler", address[:80],
                "for example tcp://127.0.0.1:8786", f"start one, or leave --scheduler out ({type(error).__name__})",
            )) from None  # fmt: skip
        self._ask_versions()
        self.lost = (KilledWorker, CancelledError)
        self._executor: Executor | None = None

    def _ask_versions(self) -> None:
        try:
            found = set(self._client.run(_version, on_error="raise").values())
            self.count = max(sum(self._client.nthreads().values()), 1)
        except Exception as error:  # whatever a worker lacks, it cannot do this work
            found = {f"{type(error).__name__}: {error}"[:120]}
        if found != {__version__}:
            self.__exit__()
            raise Refusal(Problem(
                "study-worker-version", "a worker runs another version of shellbuck, or none", "--scheduler",
                ", ".join(sorted(found)), __version__, "install the same version everywhere",
            ))  # fmt: skip

    def __enter__(self) -> DaskWorkers:
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(Exception):
            if self._executor is not None:
                self._executor.shutdown(wait=False)
            self._client.close(timeout=5)

    def executor(self) -> Executor:
        if self._executor is None:
            # the same piece twice is the same work, but a name of its own keeps a lost answer from being reused
            self._executor = self._client.get_executor(pure=False)
        return self._executor

    def replace(self) -> None:
        self._executor = None


def _version() -> str:
    return __version__


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
    def submit(self, work: Callable, /, *given: Any, **named: Any) -> Future:
        future: Future = Future()
        try:
            future.set_result(work(*given, **named))
        except Exception as error:
            future.set_exception(error)
        return future
