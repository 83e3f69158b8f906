"""`memo2list models`: what is here, what is missing and how to get it, without a network."""

import socket

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.known_weights import SPEECH
from memo2list.reading.deep import loading
from memo2list.weights import CACHE_VARIABLE


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    return tmp_path / "cache" / "weights"


@pytest.fixture
def no_network(monkeypatch):
    """No socket, and no package that carries the base."""

    def refuse(*args, **more):
        raise OSError("no route to host")

    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr("time.sleep", lambda seconds: None)  # the hub's client waits between its tries
    monkeypatch.setattr("memo2list.weights._in_packages", lambda weights: None)


def run(*words):
    return CliRunner().invoke(main, ["models", *(str(w) for w in words)])


@pytest.fixture
def reader_here(cache):
    """A converted folder as `converted_folder` knows it; nobody looks inside."""
    from memo2list.reading.deep.convert import adapter_digest

    folder = cache / f"reader-{adapter_digest(loading.ADAPTER)[:16]}"
    folder.mkdir(parents=True)
    (folder / "model.bin").write_bytes(b"")
    return folder


def test_each_model_has_a_line_that_says_how_to_get_it(cache):
    result = run()
    lines = {line.split()[0]: line for line in result.stdout.splitlines()}
    assert result.exit_code == 0
    assert set(lines) == {*SPEECH, "reader"}
    assert all(f"memo2list models --fetch {name}" in line for name, line in lines.items())


def test_looking_makes_nothing(cache):
    run()
    assert not cache.exists()


def test_weights_in_the_cache_are_ready(cache):
    for file in SPEECH["base"].files:
        (cache / SPEECH["base"].name).mkdir(parents=True, exist_ok=True)
        (cache / SPEECH["base"].name / file.name).write_bytes(b"")
    lines = run().stdout.splitlines()
    assert [("ready in" in line) for line in lines] == [True, False, False]


def test_a_reader_that_was_converted_is_ready(reader_here):
    assert f"ready in {reader_here}" in run().stdout.splitlines()[-1]


def test_fetching_a_reader_that_is_here_takes_nothing(reader_here, no_network):
    result = run("--fetch", "reader")
    assert (result.exit_code, result.stdout.strip()) == (0, f"reader: {reader_here}")


def test_without_a_network_fetching_ends_in_one_line_with_the_ways_out(cache, no_network):
    result = run("--fetch", "reader")
    (line,) = [text for text in result.stderr.splitlines() if text.startswith("memo2list:")]
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    for way in ("pip install", "--from", "network"):
        assert way in line


def test_a_failed_fetch_leaves_no_half_a_reader(cache, no_network):
    run("--fetch", "reader")
    assert not [path for path in cache.rglob("*") if path.suffix in (".gguf", ".bin")]


def test_a_folder_without_the_base_is_named(cache, no_network, tmp_path):
    (tmp_path / "empty").mkdir()
    result = run("--fetch", "reader", "--from", tmp_path / "empty")
    assert result.exit_code == 1
    assert str(tmp_path / "empty") in result.stderr


def test_a_file_that_is_not_the_published_base_is_refused(cache, no_network, tmp_path):
    (tmp_path / "base.gguf").write_bytes(b"something else")
    result = run("--fetch", "reader", "--from", tmp_path)
    assert result.exit_code == 1
    assert "base.gguf" in result.stderr
    assert loading.converted_folder(cache) is None


def test_a_model_nobody_knows_is_a_wrong_call():
    assert run("--fetch", "oracle").exit_code == 2
