"""A scheduler that is not there, or whose library is missing."""

from __future__ import annotations

import pytest

from shellbuck.core.errors import Refusal
from shellbuck.study import DaskWorkers


def test_a_scheduler_that_does_not_answer_is_refused():
    pytest.importorskip("dask", reason='needs the extra "study"')
    for address in ("tcp://127.0.0.1:1", "nonsense"):
        with pytest.raises(Refusal, match="no scheduler with a worker answers at this address"):
            DaskWorkers(address, patience=0.5)


def test_a_scheduler_without_its_library_is_refused(monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "dask.distributed", None)
    with pytest.raises(Refusal, match=r"-m pip install 'dask\[distributed\]'; without"):
        DaskWorkers("tcp://127.0.0.1:1")
