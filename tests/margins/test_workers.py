"""Chunks on executors: order, lost workers, nothing begun before the last chunk is kept."""

from __future__ import annotations

import random
import time
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool

import pytest

from shellbuck.core.errors import Incomplete
from shellbuck.core.workers import HereWorkers, answers, map_chunks


def slow_square(x):
    time.sleep(random.Random(x).random() / 200)
    return x * x


class Threads(HereWorkers):
    count = 4

    def __init__(self):
        self.pool = ThreadPoolExecutor(4)

    def executor(self):
        return self.pool


def test_results_come_in_the_order_of_the_pieces():
    chunks = [list(range(20)), [], [7], list(range(30, 50))]
    workers = Threads()
    assert list(map_chunks(slow_square, chunks, workers)) == [[x * x for x in chunk] for chunk in chunks]
    workers.pool.shutdown()


def test_a_chunk_is_begun_only_when_the_last_one_is_kept():
    begun, kept = [], []

    def chunks():
        for k in range(5):
            assert kept == list(range(k))
            begun.append(k)
            yield [k]

    for k, found in enumerate(map_chunks(slow_square, chunks(), HereWorkers())):
        assert found == [k * k]
        kept.append(k)
    assert begun == kept == list(range(5))


def test_an_error_of_the_work_is_an_error():
    with pytest.raises(TypeError):
        list(map_chunks(slow_square, [[1, None]], HereWorkers()))


class Mortal(HereWorkers):
    """Workers that die at the pieces listed, once for every time they are listed."""

    lost = (BrokenProcessPool,)

    def __init__(self, deadly):
        self.deadly, self.replaced, self.answered = list(deadly), 0, []

    def executor(self):
        return self

    def replace(self):
        self.replaced += 1

    def submit(self, work, piece):
        future = Future()
        if piece in self.deadly:
            self.deadly.remove(piece)
            future.set_exception(BrokenProcessPool("gone"))
        else:
            self.answered.append(piece)
            future.set_result(work(piece))
        return future


def test_lost_workers_are_replaced_and_no_piece_is_lost():
    workers = Mortal([2, 5, 5])
    assert list(map_chunks(slow_square, [[1, 2, 3], [4, 5, 6]], workers)) == [[1, 4, 9], [16, 25, 36]]
    assert workers.replaced == 3
    assert sorted(workers.answered) == [1, 2, 3, 4, 5, 6], "no answer is asked for twice"


def test_workers_that_die_again_and_again_end_the_work_in_words():
    workers = Mortal([5] * 9)
    found = map_chunks(slow_square, [[1], [5]], workers)
    assert next(found) == [1]
    with pytest.raises(Incomplete, match=r"end before they answer.*what is finished is kept"):
        next(found)


def test_an_answer_that_comes_with_a_loss_is_handed_over_first():
    workers = Mortal([5] * 9)
    kept = []
    with pytest.raises(Incomplete):
        kept.extend(answers(slow_square, [4, 5, 6], workers))
    assert sorted(kept) == [(0, 16), (2, 36)]
