"""Slow: real processes killed with their group, a worker killed alone, a Dask cluster that loses a worker.

The Dask tests need the extra "study" (CI installs it with the test tools).
"""

from __future__ import annotations

import importlib.util
import os
import random
import signal
import sys
import time
from pathlib import Path

import process_groups
import pytest
from study_plans import SKIN, plan, rows, run

from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.study import DaskWorkers, LocalWorkers, Study, open_folder, run_study

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="process groups and signals"),
    # sockets that the cluster's library leaves open at its end are not ours
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]

SCRIPT = Path(__file__).parent.parent.parent / "benchmarks" / "killed_study.py"


def script():
    found = importlib.util.spec_from_file_location("killed_study", SCRIPT)
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


def test_killed_at_random_moments_every_file_is_the_same(tmp_path):
    """Three kills; benchmarks/killed_study.py does twenty and more."""
    killed, rng = script(), random.Random(20)
    study = killed.prepare(tmp_path)
    start = time.monotonic()
    killed.finish(study, tmp_path / "whole")
    length = time.monotonic() - start
    whole = killed.contents(tmp_path / "whole")
    kills = 0
    while kills < 3:
        moment = (rng.uniform(0, 0.5), 12 + 20 * kills) if kills < 2 else (rng.uniform(0, length), 0)
        running, answered, kept = killed.kill_after(study, tmp_path / "f", *moment)
        kills += running
        assert answered - kept <= 8
    assert killed.finish(study, tmp_path / "f") == kept
    assert killed.contents(tmp_path / "f") == whole


def test_workers_go_when_their_parent_is_killed_alone(tmp_path):
    killed = script()
    process = killed.begin(killed.prepare(tmp_path), tmp_path / "f")
    process.stdout.readline(), process.stdout.readline()  # the second is told when a worker has answered
    os.kill(process.pid, signal.SIGKILL)
    process.communicate(timeout=60)
    assert process_groups.gone(process.pid), "a worker outlives its parent"


LONG = {**SKIN, "count": 60}


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory):
    """(plan, bytes of its table) worked out in this process."""
    wanted = plan(LONG, chunk=20)
    return wanted, run(wanted, tmp_path_factory.mktemp("whole") / "s")[1].table.read_bytes()


def test_a_worker_killed_alone_is_replaced(undisturbed, tmp_path):
    wanted, right = undisturbed
    study, killed = Study.of(wanted), []
    with open_folder(study, tmp_path / "s") as folder, LocalWorkers(2) as workers:

        def kill_one(progress):
            if progress.done >= 10 and not killed:
                killed.append(next(iter(workers.executor()._processes)))
                os.kill(killed[0], signal.SIGKILL)

        run_study(study, folder, workers, kill_one)
    assert killed
    assert folder.table.read_bytes() == right


def test_workers_that_never_start_end_in_words(undisturbed, tmp_path, monkeypatch):
    """A worker that ends before it answers, every time: no hang, no traceback."""
    import shellbuck.core.workers as workers_module

    monkeypatch.setattr(workers_module, "_quiet_worker", os.abort)
    study = Study.of(undisturbed[0])
    with (
        open_folder(study, tmp_path / "s") as folder,
        LocalWorkers(1) as workers,
        pytest.raises(Incomplete, match="the worker processes end before they answer"),
    ):
        run_study(study, folder, workers)


@pytest.fixture
def cluster():
    """A Dask cluster of two processes on this machine."""
    try:
        from dask.distributed import LocalCluster
    except ImportError:
        pytest.fail('these tests need the extra "study": pip install -e ".[study]"')
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50) as found:
        yield found


def test_dask_gives_the_same_table(undisturbed, cluster, tmp_path):
    wanted, right = undisturbed
    study = Study.of(wanted)
    with open_folder(study, tmp_path / "s") as folder, DaskWorkers(cluster.scheduler_address) as workers:
        run_study(study, folder, workers)
    assert folder.table.read_bytes() == right
    assert len(rows(folder)) == 60


def test_a_scheduler_without_a_worker_is_refused(cluster):
    for name in list(cluster.workers):
        cluster.sync(cluster.workers[name].close)
    with pytest.raises(Refusal, match="no scheduler with a worker"):
        DaskWorkers(cluster.scheduler_address, patience=2.0)


def test_a_dask_worker_of_another_version_is_refused(cluster, monkeypatch):
    import shellbuck.study.scheduler as scheduler

    monkeypatch.setattr(scheduler, "__version__", "9.9")
    with pytest.raises(Refusal, match=r"another version of shellbuck, or none.*0\.1.*9\.9"):
        DaskWorkers(cluster.scheduler_address)


def test_dask_gives_the_same_table_when_a_worker_dies(undisturbed, cluster, tmp_path):
    wanted, right = undisturbed
    study, killed = Study.of(wanted), []
    with open_folder(study, tmp_path / "s") as folder, DaskWorkers(cluster.scheduler_address) as workers:

        def kill_one(progress):
            if progress.done >= 10 and not killed:
                killed.append(next(iter(cluster.workers.values())).pid)
                os.kill(killed[0], signal.SIGKILL)

        run_study(study, folder, workers, kill_one)
    assert killed
    assert folder.table.read_bytes() == right
