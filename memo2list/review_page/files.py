"""What the page answers with files: recordings, their levels, captions and frames, and pictures."""

from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response

from memo2list.errors import InputError
from memo2list.review_page import media
from memo2list.review_page.pages import desk_of
from memo2list.store import naming


def recording_media(request: Request) -> Response:
    """The original recording; answers requests for ranges."""
    kept = desk_of(request).kept(request.path_params["sha256"])
    if kept is None or kept.recording.kind == "transcript" or not kept.file.is_file():
        return PlainTextResponse("There is no such recording.", 404)
    return FileResponse(kept.file, media_type=media.media_type(kept.file), headers={"cache-control": "private, max-age=3600"})


def recording_levels(request: Request) -> Response:
    kept = desk_of(request).kept(request.path_params["sha256"])
    if kept is None:
        return PlainTextResponse("There is no such recording.", 404)
    heights = media.levels(kept.file) if kept.recording.kind != "transcript" else ()
    return Response(media.level_svg(heights), media_type="image/svg+xml", headers={"cache-control": "private, max-age=3600"})


def recording_captions(request: Request) -> Response:
    desk = desk_of(request)
    found = [t for t in desk.transcripts() if t.recording.sha256 == request.path_params["sha256"]]
    if not found:
        return PlainTextResponse("There is no such recording.", 404)
    return Response(media.captions(naming.named(found[0], desk.edits())), media_type="text/vtt; charset=utf-8")


def recording_frame(request: Request) -> Response:
    kept = desk_of(request).kept(request.path_params["sha256"])
    picture = media.frame_at(kept.file, min(request.path_params["at_ms"], kept.recording.duration_ms)) if kept else None
    if picture is None:
        return PlainTextResponse("There is no picture at that time.", 404)
    return Response(picture, media_type="image/jpeg", headers={"cache-control": "private, max-age=3600"})


def picture(request: Request) -> Response:
    """A picture of an item, by its number among the job's pictures, scaled and without the place it was taken.

    One that cannot be opened here is a plain tile with its name.
    """
    desk, number = desk_of(request), request.path_params["number"]
    pictures = desk.pictures()
    if number >= len(pictures):
        return PlainTextResponse("There is no such picture.", 404)
    from memo2list.exports.pictures import scaled

    kept = pictures[number]
    try:
        return Response(scaled(kept.file, kept.name, False).data, media_type="image/jpeg")
    except InputError:
        return Response(media.tile_svg(kept.name), media_type="image/svg+xml")
