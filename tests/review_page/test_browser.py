"""The page in Debian's Chromium. Screenshots are kept in the folder that MEMO2LIST_SHOTS names, to be looked at."""

import dataclasses
import os
from pathlib import Path

import av
import pytest

from memo2list.records import Item, OfficeQuestion
from tests.pictures import picture_file
from tests.review_page.browser import ARGUMENTS, DEMO, JOB, chromium, demo_store, link, served

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(chromium() is None, reason="no chromium here: apt-get install chromium, then run these again"),
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        sound = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
        opened = playwright.chromium.launch(executable_path=chromium(), args=[*ARGUMENTS, *sound])
        yield opened
        opened.close()


@pytest.fixture
def desk(tmp_path):
    with demo_store(tmp_path / "store") as store, served(store, tmp_path) as opened:
        yield opened


@pytest.fixture
def page(browser, desk):
    yield from opened_page(browser, desk)


def opened_page(browser, desk, who="Ada", **options):
    still = {"viewport": {"width": 1400, "height": 900}, "reduced_motion": "reduce"}  # no colour on its way to another
    context = browser.new_context(**{**still, **options})
    made = context.new_page()
    troubles: list[str] = []
    made.on("pageerror", lambda error: troubles.append(str(error)))
    made.on("response", lambda r: troubles.append(f"{r.status} {r.url}") if r.status in (400, 403, 404, 500) else None)
    made.goto(link(desk, who))
    made.wait_for_url("**/")
    made.wait_for_selector(".line.at-hand" if options.get("java_script_enabled", True) else ".line")
    yield made
    context.close()
    assert troubles == []


def shot(page, name):
    if os.environ.get("MEMO2LIST_SHOTS"):
        folder = Path(os.environ["MEMO2LIST_SHOTS"])
        folder.mkdir(parents=True, exist_ok=True)
        page.wait_for_timeout(700)
        page.screenshot(path=folder / f"{name}.png")


def items(desk) -> tuple[Item, ...]:
    return desk.store.items(JOB)


def told(page, text):
    page.wait_for_function("text => document.getElementById('told').textContent.includes(text)", arg=text)


def press(page, keys, tells):
    for key in keys.split():
        page.keyboard.press(key)
    told(page, tells)


def test_the_list_is_gone_through_by_keyboard_alone(page, desk):
    """Keep the first, drop the second, change the third, merge the fourth, take that back, mark two and place them."""
    shot(page, "wide")
    first, second, third, fourth = (i.number for i in items(desk)[:4])
    press(page, "k", f"Kept {first}.")
    press(page, "d", "Kept")
    page.wait_for_selector("#ask[open]")
    shot(page, "drop")
    press(page, "1", f"Dropped {second}: said twice")
    page.keyboard.press("e")
    page.wait_for_selector(".fields [name=element]:focus")
    shot(page, "edit")
    page.keyboard.type("storm door")
    press(page, "Control+Enter", f"{third}: changed")
    page.keyboard.press("m")
    page.wait_for_selector("#ask[open] .choices button")
    press(page, "Enter", "Merged")
    assert fourth not in [i.number for i in items(desk)]
    press(page, "u", "Taken back")
    now = {i.number: i for i in items(desk)}
    assert (now[first].review, now[second].why_dropped, now[third].element) == ("kept", "said twice", "storm door")
    assert fourth in now
    page.keyboard.press("?")
    page.wait_for_selector("#help[open]")
    shot(page, "help")
    page.keyboard.press("Escape")
    page.keyboard.press("v")
    page.keyboard.press("v")
    page.keyboard.press("p")
    page.wait_for_selector("#ask [name=place]")
    page.keyboard.type("cellar")
    press(page, "Enter", "Place of")
    assert [i.location for i in items(desk)].count("cellar") == 2


def test_decisions_are_there_after_a_reload(page, desk):
    press(page, "k", "Kept")
    page.reload()
    page.wait_for_selector(".line.at-hand")
    assert page.locator(".line.kept").count() == 1
    assert "1 of" in page.locator(".progress").inner_text()


