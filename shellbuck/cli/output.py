"""Writing files whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import tempfile
from pathlib import Path
from typing import Any

import click

from ..core.errors import Refusal, ShellbuckError


def write_text(path: Path, text: str) -> None:
    """Write a text file in one move, so that a stop in between never leaves half a file.

    Raises
    ------
    Refusal
        Where nothing can be written.
    """
    write_bytes(path, text.encode("utf-8", "surrogateescape"))


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file in one move, as `write_text` does."""
    handle, name = _beside(path)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        temporary.chmod(0o666 & ~_umask())
        temporary.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise _unwritable(path, error) from None


def printable(text: str) -> str:
    """User text without control characters, so that a case file cannot steer the terminal."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


def print_json(document: dict[str, Any]) -> None:
    """Print a document as UTF-8 whatever the terminal's own encoding: JSON is UTF-8.

    Raises
    ------
    OSError
        Where the output takes no more, or is closed.
    """
    from ..io.results import json_text

    if sys.stdout is None:
        raise OSError(errno.EBADF, os.strerror(errno.EBADF))
    click.echo(json_text(document).encode("utf-8"))
    sys.stdout.flush()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _unwritable(path: Path, error: Exception) -> Refusal:
    reason = getattr(error, "strerror", None) or str(error)
    return Refusal.of(
        "file-unwritable", f"the file cannot be written ({reason})", str(path)[:200], way_out="check the folder"
    )


def keep_apart(case: str, *targets: str | None, what: str = "the case file") -> None:
    """Refuse targets that would overwrite what is read, or one another.

    Raises
    ------
    Refusal
    """
    places = [(what, Path(case))]
    for target in targets:
        if target is None or target == "-":
            continue
        path = Path(target)
        for name, other in places:
            if _same(path, other):
                raise Refusal.of("file-exists", f"this would overwrite {name}", target, way_out="choose another name")
        places.append(("another output", path))


def name_files(**targets: str | None) -> None:
    """Name every file that was written, and what it is."""
    for name, target in targets.items():
        if target is not None:
            click.echo(f"{name}: {printable(target)}")


def tell(text: str) -> None:
    """Progress on the error stream, so that the output stays clean."""
    click.echo(f"  {text}", err=True)


def refuse_existing(target: str, force: bool) -> None:
    """Refuse to write over a file unless forced.

    Raises
    ------
    Refusal
    """
    if Path(target).exists() and not force:
        raise Refusal.of("file-exists", "the file exists", target, way_out="choose another name, or add --force")


def try_places(*targets: str | None) -> None:
    """Refuse places that cannot be written to before long work begins; nothing is left there.

    Raises
    ------
    Refusal
    """
    for target in targets:
        if target is None or target == "-":
            continue
        path = Path(target)
        if path.is_dir():
            raise _unwritable(path, IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR)))
        handle, name = _beside(path)
        os.close(handle)
        Path(name).unlink()


def _beside(path: Path) -> tuple[int, str]:
    """An open temporary file in the folder of a target."""
    try:
        return tempfile.mkstemp(dir=path.parent or ".", prefix=f".{path.name}.", suffix=".part")
    except (OSError, ValueError) as error:
        raise _unwritable(path, error) from None


def _same(a: Path, b: Path) -> bool:
    with contextlib.suppress(OSError):
        if a.exists() and b.exists():
            return a.samefile(b)
    return os.path.abspath(a) == os.path.abspath(b)


def write_refusal(target: str, error: ShellbuckError) -> None:
    """Leave the refusal where the result would have been; a second failure is not worth a word."""
    from ..io.results import json_text, refusal_object

    with contextlib.suppress(Refusal):
        write_text(Path(target), json_text(refusal_object(error)) + "\n")
