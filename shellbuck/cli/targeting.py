"""Files that a command is about to write: checked before the work, and marked when the work ends in a refusal.

A command names its targets once, first of all (`claim`). What stands there is replaced only when it is our own and
nobody has worked on it. When the command ends without a result, an old one must not stay there as if it were new: a
page states so in its place, JSON gets the refusal, any other file is moved aside.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from ..core.errors import Refusal, ShellbuckError
from .output import printable, write_text

if TYPE_CHECKING:
    from ..io.pages.remarks import Remarks

_claimed: list[str] = []
"""Targets of the command at work that are not written yet."""


@contextlib.contextmanager
def fresh() -> Iterator[None]:
    """Forget the targets of an earlier command in this process."""
    _claimed.clear()
    try:
        yield
    finally:
        _claimed.clear()


def claim(*targets: str | None, force: bool, remarks: str | None = None, always: bool = False) -> None:
    """Take up the targets of a command.

    Parameters
    ----------
    targets : str or None
        Files to write; None and - are none.
    force : bool
        Replace existing files.
    remarks : str, optional
        The file of remarks that the new page will carry.
    always : bool
        Refuse any existing file, our own too: its purpose cannot be read from it.

    Raises
    ------
    Refusal
        "file-exists", "file-foreign" or "page-reviewed".
    """
    named = [t for t in targets if t not in (None, "-")]
    for target in named:
        if not os.path.lexists(target) or os.path.isdir(target) or force:
            continue
        if always:
            raise Refusal.of("file-exists", "the file exists", target, way_out="choose another name, or add --force")
        from ..io.pages.ownership import refuse_foreign

        refuse_foreign(target, _carried(remarks))
    _claimed.extend(named)


def _carried(remarks: str | None) -> Remarks | None:
    if remarks is None:
        return None
    from ..io.pages.remarks import read_remarks

    with contextlib.suppress(Refusal):  # said where the remarks themselves are read
        return read_remarks(remarks)
    return None


def written(*targets: str | None) -> None:
    """Record that targets were written."""
    for target in targets:
        if target in _claimed:
            _claimed.remove(target)


def was_claimed(target: str) -> bool:
    """Whether the command at work took this target up."""
    return target in _claimed


def put_aside(target: str | None) -> Iterator[str]:
    """Move an existing file aside where its target gets no new one; yields what was done, in words."""
    if target not in _claimed:
        return
    _claimed.remove(target)
    if (path := Path(target)).is_file():
        aside = _aside(path)
        path.rename(aside)
        yield f"{printable(target)} contained an earlier run and is now {printable(str(aside))}"


def mark_old(error: ShellbuckError) -> Iterator[str]:
    """Mark the existing file at every target that was not written; yields what was done, in words."""
    for target in list(_claimed):
        path = Path(target)
        if not path.is_file():
            continue
        try:
            if path.suffix.lower() == ".json":
                _write_json(path, error)
                continue
            from ..io.pages.ownership import has_remarks

            if path.suffix.lower() in (".html", ".htm") and not has_remarks(target):
                from ..report.pages.refused import refused_page

                write_text(path, refused_page(error, path.name))
                yield f"{printable(target)} contained an earlier run and now states that there is no result"
            else:
                yield from put_aside(target)
        except (OSError, Refusal):
            yield f"{printable(target)} still contains an earlier run: it could not be replaced"


def _write_json(path: Path, error: ShellbuckError) -> None:
    from ..io.results import json_text, refusal_object

    write_text(path, json_text(refusal_object(error)) + "\n")


def _aside(path: Path) -> Path:
    """A free name beside a file: report.old.html, report.old-2.html ..."""
    names = (f"{path.stem}.old{'' if i == 1 else f'-{i}'}{path.suffix}" for i in range(1, 10_000))
    return next(place for name in names if not os.path.lexists(place := path.with_name(name)))