def test_a_quote_plays_inside_its_span(page):
    start, end = page.eval_on_selector(".at-hand a.play", "a => [Number(a.dataset.start), Number(a.dataset.end)]")
    page.keyboard.press(" ")
    page.wait_for_function("start => document.getElementById('quote-player').currentTime > start + 0.3", arg=start)
    assert start <= page.evaluate("document.getElementById('quote-player').currentTime") <= end
    page.wait_for_function("() => document.getElementById('quote-player').paused", timeout=20_000)
    assert page.evaluate("document.getElementById('quote-player').currentTime") <= end + 0.4


def test_two_pages_at_once_lose_nothing(browser, desk):
    one, two = opened_page(browser, desk, "Ada"), opened_page(browser, desk, "Ben")
    ada, ben = next(one), next(two)
    for page in (ada, ben):
        page.keyboard.press("e")
        page.wait_for_selector(".fields [name=location]")
    ada.fill(".fields [name=location]", "side gate")
    ada.click(".fields button:not([name])")
    told(ada, "changed place")
    ben.fill(".fields [name=location]", "back gate")
    ben.click(".fields button:not([name])")
    ben.wait_for_selector("#ask[open] .values")
    shot(ben, "stale")
    shown = ben.locator("#ask .values").inner_text()
    assert "side gate" in shown
    assert "back gate" in shown
    assert items(desk)[0].location == "side gate"
    ben.click("#ask button")
    told(ben, "changed place")
    assert items(desk)[0].location == "back gate"
    ada.wait_for_function(
        "() => document.querySelector('.signpost').textContent && document.body.textContent.includes('Back gate')", timeout=10_000
    )
    for pages in (one, two):
        with pytest.raises(StopIteration):
            next(pages)


