"""The browser of the tests, and what is done and asked in it."""

from __future__ import annotations

import io
import os
import shutil
import time
from contextlib import contextmanager
from pathlib import Path

from matplotlib.image import imread

SOFTWARE = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--host-resolver-rules=MAP * ~NOTFOUND",
    "--disable-background-networking",
]

READY = "Boolean(R && R.frames > 0)"


def chromium_path() -> str:
    """The browser to test with."""
    found = os.environ.get("SHELLBUCK_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, (
        "SHELLBUCK_BROWSER=1, but no chromium is installed (apt install chromium) or named in SHELLBUCK_CHROMIUM"
    )
    return found


class Opened:
    """A page in the browser, with what it complained about."""

    def __init__(self, page) -> None:
        self.page = page
        self.complaints: list[str] = []
        self.asked: list[str] = []
        page.on("console", lambda m: self.complaints.append(m.text) if m.type in ("error", "warning") else None)
        page.on("pageerror", lambda e: self.complaints.append(str(e)))
        page.on("request", lambda r: self.asked.append(r.url))

    def __call__(self, expression: str, *values):
        """Evaluate `expression` with `R` as the page's published state and the values as `a`, `b`, ..."""
        names = ", ".join("abcdef"[: len(values)])
        return self.page.evaluate(
            f"([{names}]) => {{ const R = window.shellbuckReview; return ({expression}); }}", list(values)
        )

    def wait(self, expression: str, seconds: float = 60.0) -> None:
        """Wait until an expression is true (asked from here: the page's policy lets no text become a script)."""
        end = time.monotonic() + seconds
        while not self(expression):
            assert time.monotonic() < end, f"never true: {expression}; complaints: {self.complaints}"
            self.page.wait_for_timeout(20)

    def settled(self) -> None:
        """Wait until what was asked for is drawn."""
        self.page.evaluate(
            "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done))))"
        )

    def tick(self, words: str, on: bool) -> None:
        """Set a tick box by its words."""
        self.page.get_by_label(words, exact=True).set_checked(on)
        self.settled()

    def bare(self) -> None:
        """Nothing but the colours of the mode on the barrel."""
        for words in ("undeformed", "contours", "shading", "cuts"):
            self.tick(words, False)

    def choose(self, mode: str) -> None:
        self.page.locator(f'#viewer input[type=radio][value="{mode}"]').check()
        self.settled()

    def slide(self, words: str, value: float) -> None:
        """Set a slider by its words."""
        self.page.get_by_label(words, exact=True).fill(str(value))
        self.settled()

    def picture(self):
        """Pixels of the barrel's picture (h, w, 3), 0 to 255, without the rim between two pixels of the screen."""
        found = imread(io.BytesIO(self.page.locator(".rv-solid-canvas").screenshot()))[2:-2, 2:-2, :3]
        return (found * 255).round().astype(int)

    def clean(self) -> None:
        """No complaint was made and nothing outside the file was asked for."""
        assert self.complaints == []
        assert [url for url in self.asked if not url.startswith(("file:", "data:", "blob:"))] == []


@contextmanager
def opened(browser, path: Path, ready: str = READY, **options):
    """Open a file in a context of its own and close it again."""
    context = browser.new_context(**{"viewport": {"width": 1280, "height": 800}, "offline": True, **options})
    try:
        found = Opened(context.new_page())
        found.page.goto(path.as_uri())
        found.wait(ready)
        yield found
    finally:
        context.close()
