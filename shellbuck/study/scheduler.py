"""Workers of a Dask scheduler for studies, on this machine or far away."""

from __future__ import annotations

import contextlib
from concurrent.futures import CancelledError, Executor

from .. import __version__
from ..core.errors import Refusal, install_words


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
            what = "a scheduler needs the dask library"
            way_out = f"{install_words('dask[distributed]')}; without --scheduler this machine does the work"
            raise Refusal.of("study-dask-missing", what, "--scheduler", address[:80], "", way_out) from None
        try:
            self._client = Client(address, timeout=patience)
            self._client.wait_for_workers(1, timeout=patience)
            self.count = max(sum(self._client.nthreads().values()), 1)
        except (OSError, ValueError, TimeoutError) as error:
            what = "no scheduler with a worker answers at this address"
            allowed = "for example tcp://127.0.0.1:8786"
            way_out = f"start one, or leave --scheduler out ({type(error).__name__})"
            raise Refusal.of("study-scheduler", what, "--scheduler", address[:80], allowed, way_out) from None
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
            what = "a worker runs another version of shellbuck, or none"
            got = ", ".join(sorted(found))
            way_out = "install the same version everywhere"
            raise Refusal.of("study-worker-version", what, "--scheduler", got, __version__, way_out)

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
