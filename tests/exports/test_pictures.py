"""Pictures: small, upright, and without the place where they were taken unless it is asked for."""

import io

import pytest

from memo2list.errors import InputError
from memo2list.exports import pictures
from memo2list.exports.pictures import GPS, LONGEST_SIDE, scaled, still
from tests.pictures import BASE, HEIC, exif


@pytest.fixture
def picture(tmp_path):
    from PIL import Image

    tags = exif({GPS: {1: "N", 2: (51.0, 30.0, 0.0)}, BASE.Orientation: 6, BASE.Make: "A camera"})  # turned a quarter
    path = tmp_path / "porch.jpg"
    Image.new("RGB", (1600, 1000), (90, 120, 140)).save(path, exif=tags)
    return path


def exif_of(picture):
    from PIL import Image

    return Image.open(io.BytesIO(picture.data)).getexif()


def test_a_picture_is_scaled_and_upright(picture):
    picture = scaled(picture, "porch.jpg")
    assert (picture.height, picture.width < picture.height) == (LONGEST_SIDE, True)


def test_nothing_the_camera_wrote_leaves_the_office(picture):
    assert not exif_of(scaled(picture, "porch.jpg"))
    assert b"A camera" not in scaled(picture, "porch.jpg").data


def test_the_place_stays_where_it_is_asked_for_and_nothing_else(picture):
    kept = exif_of(scaled(picture, "porch.jpg", keep_place=True))
    assert dict(kept.get_ifd(GPS))[1] == "N"
    assert BASE.Make not in kept


@pytest.mark.parametrize("content", [b"", b"not a picture", b"\xff\xd8\xff\xe0 broken"])
def test_what_is_no_picture_is_told(tmp_path, content):
    (tmp_path / "x.jpg").write_bytes(content)
    with pytest.raises(InputError, match=r"x\.jpg"):
        scaled(tmp_path / "x.jpg", "x.jpg")


def film(path):
    import av
    import numpy as np

    with av.open(str(path), "w") as container:
        stream = container.add_stream("mpeg4", rate=10)
        stream.width, stream.height = 160, 120
        for n in range(30):
            shade = np.full((120, 160, 3), n * 8, np.uint8)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(shade, format="rgb24")))
        container.mux(stream.encode())


def test_a_still_is_the_frame_at_that_time(tmp_path):
    from PIL import Image

    film(tmp_path / "walk.mp4")
    found = still(tmp_path / "walk.mp4", "walk.mp4", 2000)
    assert found is not None
    shade = Image.open(io.BytesIO(found.data)).convert("L").getpixel((80, 60))
    assert abs(shade - 20 * 8) < 16


def test_there_is_no_still_in_what_is_no_film(tmp_path):
    (tmp_path / "x.mp4").write_bytes(b"nothing")
    assert still(tmp_path / "x.mp4", "x.mp4", 0) is None


def test_a_heic_picture_is_shown_where_its_decoder_is_installed():
    """Left half red, right half blue; written by libheif."""
    from PIL import Image

    pytest.importorskip("pi_heif", reason="the extra `heic` is not installed")
    shown = Image.open(io.BytesIO(scaled(HEIC, "porch.heic").data))
    assert shown.size == (96, 64)
    (red, _, _), (_, _, blue) = shown.getpixel((8, 32)), shown.getpixel((88, 32))
    assert (red > 150, blue > 150) == (True, True)
    assert not exif_of(scaled(HEIC, "porch.heic"))


@pytest.fixture
def no_decoder(monkeypatch):
    from PIL import Image

    monkeypatch.setattr(pictures, "knows_heic", lambda: False)
    monkeypatch.setattr(Image, "ID", [one for one in Image.ID if one != "HEIF"])
    scaled.cache_clear()
    yield
    scaled.cache_clear()


def test_without_the_decoder_a_heic_picture_is_told_with_the_remedy(no_decoder):
    with pytest.raises(InputError, match=r"memo2list\[heic\]"):
        scaled(HEIC, "porch.heic")


def test_the_remedy_for_heic_is_not_given_for_others(no_decoder, tmp_path):
    (tmp_path / "x.jpg").write_bytes(b"not a picture")
    with pytest.raises(InputError, match=r"Use one of: \.jpg"):
        scaled(tmp_path / "x.jpg", "x.jpg")
