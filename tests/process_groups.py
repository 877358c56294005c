"""Processes that tests start and stop."""

from __future__ import annotations

import os
import time


def gone(group: int, seconds: int = 10) -> bool:
    """Whether nobody of a process group is left after a while."""
    for _ in range(10 * seconds):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.1)
    return False
