"""Painting in a process of its own: whatever graphics libraries do to it becomes a refusal in words."""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

from ...core.errors import Refusal, install_words
from .scene import Scene

LIMIT = 120.0
"""Time that a picture may take [s]."""
MISSING = 3
"""Exit status of the painter when the drawing library cannot be loaded."""
FAILED = 4
"""Exit status of the painter when drawing raised an error."""

_PNG = b"\x89PNG\r\n\x1a\n"
_LIBRARIES = "on a bare Linux also the graphics libraries libGL, libEGL and libXrender (libgl1 libegl1 libxrender1)"
_DISPLAYS = ("DISPLAY", "WAYLAND_DISPLAY")


def paint(scene: Scene, path: str | Path, limit: float = LIMIT) -> None:
    """Paint a scene as a PNG file; the file is touched only when the picture is finished.

    A painter that crashes is tried once more without the display that its surroundings name, which may be a dead one.

    Raises
    ------
    Refusal
        "extra-missing", "picture-failed" or "file-unwritable".
    """
    with tempfile.TemporaryDirectory(prefix="picture-") as folder:
        picture = Path(folder) / "picture.png"
        scene.save(Path(folder) / "scene.npz")
        surroundings = _surroundings()
        status, said = _run(folder, surroundings, limit)
        if status not in (0, MISSING) and any(surroundings.get(name) for name in _DISPLAYS):
            bare = {name: value for name, value in surroundings.items() if name not in _DISPLAYS}
            status, said = _run(folder, bare, limit)
        if status == MISSING:
            raise _missing(said)
        if status:
            raise _failed(_ended(status, said))
        if not picture.is_file() or picture.read_bytes()[:8] != _PNG:
            raise _failed("it ended without a picture")
        _put(picture, Path(path))


def show(scene: Scene) -> None:
    """Show a scene in a window, and return when it is closed.

    Raises
    ------
    Refusal
        "no-display", "extra-missing" or "picture-failed".
    """
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in _DISPLAYS):
        way_out = "write a picture (shellbuck picture CASE --to FILE.png) or the page (run CASE --page FILE)"
        raise Refusal.of("no-display", "there is no screen to open a window on", "window", way_out=way_out)
    with tempfile.TemporaryDirectory(prefix="picture-") as folder:
        scene.save(Path(folder) / "scene.npz")
        status, said = _run(folder, _surroundings(off_screen=False), None)
    if status == MISSING:
        raise _missing(said)
    if status:
        raise _failed(_ended(status, said))


def _missing(said: str) -> Refusal:
    what = f"the drawing library cannot be loaded ({said})"
    return Refusal.of("extra-missing", what, "picture", way_out=f"{install_words('pyvista')}; {_LIBRARIES}")


def _surroundings(off_screen: bool = True) -> dict[str, str]:
    """The environment of the painter: this package can be imported; off screen, nothing is shown."""
    home = str(Path(__file__).resolve().parents[3])
    search = [place for place in (os.environ.get("PYTHONPATH"), home) if place]
    hidden = {"PYVISTA_OFF_SCREEN": "true"} if off_screen else {"PYVISTA_OFF_SCREEN": "false"}
    return {**os.environ, "PYTHONPATH": os.pathsep.join(search), **hidden}


def _run(folder: str, surroundings: dict[str, str], limit: float | None) -> tuple[int, str]:
    """Exit status of the painter (of a signal, its negative number) and the last line it said; without a limit of time
    it shows a window."""
    picture = [] if limit is None else ["picture.png"]
    command = [sys.executable, "-m", "shellbuck.report.pictures.painter", "scene.npz", *picture]
    try:
        done = subprocess.run(
            command,
            cwd=folder,
            env=surroundings,
            timeout=limit,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _failed(f"it was stopped after {limit:g} s") from None
    except OSError as error:
        raise _failed(f"it could not be started: {error.strerror or error}") from None
    lines = done.stderr.decode("utf-8", "replace").strip().splitlines()
    return done.returncode, " ".join(lines[-1].split())[:160] if lines else ""


def _ended(status: int, said: str) -> str:
    if status < 0:
        known = {s.value: s.name for s in signal.Signals}
        return f"the graphics libraries crashed, {known.get(-status, f'signal {-status}')}"
    return said or f"it ended with status {status}"


def _failed(reason: str) -> Refusal:
    what = f"drawing in a separate process failed: {reason}"
    way_out = f"results are not affected; leave the picture out, or correct the graphics installation: {_LIBRARIES}"
    return Refusal.of("picture-failed", what, "picture", way_out=way_out)


def _put(picture: Path, path: Path) -> None:
    """Move the finished picture to its place; the last step is a rename, so that no half of it is ever there."""
    beside = path.with_name(f".{path.name[:100]}.{os.getpid()}")
    try:
        shutil.copyfile(picture, beside)
        os.replace(beside, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        what = f"the picture cannot be written ({error.strerror or error})"
        raise Refusal.of("file-unwritable", what, str(path)[:200]) from None
