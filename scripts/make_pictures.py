"""Make the pictures of the documentation from the demo: its sheet, and three of its pages.

Needs `pdftoppm` (Debian: poppler-utils) and chromium (Debian: chromium).

python scripts/make_pictures.py
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Locator, Page, sync_playwright

PICTURES = Path(__file__).resolve().parent.parent / "docs" / "pictures"
SHEET_WIDTH = 800
"""Pixels across a printed page: readable on a repository's front page."""
PAGE_WIDTH = 1280
"""Pixels across a page of the application: a small laptop."""
MARGIN = 8
"""Pixels above and below what is shown of a page."""
LARGEST_SHEET = 400_000
LARGEST_PAGE = 250_000
"""Bytes a picture may have, so that a clone stays small."""
READY_WITHIN_S = 120
MADE_WITHIN_S = 600
"""The sessions of the whole club, on a computer that may be doing other things."""
ATHLETE = "Runa Velde"
CUPBOARD, HALL = "Cupboard in the sail loft", "Slipway hall"
EXERCISE = "external_rotation_side"
CODE = "from firstpush.cli import main; main()"


def main() -> int:
    """Make the demo once and serve it; take the pictures; say which is too large."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder:
        sheet = Path(folder) / "session.pdf"
        with _demo(folder) as (address, password), sync_playwright() as playwright:
            chromium = shutil.which("chromium") or shutil.which("chromium-browser")
            browser = playwright.chromium.launch(executable_path=chromium)
            # Reduced motion: a moving drawing shows the same moment in every run.
            context = browser.new_context(viewport={"width": PAGE_WIDTH, "height": 900}, reduced_motion="reduce")
            page = context.new_page()
            page.set_default_timeout(READY_WITHIN_S * 1000)
            _log_in(page, address, password)
            _wait_for_the_sessions(page, sheet)
            _picture_of_the_day(page)
            _picture_of_a_session(page)
            _picture_of_an_exercise(page, address)
            browser.close()
        subprocess.run(
            ["pdftoppm", "-png", "-singlefile", "-f", "1", "-l", "1"]
            + ["-scale-to-x", str(SHEET_WIDTH), "-scale-to-y", "-1", str(sheet), str(PICTURES / "sheet")],
            check=True,
        )
    return max(_too_large("sheet", LARGEST_SHEET), *(_too_large(each, LARGEST_PAGE) for each in PAGES))


PAGES = ("day", "session", "exercise")


@contextmanager
def _demo(folder: str) -> Iterator[tuple[str, str]]:
    """Serve the demo in `folder` for as long as the block lasts; give its address and the owner's password."""
    options = ["demo", "--out", folder, "--port", "0", "--no-browser"]
    process = subprocess.Popen([sys.executable, "-c", CODE, *options], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    printed = ""
    try:
        for line in process.stdout:
            printed += line
            if "ready" in line:
                break
        address = re.search(r"http://\S+/", printed)
        password = re.search(r"^owner +owner +(\S+)$", printed, re.M)
        if address is None or password is None:
            raise SystemExit(f"The demo did not start; it printed:\n{printed}")
        yield address[0], password[1]
    finally:
        process.terminate()
        process.wait(timeout=60)


def _log_in(page: Page, address: str, password: str) -> None:
    page.goto(address)
    page.get_by_label("Name to log in with").fill("owner")
    page.get_by_label("Password").fill(password)
    page.keyboard.press("Enter")
    page.wait_for_url(address)


def _wait_for_the_sessions(page: Page, sheet: Path) -> None:
    """Wait until the training day asks for no more news, and the demo's sheet is written."""
    until = time.monotonic() + MADE_WITHIN_S
    while True:
        page.reload(wait_until="networkidle")
        busy = page.locator("#the-day").get_attribute("hx-get") is not None
        ready = page.get_by_role("button", name=re.compile("^Print all")).count() > 0
        if ready and not busy and sheet.exists():
            return
        if time.monotonic() > until:
            raise SystemExit(f"The sessions of the demo are not made after {MADE_WITHIN_S} s: run it once more.")
        time.sleep(2)


def _picture_of_the_day(page: Page) -> None:
    """Show the head of the training day, down to the end of its first athlete."""
    first = page.locator("details.athlete").first
    if first.get_attribute("open") is None:
        first.locator("summary").first.click()
    _take(page, "day", to=first)


def _picture_of_a_session(page: Page) -> None:
    """Show the first exercise of an athlete's session that is laid from a post."""
    row = page.locator("details.athlete", has=page.get_by_role("heading", name=ATHLETE))
    if row.get_attribute("open") is None:
        row.locator("summary").first.click()
    row.get_by_role("link", name=re.compile("^Session")).click()
    page.get_by_role("heading", name=ATHLETE).wait_for()
    laid = page.locator("section.item", has=page.get_by_text("Post", exact=True)).first
    _take(page, "session", to=laid, begin=laid)


def _picture_of_an_exercise(page: Page, address: str) -> None:
    """Show an exercise set up for the athlete with the club's own cupboard and hall, down to its large numbers."""
    page.goto(f"{address}exercises/{EXERCISE}/")
    page.get_by_label("For", exact=True).select_option(label=ATHLETE)
    page.get_by_label("with", exact=True).select_option(label=CUPBOARD)
    page.get_by_label("in", exact=True).select_option(label=HALL)
    page.get_by_role("button", name="Show").click()
    head = page.get_by_role("heading", name=f"Set up for {ATHLETE}")
    _take(page, "exercise", to=page.locator(".page-head", has=head))


def _take(page: Page, name: str, *, to: Locator, begin: Locator | None = None) -> None:
    """Write what stands from the top of the page, or of `begin`, to the bottom of `to`."""
    to.wait_for()
    # What lies below the window is loaded late otherwise, and would be white.
    page.evaluate("for (const each of document.images) each.loading = 'eager'")
    page.evaluate("() => Promise.all([...document.images].map(each => each.decode()))")
    last = to.bounding_box()
    first = begin.bounding_box() if begin is not None else None
    assert last is not None
    top = first["y"] - MARGIN if first is not None else 0
    height = last["y"] + last["height"] + MARGIN - top
    page.screenshot(
        path=PICTURES / f"{name}.png", full_page=True, clip={"x": 0, "y": top, "width": PAGE_WIDTH, "height": height}
    )


def _too_large(name: str, largest: int) -> int:
    size = (PICTURES / f"{name}.png").stat().st_size
    print(f"docs/pictures/{name}.png: {size / 1000:.0f} kB")
    return 0 if size <= largest else 1


if __name__ == "__main__":
    sys.exit(main())
