"""How long a review page takes to its first picture, against the same browser with an empty drawing of the same kind.

    python benchmarks/review_page.py [PAGE.html ...]

Needs playwright and a chromium; software drawing, no network. Without arguments a page of six modes (closed form,
Ritz, mesh) is made. A page is timed only when its first mode is drawn in the right colours. Times run from the
navigation to the first words on the screen, the first picture of the barrel, the end of the last part. A picture counts
when one of its pixels can be read back: a drawing that is only asked for is none yet. Aim: a picture within 2 s.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent.parent / "tests"), str(Path(__file__).parent.parent / "tests" / "browser")]
from browser_driver import SOFTWARE, chromium_path  # noqa: E402
from browser_pages import review_data, write_page  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

RUNS = 5
EMPTY = """<!doctype html><canvas id="c" width="650" height="420"></canvas><script>
const gl = c.getContext("webgl2"); gl.clearColor(1, 1, 1, 1); gl.clear(gl.COLOR_BUFFER_BIT);
gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
window.pictureAt = performance.now();
window.shellbuckReview = { ready: performance.now() };
</script>"""
# reads a pixel back at the end of the task that draws the first triangles: the lines of the same picture are then drawn
WATCH = """for (const name of ["drawElements", "drawElementsInstanced"]) {
  const draw = WebGL2RenderingContext.prototype[name];
  WebGL2RenderingContext.prototype[name] = function (...values) {
    draw.apply(this, values);
    if (window.pictureAt !== undefined) return;
    window.pictureAt = NaN;
    queueMicrotask(() => {
      this.readPixels(0, 0, 1, 1, this.RGBA, this.UNSIGNED_BYTE, new Uint8Array(4));
      window.pictureAt = performance.now();
    });
  };
}"""


def times(browser, page: Path, check: bool) -> tuple[float, float, float]:
    """Seconds to the first words, the first picture, the end."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, offline=True)
    tab = context.new_page()
    tab.add_init_script(WATCH)
    tab.goto(page.as_uri())
    end = time.monotonic() + 120
    while not tab.evaluate("Boolean(window.shellbuckReview)"):
        if time.monotonic() > end:
            sys.exit(f"{page}: no picture in two minutes")
        tab.wait_for_timeout(50)
    if check:
        tab.get_by_label("shading", exact=True).uncheck()
        tab.get_by_label("contours", exact=True).uncheck()
        tab.get_by_label("cuts", exact=True).uncheck()
        tab.get_by_label("undeformed", exact=True).uncheck()
        wrong = tab.evaluate(
            """() => { const R = window.shellbuckReview; const { theta, x } = R.state; const at = R.at(theta, x);
            const drawn = R.drawn(at.pixel[0], at.pixel[1]);
            const off = Math.max(...at.colour.map((c, k) => Math.abs(c - drawn[k])));
            return off > 12 || Math.abs(Math.abs(at.w) - 1) > 0.05; }"""
        )
        if wrong:
            sys.exit(f"{page}: the summit is not drawn in its colour, not timed")
    found = tab.evaluate(
        """() => [
        performance.getEntriesByType("paint").find((p) => p.name === "first-contentful-paint")?.startTime ?? NaN,
        window.pictureAt, window.shellbuckReview.ready]"""
    )
    context.close()
    return tuple(value / 1000 for value in found)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        pages = [Path(name).resolve() for name in sys.argv[1:]] or [
            write_page(Path(folder) / "page.html", review_data())
        ]
        empty = Path(folder) / "empty.html"
        empty.write_text(EMPTY)
        browser = driver.chromium.launch(executable_path=chromium_path(), args=SOFTWARE)
        times(browser, empty, False)
        base = statistics.median(times(browser, empty, False)[1] for _ in range(RUNS))
        print(f"empty drawing: {base:.2f} s")
        for page in pages:
            runs = [times(browser, page, True) for _ in range(RUNS)]
            words, picture, end = (statistics.median(column) for column in zip(*runs, strict=True))
            size = page.stat().st_size / 1e6
            print(
                f"{page.name} ({size:.1f} MB): words {words:.2f} s, picture {picture:.2f} s (aim 2 s; "
                f"{picture / base:.1f} times the empty drawing), all {end:.2f} s"
            )
        browser.close()


if __name__ == "__main__":
    main()
