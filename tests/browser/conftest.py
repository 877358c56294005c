"""A real browser for the review page: Debian's chromium, headless, software drawing, every network request refused.

The tests run when SHELLBUCK_BROWSER is 1 and then need `pip install playwright` and a chromium (SHELLBUCK_CHROMIUM
names another one); a missing part is a failure, not a skip.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from browser_driver import READY, SOFTWARE, Opened, chromium_path, opened
from browser_pages import review_data, write_page

WANTED = os.environ.get("SHELLBUCK_BROWSER") == "1"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what needs a browser unless it is asked for."""
    if WANTED:
        return
    for item in items:
        if Path(__file__).parent in item.path.parents and "playwright_driver" in getattr(item, "fixturenames", ()):
            item.add_marker(
                pytest.mark.skip(reason="browser tests run with SHELLBUCK_BROWSER=1 (playwright and chromium)")
            )


@pytest.fixture(scope="session")
def playwright_driver() -> Iterator[object]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def chromium(playwright_driver) -> Iterator[object]:
    browser = playwright_driver.chromium.launch(executable_path=chromium_path(), args=SOFTWARE)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Path:
    """The page of `review_data`."""
    return write_page(tmp_path_factory.mktemp("review") / "page.html", review_data())


@pytest.fixture(scope="module")
def review(chromium, demo) -> Iterator[Opened]:
    """The demo page, one for all tests of a module: each sets what it needs. It must not complain."""
    with opened(chromium, demo) as found:
        yield found
        found.clean()


@pytest.fixture
def visit(chromium, tmp_path) -> Callable:
    """`with visit(data, remarks) as page:` a page of own data."""
    count = iter(range(1000))

    def make(data, remarks=None, ready=READY, browser=chromium, **options):
        return opened(browser, write_page(tmp_path / f"page{next(count)}.html", data, remarks), ready, **options)

    return make
