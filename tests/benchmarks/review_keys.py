"""How many key presses and seconds it takes to clear the demo job, and how fast a page of 500 lines opens.

    python -m tests.benchmarks.review_keys

Of the demo's lines one is dropped, one merged, three are fixed (a new element typed) and the others kept. A person thinks
between the keys; this measures the page, not the person. Prints one JSON object.
"""

import json
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.review_page.browser import ARGUMENTS, JOB, chromium, demo_store, link, served

FIXES = ("handrail", "door", "patio slab")
LINES = 500


def cleared(page: Any, lines: int) -> dict[str, float]:
    """Goes through the list by keys alone and counts them."""
    pressed = 0

    def press(key: str, tells: str = "") -> None:
        nonlocal pressed
        pressed += 1
        page.keyboard.press(key)
        if tells:
            page.wait_for_function("t => document.getElementById('told').textContent.includes(t)", arg=tells)

    def fix(element: str) -> None:
        nonlocal pressed
        press("e")
        page.wait_for_selector(".fields [name=element]:focus")
        page.keyboard.type(element)
        pressed += len(element)
        press("Control+Enter", "changed")

    began = time.perf_counter()
    for element in FIXES:
        fix(element)
    press("d")
    page.wait_for_selector("#ask[open] .choices")
    press("1", "Dropped")
    press("m")
    page.wait_for_selector("#ask[open] .choices button")
    press("Enter", "Merged")
    keep = page.locator(".line.unreviewed").count()
    for left in range(keep, 0, -1):
        press("n") if page.locator(".line.at-hand.unreviewed").count() == 0 else None
        press("k")
        page.wait_for_function("n => document.querySelectorAll('.line.unreviewed').length < n", arg=left)
    seconds = time.perf_counter() - began
    return {"lines": lines, "kept": keep, "fixed": len(FIXES), "presses": pressed, "seconds": round(seconds, 1)}


def opened_in(page: Any) -> float:
    """Seconds from asking for the page to its load event, by the browser's own clock (W3C Navigation Timing)."""
    page.reload(wait_until="load")
    page.wait_for_selector(".line.at-hand")
    return float(page.evaluate("() => performance.getEntriesByType('navigation')[0].loadEventEnd")) / 1000


def opening(browser: Any, folder: Path) -> dict[str, float]:
    """Seconds until a page of 500 lines is loaded, and until a decision on it is shown."""
    with demo_store(folder / "many", LINES // 15 + 1) as store, served(store, folder) as desk:
        page = browser.new_context(viewport={"width": 1400, "height": 900}).new_page()
        page.goto(link(desk))
        page.wait_for_selector(".line.at-hand")
        opened = sorted(opened_in(page) for _ in range(3))[1]
        began = time.perf_counter()
        page.keyboard.press("k")
        page.wait_for_function("() => document.getElementById('told').textContent.includes('Kept')")
        decided = time.perf_counter() - began
        began = time.perf_counter()
        page.keyboard.press("u")
        page.wait_for_function("() => document.getElementById('told').textContent.includes('Taken back')")
        return {
            "lines": len(store.items(JOB)),
            "opens": round(opened, 2),
            "keep": round(decided, 2),
            "undo": round(time.perf_counter() - began, 2),
        }


def main() -> None:
    from playwright.sync_api import sync_playwright

    if chromium() is None:
        raise SystemExit("no chromium here: apt-get install chromium")
    with tempfile.TemporaryDirectory() as held, sync_playwright() as playwright:
        folder = Path(held)
        browser = playwright.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
        with demo_store(folder / "demo") as store, served(store, folder) as desk:
            page = browser.new_context(viewport={"width": 1400, "height": 900}).new_page()
            page.goto(link(desk))
            page.wait_for_selector(".line.at-hand")
            demo = cleared(page, len(store.items(JOB)))
            demo["left"] = sum(i.review == "unreviewed" for i in store.items(JOB))
        print(json.dumps({"demo": demo, "many": opening(browser, folder)}))
        browser.close()


if __name__ == "__main__":
    main()
