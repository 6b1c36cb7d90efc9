"""A real browser for the tests that look at what is really shown.

One for each file of tests: while it runs, its thread has an event loop, which other tests that
start one would stumble over.
"""

import os
import shutil

import pytest
from playwright.sync_api import expect, sync_playwright

from waiting import LONG_MS

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="module")
def chromium():
    path = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    assert path, "needs Chromium: install it, or set CHROMIUM to its path"
    expect.set_options(timeout=LONG_MS)
    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=path, args=FLAGS)
        yield running
        running.close()
