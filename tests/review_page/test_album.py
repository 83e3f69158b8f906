"""Pictures on the timeline, as the page shows and changes them."""

import datetime
from xml.etree import ElementTree

import pytest

from memo2list.records import OfficeQuestion, PunchList, SetAside, WantedPicture
from memo2list.review_page.album import album
from memo2list.store.office import office_key
from tests.pictures import HEIC, picture_file
from tests.review_page.conftest import ASIDE, FOUR, JOB, RECORDING, SHA, quote

BEGAN = datetime.datetime(2025, 3, 1, 9, 30)  # by this machine's clock
BEGAN_MS = round(BEGAN.timestamp() * 1000)


@pytest.fixture
def picture(tmp_path):
    def make(after_s, name="porch.jpg"):
        taken = None if after_s is None else BEGAN + datetime.timedelta(seconds=after_s)
        return picture_file(tmp_path / name, taken, camera="K2")

    return make


@pytest.fixture
def walked(store):
    store.set_start(JOB, SHA, BEGAN_MS, "a test")
    return store


def post(client, **form):
    return client.post("/change", data={"from": "album", **form})


def keys(store):
    return [p.key for p in store.pictures(JOB)]


def reports(client, name):
    return [r["state"] for r in client.get("/send/state").json().values() if r["name"] == name]


def send(client, file, key=""):
    with file.open("rb") as opened:
        return client.post("/send/plain", data={"key": key}, files={"file": (file.name, opened, "image/jpeg")})


def test_a_picture_sent_without_a_line_finds_the_one_being_talked_about(client, walked, picture):
    send(client, picture(int(FOUR[1].quotes[0].span.start_ms / 1000) + 1))
    assert keys(walked) == ["k2"]
    assert reports(client, "porch.jpg") == ["kept with line 2, where it was taken"]
    assert walked.pictures(JOB)[0].name == "porch.jpg"


def test_without_a_time_it_is_unplaced_and_says_so(client, walked, picture):
    send(client, picture(None))
    (report,) = reports(client, "porch.jpg")
    assert "does not say when it was taken" in report
    assert "does not say when it was taken" in client.get("/album").text


def test_two_pictures_of_one_name_are_reported_each(client, walked, picture):
    """Phones count their names anew: both are "porch.jpg", one of line 2, one without a time."""
    send(client, picture(int(FOUR[1].quotes[0].span.start_ms / 1000) + 1))
    send(client, picture(None))
    first, second = reports(client, "porch.jpg")
    assert first == "kept with line 2, where it was taken"
    assert "does not say when it was taken" in second
    assert client.get("/send").text.count("<li data-id") == 2


def test_a_picture_sent_again_is_reported_as_it_is_kept(client, walked, picture):
    send(client, picture(None), key="k2")
    send(client, picture(None))
    assert reports(client, "porch.jpg") == ["kept with line 2", "kept with line 2"]


def test_a_clock_an_hour_ahead_is_put_right_for_the_whole_set(client, walked, picture):
    for n, after_s in enumerate((3605, 3612)):
        send(client, picture(after_s, f"{n}.jpg"))
    assert keys(walked) == ["", ""]
    answer = post(client, do="clock", camera="K2", offset="-1:00:00")
    assert answer.headers["location"] == "/album"
    assert "" not in keys(walked)


def test_one_picture_of_a_known_line_sets_the_clock_of_all(client, walked, picture):
    send(client, picture(7200 + 20, "a.jpg"))
    (kept,) = walked.pictures(JOB)
    post(client, do="clock-by", number=str(kept.number), key="k3")
    assert keys(walked) == ["k3"]
    assert not walked.pictures(JOB)[0].by_hand


def test_a_picture_can_be_given_to_a_line_by_hand(client, walked, picture):
    send(client, picture(None))
    post(client, do="give", number=str(walked.pictures(JOB)[0].number), key="k4")
    assert keys(walked) == ["k4"]
    assert "given by hand" in client.get("/album").text


def test_saying_when_a_recording_began_moves_its_pictures(client, store, picture):
    send(client, picture(5))
    store.set_start(JOB, SHA, None, "")
    assert keys(store) == [""]
    post(client, do="began", recording=SHA, began=BEGAN.isoformat())
    assert keys(store) == ["k2"]


@pytest.mark.parametrize(
    "form", [{"do": "clock", "camera": "K2", "offset": "an hour"}, {"do": "began", "recording": SHA, "began": "noon"}]
)
def test_what_is_no_time_is_told_and_changes_nothing(client, walked, form):
    post(client, **form)
    assert "is no " in client.get("/album").text
    assert (walked.clocks(JOB), walked.recordings(JOB)[0].started_ms) == ({}, BEGAN_MS)


def test_times_no_calendar_holds_do_not_close_the_page(client, walked, tmp_path):
    """A picture of a camera that writes nonsense, and a start typed with a slip, can still be put right there."""
    send(client, picture_file(tmp_path / "nonsense.jpg", "9999:12:31 23:59:59", "-23:59"))
    post(client, do="began", recording=SHA, began="9999-12-31T23:59:59-23:59")
    shown = client.get("/album")
    assert (shown.status_code, "nonsense.jpg" in shown.text) == (200, True)


