"""When a picture was taken, as Exif 2.32 says it; the pictures are written by Pillow."""

import datetime
import time

import pytest
from PIL import Image

from memo2list.store.picture_times import picture_time
from tests.pictures import BASE, exif

ORIGINAL, DIGITISED = BASE.DateTimeOriginal, BASE.DateTimeDigitized
FRACTION, ZONE = BASE.SubsecTimeOriginal, BASE.OffsetTimeOriginal
NINE_THIRTY = round(datetime.datetime(2025, 3, 1, 8, 30, tzinfo=datetime.UTC).timestamp() * 1000)  # in UTC


@pytest.fixture
def picture(tmp_path):
    def make(inner=None, name="porch.jpg", **outer):
        tags = exif({getattr(BASE, tag): value for tag, value in outer.items()}, inner)
        Image.new("RGB", (32, 24), "grey").save(tmp_path / name, exif=tags)
        return tmp_path / name

    return make


def test_the_time_zone_and_the_fraction_count(picture):
    found = picture_time(picture({ORIGINAL: "2025:03:01 09:30:00", FRACTION: "250", ZONE: "+01:00"}))
    assert (found.taken_ms, found.zoned) == (NINE_THIRTY + 250, True)


@pytest.mark.parametrize(("fraction", "more_ms"), [("5", 500), ("05", 50), ("123456", 123), ("", 0), ("x", 0)])
def test_a_fraction_is_digits_after_the_point(picture, fraction, more_ms):
    found = picture_time(picture({ORIGINAL: "2025:03:01 09:30:00", FRACTION: fraction, ZONE: "+01:00"}))
    assert found.taken_ms == NINE_THIRTY + more_ms


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="this machine's time zone cannot be set for a test")
def test_without_a_zone_it_is_this_machines(picture, monkeypatch):
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    try:
        found = picture_time(picture({ORIGINAL: "2025:03:01 09:30:00"}))
    finally:
        monkeypatch.undo()
        time.tzset()
    assert (found.taken_ms, found.zoned) == (NINE_THIRTY, False)


def test_a_zone_west_of_greenwich(picture):
    assert picture_time(picture({ORIGINAL: "2025:03:01 03:00:00", ZONE: "-05:30"})).taken_ms == NINE_THIRTY


def test_the_digitisation_stands_in_for_the_original(picture):
    inner = {DIGITISED: "2025:03:01 09:30:00", BASE.OffsetTimeDigitized: "+01:00"}
    assert picture_time(picture(inner)).taken_ms == NINE_THIRTY


def test_when_the_file_was_changed_is_not_when_it_was_taken(picture):
    assert picture_time(picture(DateTime="2025:03:01 09:30:00")).taken_ms is None


@pytest.mark.parametrize("time_said", ["    :  :     :  :  ", "0000:00:00 00:00:00", "2025-03-01", "2025:13:41 99:00:00", ""])
def test_a_time_that_is_none_leaves_it_open(picture, time_said):
    assert picture_time(picture({ORIGINAL: time_said})).taken_ms is None


@pytest.mark.parametrize("zone", ["+24:00", "+99:00", "-24:30", "east"])
def test_a_zone_that_is_none_is_as_good_as_missing(picture, zone):
    without = picture_time(picture({ORIGINAL: "2025:03:01 09:30:00"}))
    assert picture_time(picture({ORIGINAL: "2025:03:01 09:30:00", ZONE: zone})) == without


def test_the_camera_is_named_once(picture):
    assert picture_time(picture(Make="Lumo", Model="Lumo K2")).camera == "Lumo K2"
    assert picture_time(picture(Make="Lumo", Model="K2")).camera == "Lumo K2"


def test_a_file_that_is_no_picture_has_no_time(tmp_path):
    (tmp_path / "porch.jpg").write_bytes(b"\xff\xd8\xff\xe1 broken")
    assert picture_time(tmp_path / "porch.jpg").taken_ms is None


def test_a_picture_without_exif_has_no_time(picture):
    assert picture_time(picture(name="drawing.png")).taken_ms is None
