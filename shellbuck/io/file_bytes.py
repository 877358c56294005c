"""Bytes of a file of unknown origin: only regular files, and never more than a limit."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

from ..core.errors import Refusal

_CODE, _WHAT = "file-unreadable", "the file cannot be read"


def regular_bytes(
    path: Path,
    largest: int,
    kind: str,
    way_out: str,
    *,
    links: bool = True,
    glance: Callable[[bytes], None] | None = None,
) -> bytes:
    """All bytes of a regular file.

    Parameters
    ----------
    path : Path
    largest : int
        Bytes; a larger file is refused.
    kind : str
        What the file should be, for the message: "a report page".
    way_out : str
        What to do when it cannot be read.
    links : bool
        Whether the name itself may be a symbolic link.
    glance : callable, optional
        Told the first bytes before the length is judged.

    Raises
    ------
    Refusal
        "file-unreadable" for a folder, a pipe, a device, a socket or what the system does not let be read; a pipe is
        never waited for. "file-too-large".
    """
    where = str(path)[:200]
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    flags |= 0 if links else getattr(os, "O_NOFOLLOW", 0)
    try:
        if not stat.S_ISREG((path.stat() if links else path.lstat()).st_mode):  # before a device is even opened
            raise _no_file(where, way_out)
        with os.fdopen(os.open(path, flags), "rb") as stream:
            mode = os.fstat(stream.fileno())
            if not stat.S_ISREG(mode.st_mode):
                raise _no_file(where, way_out)
            data = stream.read(largest + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Refusal.of(_CODE, f"{_WHAT} ({reason})", where, way_out=way_out) from None
    if glance is not None:
        glance(data[:200])
    if len(data) > largest:
        size = max(mode.st_size, len(data))
        raise Refusal.of("file-too-large", f"too large for {kind}", where, f"{size} bytes", f"{largest} bytes")
    return data


def _no_file(where: str, way_out: str) -> Refusal:
    allowed = "a regular file: no folder, pipe or device"
    return Refusal.of(_CODE, "this is not a file", where, "", allowed, way_out)
