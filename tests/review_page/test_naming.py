"""The reviewer says on the page of the transcript who A is."""

from tests.review_page.conftest import JOB, SHA


def test_the_transcript_asks_who_speaks_and_shows_the_name_given(client, store):
    page = client.get("/talk").text
    assert 'name="speaker A"' in page
    answer = client.post("/change", data={"do": "speakers", "from": "talk", "recording": SHA, "speaker A": "contractor"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/talk")
    assert '<b class="speaker">contractor</b>' in client.get("/talk").text
    assert "<v contractor>" in client.get(f"/captions/{SHA}.vtt").text
    assert store.edits(JOB)[-1].who == "Ada"


def test_a_name_is_shown_as_text_never_as_markup(client):
    client.post("/change", data={"do": "speakers", "from": "talk", "recording": SHA, "speaker A": "<script>x</script>"})
    assert "<script>x" not in client.get("/talk").text


def test_the_transcript_tells_what_naming_came_to(client):
    client.post("/change", data={"do": "speakers", "from": "talk", "recording": SHA, "speaker A": "contractor"})
    assert "The speakers are named." in client.get("/talk").text
    assert "The speakers are named." not in client.get("/talk").text + client.get("/").text  # told once


def test_the_transcript_tells_why_a_name_was_refused(client):
    client.post("/change", data={"do": "speakers", "from": "talk", "recording": SHA, "speaker A": "Ann+Bob"})
    assert "is no name" in client.get("/talk").text
