"""Nobody gets in, changes anything or reaches a file who should not."""

import pytest
from starlette.testclient import TestClient

from memo2list.review_page.app import make_app
from memo2list.review_page.door import Door
from tests.review_page.conftest import HOST, JOB, SHA, SOUND


def test_without_a_session_nothing_is_shown(stranger):
    for path in ("/", "/walk", f"/media/{SHA}", "/talk", "/news", "/static/style.css"):
        assert stranger.get(path).status_code == 403


def test_another_host_name_is_refused_even_with_a_session(client):
    assert client.get("/", headers={"host": "evil.example:8000"}).status_code == 421


def test_a_link_lets_in_one_device(desk, stranger):
    token = desk.door.new_token()
    assert stranger.get(f"/enter/{token}").status_code == 200
    other = TestClient(make_app(desk), base_url=f"http://{HOST}", client=("192.0.2.9", 1))
    assert other.get(f"/enter/{token}").status_code == 403


def test_a_link_that_nobody_opened_dies_after_a_quarter_of_an_hour():
    now = [0.0]
    door = Door(frozenset({HOST}), 8000, clock=lambda: now[0])
    token = door.new_token()
    now[0] = 901
    assert door.let_in(token, "127.0.0.1") is None


def test_the_cookie_is_http_only_and_strict(desk, stranger):
    cookie = stranger.get(f"/enter/{desk.door.new_token()}").headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"sec-fetch-site": "cross-site", "origin": f"http://{HOST}"},
        {"sec-fetch-site": "same-site"},
        {"origin": "null"},
    ],
)
def test_a_change_from_another_site_is_refused(client, store, headers):
    del client.headers["origin"]
    assert client.post("/change", data={"do": "keep", "key": "k1"}, headers=headers).status_code == 403
    assert store.item(JOB, "k1").review == "unreviewed"


def test_a_change_that_says_nothing_of_its_origin_is_refused(client):
    del client.headers["origin"]
    assert client.post("/change", data={"do": "keep", "key": "k1"}).status_code == 403


def test_every_answer_bears_the_strict_policy(client, stranger):
    for answer in (client.get("/"), client.get("/static/style.css"), client.get("/none")):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"


def test_the_page_needs_no_inline_script_or_style(client):
    page = client.get("/?open=k1").text
    assert " style=" not in page
    assert " onclick" not in page
    assert "<script>" not in page


def test_markup_in_the_talk_stays_text(client):
    page = client.get("/").text
    assert "<b>hand</b>" not in page
    assert "&lt;b&gt;hand&lt;/b&gt;" in page


def test_our_own_forms_are_sent_with_their_origin(client):
    """Under no-referrer a browser says "Origin: null" for a form's POST, which we refuse."""
    assert client.get("/").headers["referrer-policy"] == "same-origin"


def test_a_range_of_the_recording_is_given(client):
    answer = client.get(f"/media/{SHA}", headers={"range": "bytes=100-199"})
    assert answer.status_code == 206
    assert answer.content == SOUND[100:200]


@pytest.mark.parametrize(
    "path", ["/media/..%2f..%2fmemo2list.db", "/media/abc", "/static/..%2fapp.py", "/static/../app.py", "/picture/0"]
)
def test_a_path_in_a_request_reaches_no_file(client, path):
    assert client.get(path).status_code == 404


def test_too_large_a_form_is_refused(client):
    assert client.post("/change", data={"do": "note", "key": "k1", "note": "x" * (2 << 20)}).status_code == 413