def test_a_time_without_a_zone_is_said_to_be_this_machines(client, walked, picture):
    send(client, picture(5))
    assert "gave no time zone" in client.get("/album").text


def test_pictures_are_marked_on_the_recording(client, walked, picture):
    send(client, picture(8))
    assert 'class="picture" x="497"' in client.get("/").text  # 8 s of 16


@pytest.mark.parametrize(("after_s", "asked"), [(12, False), (16 + 60, True)])
def test_pictures_after_the_end_ask_whether_it_was_paused(client, walked, picture, after_s, asked):
    """The recording is 16 s long."""
    send(client, picture(after_s))
    assert ("Was it paused?" in client.get("/album").text) == asked


def test_the_album_is_in_the_order_taken(desk, walked, picture):
    for name, after_s in (("late.jpg", 12), ("early.jpg", 2)):
        walked.attach(JOB, "", picture(after_s, name))
    assert [v.picture.name for v in album(desk, desk.pictures()).runs[0].pictures] == ["early.jpg", "late.jpg"]


def test_a_heic_picture_finds_its_line_by_its_own_time(client, store):
    """Taken at 09:30:00.25 in a zone of its own, as its boxes say; no decoder is asked."""
    store.set_start(JOB, SHA, 1_740_817_800_250 - FOUR[2].quotes[0].span.start_ms, "a test")
    send(client, HEIC)
    assert keys(store) == ["k3"]
    assert "Lumo K2" in client.get("/album").text


def test_a_picture_that_cannot_be_shown_is_a_tile_with_its_name(client, store, tmp_path):
    (tmp_path / "the porch <1>.jpg").write_bytes(b"nothing")
    store.attach(JOB, "k1", tmp_path / "the porch <1>.jpg")
    tile = client.get("/picture/0")
    assert (tile.status_code, tile.headers["content-type"]) == (200, "image/svg+xml")
    assert "the porch &lt;1&gt;.jpg" in tile.text
    ElementTree.fromstring(tile.text)


@pytest.mark.parametrize("address", ["/", "/?open=k2", "/album", "/walk", "/opened/k2"])
def test_where_pictures_fall_is_found_once_a_page(client, store, monkeypatch, address):
    asked, was = [], type(store).pictures
    monkeypatch.setattr(type(store), "pictures", lambda self, job: asked.append(job) or was(self, job))
    assert client.get(address).status_code == 200
    assert asked == [JOB]


@pytest.fixture
def steered(store):
    """The same list with what was said to it."""
    from dataclasses import replace

    first = replace(FOUR[0], wanted_pictures=(WantedPicture(SHA, 4000, "take a picture here"),))
    note = SetAside("note to self", "", (), (), (quote(0, 3),), "note to self")
    asked = OfficeQuestion("Who supplied the tiles?", (quote(10, 14),))
    store.save_list(JOB, PunchList((RECORDING,), (first, *FOUR[1:]), (ASIDE, note), (), (asked,)))
    return store


def test_a_wanted_picture_is_asked_for_until_there_is_one(client, steered, picture):
    assert "A picture was asked for at 0:04" in client.get("/").text
    steered.attach(JOB, "k1", picture(4))
    assert "A picture was asked for" not in client.get("/").text


def test_questions_for_the_office_and_notes_stand_above_the_list(client, steered):
    shown = client.get("/").text
    assert "Who supplied the tiles?" in shown
    assert "Notes to self" in shown
    assert "Open again" not in shown
    assert "A note to self" in client.get("/aside").text


def test_a_question_for_the_office_is_done_on_the_page_and_undone(client, steered):
    """By the plain form; then as the script does it, which is given the changed part."""
    key = office_key(steered.punch_list(JOB).questions[0])
    answer = client.post("/change", data={"do": "office", "key": key, "state": "done"})
    assert answer.headers["location"].endswith(f"#q-{key}")
    assert "Open again" in client.get("/").text
    given = client.post("/change", data={"do": "undo", "since": "0"}, headers={"x-memo2list": "lines"}).json()
    assert "Who supplied the tiles?" in given["beside"]
    assert "Open again" not in given["beside"]


def test_a_change_of_a_line_leaves_the_questions_alone(client, steered):
    """So that whoever is at one of them does not lose the place."""
    given = client.post("/change", data={"do": "keep", "key": "k2", "since": "0"}, headers={"x-memo2list": "lines"}).json()
    assert "beside" not in given


def test_what_is_pressed_at_a_picture_tells_a_screen_reader_which_one(client, walked, picture):
    send(client, picture(1))
    page = client.get("/album").text
    number = walked.pictures(JOB)[0].number
    assert f'<b id="n-{number}">porch.jpg</b>' in page
    assert page.count(f'aria-describedby="n-{number}"') == 3  # the choice of a line and both buttons