def test_on_a_phone_everything_is_within_reach_of_a_thumb(browser, desk):
    pages = opened_page(browser, desk, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = next(pages)
    shot(page, "phone")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    low = page.evaluate(
        """() => { const all = [...document.querySelectorAll('.deciding button, .deciding a, a.play')];
        all.forEach(b => b.getBoundingClientRect());  // lays out what was left for later
        return all.map(b => [b.getBoundingClientRect().height, b.outerHTML]).filter(([height]) => height < 43.5); }"""
    )
    assert low == []
    page.tap(".line .keep")
    told(page, "Kept")
    page.locator(".line").nth(1).scroll_into_view_if_needed()
    shot(page, "phone_line")
    next(pages, None)


def test_without_script_the_forms_work(browser, desk):
    pages = opened_page(browser, desk, java_script_enabled=False)
    page = next(pages)
    page.click(".line .keep >> nth=0")
    page.wait_for_selector(".line.kept")
    page.click(".line .open >> nth=1")
    page.fill(".fields [name=note]", "bring a ladder")
    page.click(".fields button:not([name])")
    page.wait_for_selector(".note")
    shot(page, "no_script")
    assert items(desk)[0].review == "kept"
    next(pages, None)


def test_dark_mode_and_the_other_pages(browser, desk):
    pages = opened_page(browser, desk, color_scheme="dark")
    page = next(pages)
    shot(page, "dark")
    for name in ("talk", "aside", "send", "album"):
        page.goto(page.url.split("/", 3)[0] + "//" + page.url.split("/", 3)[2] + f"/{name}")
        assert page.locator("h1").is_visible()
        shot(page, name)
    next(pages, None)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_the_contrast_of_wcag_aa(browser, desk, scheme):
    """At least 4.5 to 1 for every text against what it stands on (WCAG 2.2, 1.4.3)."""
    pages = opened_page(browser, desk, color_scheme=scheme)
    weak = next(pages).evaluate(CONTRAST)
    next(pages, None)
    assert weak == []


def test_every_control_has_a_name(page):
    page.keyboard.press("e")
    page.wait_for_selector(".fields")
    nameless = page.evaluate(
        """[...document.querySelectorAll('button, a[href], input:not([type=hidden]), select, textarea')]
        .filter(e => !(e.getAttribute('aria-label') || e.labels?.[0]?.textContent.trim() || e.textContent.trim()))
        .map(e => e.outerHTML)"""
    )
    assert nameless == []


def test_our_own_sha256_is_the_standard_one(page):
    """Against hashlib, over lengths about the borders of a block."""
    import hashlib

    lengths = [0, 1, 55, 56, 63, 64, 65, 119, 120, 1000]
    ours = page.evaluate(
        """async lengths => { const { sha256 } = await import('/static/hash.js');
        return Promise.all(lengths.map(n => sha256(Uint8Array.from({length: n}, (_, i) => i % 251), true))); }""",
        lengths,
    )
    assert ours == [hashlib.sha256(bytes(i % 251 for i in range(n))).hexdigest() for n in lengths]


def test_a_wrong_clock_is_put_right_on_the_page_for_all_pictures(page, desk, tmp_path):
    """Taken an hour off: on no line; the clock set by one of them, both are where they were taken."""
    import datetime

    began = datetime.datetime(2025, 3, 1, 9, 30)
    desk.store.set_start(JOB, desk.recordings()[0].recording.sha256, round(began.timestamp() * 1000), "a test")
    first, later = items(desk)[0], items(desk)[5]
    for name, item in (("first.jpg", first), ("later.jpg", later)):
        taken = began + datetime.timedelta(hours=1, seconds=item.quotes[0].span.end_ms // 1000)
        desk.store.attach(JOB, "", picture_file(tmp_path / name, taken, size=(640, 480)))
    page.goto(page.url.split("#")[0].rstrip("/") + "/album")
    assert page.locator(".doubts").count() == 2
    shot(page, "pictures_unplaced")
    form = page.locator(".picture:has-text('first.jpg')")
    form.locator("select").select_option(first.key)
    with page.expect_navigation():  # until all is loaded, the style sheet too
        form.locator("[value=clock-by]").click()
    assert "set by first.jpg" in page.locator("#told").inner_text()
    shot(page, "pictures_placed")
    assert {p.name: p.key for p in desk.store.pictures(JOB)} == {"first.jpg": first.key, "later.jpg": later.key}
    assert page.evaluate(CONTRAST) == []
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_file_sent_while_the_network_breaks_arrives(page, desk, tmp_path):
    broken = []

    def sometimes(route):
        if len(broken) < 3 and route.request.method == "PUT" and "/0" not in route.request.url[-2:]:
            broken.append(1)
            route.abort()
        else:
            route.continue_()

    picture = tmp_path / "porch.jpg"
    from PIL import Image

    Image.effect_noise((3000, 3000), 90).convert("RGB").save(picture, quality=100)
    page.goto(page.url.split("#")[0].rstrip("/") + "/send")
    page.route("**/send/*/*", sometimes)
    page.set_input_files("[accept='image/*']", picture)
    page.click("#send button")
    page.wait_for_function("() => document.getElementById('way').textContent.includes('kept with')", timeout=60_000)
    assert len(broken) == 3
    assert desk.store.pictures(JOB)[0].file.read_bytes() == picture.read_bytes()


def test_a_question_for_the_office_is_done_and_undone_without_leaving_the_page(page, desk):
    found = desk.store.punch_list(JOB)
    asked = tuple(
        OfficeQuestion(text, found.items[n].quotes[:1]) for n, text in enumerate(("Who supplied the tiles?", "When is it due?"))
    )
    desk.store.save_list(JOB, dataclasses.replace(found, questions=asked))
    page.reload()
    page.wait_for_selector(".line.at-hand")
    page.click("text=Who supplied the tiles? >> xpath=.. >> button")
    told(page, "The question is done.")
    assert page.locator("#beside .is-done").inner_text().startswith("Who supplied the tiles?")
    assert page.evaluate("document.activeElement.textContent") == "Open again"
    shot(page, "office_done")
    assert page.evaluate(CONTRAST) == []
    press(page, "u", "Taken back")
    assert page.locator("#beside .is-done").count() == 0
    assert [q.state for q in desk.store.punch_list(JOB).questions] == ["open", "open"]


def test_two_files_of_one_name_are_told_apart(page, tmp_path):
    """A second "porch.jpg", with a time: each line of the page keeps its own report when the page asks again."""
    files = [tmp_path / "a" / "porch.jpg", tmp_path / "b" / "porch.jpg"]
    for n, file in enumerate(files):
        file.parent.mkdir()
        picture_file(file, size=(64, 48 + n))
    page.goto(page.url.split("#")[0].rstrip("/") + "/send")
    page.set_input_files("[accept='image/*']", files[0])
    page.click("#send button")
    page.wait_for_function("() => /kept with no line/.test(document.getElementById('way').textContent)")
    page.set_input_files("[accept='image/*']", files[1])
    page.locator("#send select").select_option(index=1)
    page.click("#send button")
    page.wait_for_function("() => /kept with line/.test(document.getElementById('way').textContent)")
    with page.expect_response("**/send/state"):
        pass
    page.wait_for_timeout(100)
    shot(page, "two_of_one_name")
    first, second = page.locator("#way li").all_inner_texts()
    assert "kept with no line" in first
    assert "kept with line" in second


@pytest.mark.soak
def test_half_a_gigabyte_interrupted_three_times_arrives_whole(page, desk, tmp_path, monkeypatch):
    import hashlib

    from memo2list.review_page import sending

    film, block = tmp_path / "film.mp4", os.urandom(1 << 20)
    with film.open("wb") as out:
        for n in range(500):
            out.write(n.to_bytes(4, "big") + block[4:])
    arrived = []

    def taken(inbox, _desk, coming, whole):
        with whole.open("rb") as file:
            arrived.append(hashlib.file_digest(file, "sha256").hexdigest())
        inbox.tell(coming, "kept")

    monkeypatch.setattr(sending, "_take_in", taken)
    stops, broken = [50 << 20, 200 << 20, 400 << 20], []

    def sometimes(route):
        at = int(route.request.url.rpartition("/")[2])
        if stops and at >= stops[0]:
            broken.append(stops.pop(0))
            route.abort()
        else:
            route.continue_()

    page.goto(page.url.split("#")[0].rstrip("/") + "/send")
    page.route(lambda url: url.rpartition("/")[2].isdecimal(), sometimes)
    page.set_input_files("[accept='video/*']", film)
    page.click("#send button")
    page.wait_for_function("() => document.getElementById('way').textContent.includes('kept')", timeout=300_000)
    assert len(broken) == 3
    with film.open("rb") as file:
        assert arrived == [hashlib.file_digest(file, "sha256").hexdigest()]


def test_a_walk_recorded_in_the_page_is_sent_and_kept(page, desk, monkeypatch):
    """The fake microphone of Chromium beeps; the recorder must send what it recorded and forget its pieces."""
    from memo2list.review_page import sending

    arrived = []

    def taken(inbox, _desk, coming, whole):
        with av.open(str(whole)) as container:
            arrived.append(sum(f.samples / f.sample_rate for f in container.decode(audio=0)))
        inbox.tell(coming, "kept")

    monkeypatch.setattr(sending, "_take_in", taken)
    page.goto(page.url.split("#")[0].rstrip("/") + "/send")
    page.click("#record")
    page.wait_for_function("() => document.getElementById('recording-time').textContent >= '0:03'", timeout=20_000)
    page.click("#record")
    page.wait_for_function("() => /webm: kept/.test(document.getElementById('way').textContent)", timeout=20_000)
    page.wait_for_function("() => document.getElementById('unsent').children.length === 0")
    page.reload()
    page.wait_for_selector("#recorder:not([hidden])")
    page.wait_for_timeout(300)
    assert page.locator("#unsent li").count() == 0, "what was sent is not in the browser any more"
    (seconds,) = arrived
    assert 2.5 < seconds < 8


def test_the_demo_is_the_one_that_ships():
    assert (DEMO / "walk.opus").is_file()


CONTRAST = """() => {
  const channels = text => (text.match(/[\\d.]+/g) || []).map(Number);
  const light = c => {
    const [r, g, b] = c.map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const behind = e => { for (; e; e = e.parentElement) { const c = channels(getComputedStyle(e).backgroundColor);
    if (c.length === 3 || c[3] > 0.99) return c.slice(0, 3); } return [255, 255, 255]; };
  const weak = [];
  for (const e of document.querySelectorAll('body *')) {
    if (![...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())
      || !e.checkVisibility() || e.disabled || e.closest('.unseen, option')) continue;
    const a = light(channels(getComputedStyle(e).color).slice(0, 3)), b = light(behind(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) weak.push(`${e.tagName}.${e.className} ${ratio.toFixed(2)} ${e.textContent.trim().slice(0, 30)}`);
  }
  return [...new Set(weak)];
}"""
