"""Pictures on the timeline of the walk: where each falls, why some fall nowhere, and clocks that were wrong."""

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response

from memo2list.errors import InputError
from memo2list.records import Item
from memo2list.review_page.desk import Desk
from memo2list.store.pictures import KeptPicture
from memo2list.store.recordings import KeptRecording
from memo2list.store.timeline import Run, gaps
from memo2list.timing import short_clock

OFFSET = re.compile(r"(?P<sign>[+\-−]?)\s*(?:(?P<hours>\d{1,6}):)?(?P<minutes>\d{1,2}):(?P<seconds>[0-5]\d)")
BESIDE_MS = 2_000  # a picture this near to a recording counts as taken in it


@dataclass(frozen=True, slots=True)
class PictureView:
    """One picture: its place on the timeline in words, and the line it belongs to."""

    index: int  # among the job's pictures, for its address
    picture: KeptPicture
    item: Item | None
    taken: str  # by the camera's clock, put right
    when: str  # where on the timeline

    @property
    def zone(self) -> str:
        return (
            "" if self.picture.zoned or self.picture.taken_ms is None else "the camera gave no time zone; this machine's is taken"
        )


@dataclass(frozen=True, slots=True)
class RunView:
    """One recording on the timeline with its pictures, and the gap to the next one."""

    kept: KeptRecording
    began: str  # as a form shows it, "" where it is not known
    pictures: tuple[PictureView, ...]
    gap: str

    @property
    def late(self) -> bool:
        """Whether pictures were taken after it ended; where it was paused and its file does not tell, they fall late."""
        return any(v.picture.moment and v.picture.moment.beside_ms > BESIDE_MS for v in self.pictures)


@dataclass(frozen=True, slots=True)
class CameraView:
    """One camera's pictures share a clock."""

    name: str
    count: int
    offset: str


@dataclass(frozen=True, slots=True)
class Album:
    runs: tuple[RunView, ...]
    unplaced: tuple[PictureView, ...]
    cameras: tuple[CameraView, ...]


def page(request: Request) -> Response:
    """Pictures on the timeline of the walk."""
    from memo2list.review_page.pages import desk_of, rendered, visitor_of

    desk = desk_of(request)
    told, visitor_of(request).told = visitor_of(request).told, ""
    items = [i for i in desk.store.items(desk.job) if i.review != "dropped"]
    pictures = desk.pictures()
    wanted = [(w, i) for i in items for w in i.wanted_pictures]
    names = {k.recording.sha256: k.recording for k in desk.recordings()}
    return rendered(
        "album.html",
        job=desk.store.job(desk.job),
        told=told,
        items=items,
        wanted=wanted,
        recordings=names,
        met={p.key for p in pictures},
        album=album(desk, pictures),
    )


def album(desk: Desk, pictures: Sequence[KeptPicture]) -> Album:
    """All pictures of the job as the page shows them."""
    items = {i.key: i for i in desk.store.items(desk.job)}
    clocks = desk.store.clocks(desk.job)
    views = [view(n, p, items.get(p.key), clocks.get(p.camera, 0)) for n, p in enumerate(pictures)]
    views.sort(key=lambda v: (v.picture.taken_ms is None, (v.picture.taken_ms or 0) + clocks.get(v.picture.camera, 0)))
    counted: dict[str, int] = {}
    for one in views:
        if one.picture.taken_ms is not None:
            counted[one.picture.camera] = counted.get(one.picture.camera, 0) + 1
    return Album(
        run_views(desk.recordings(), views),
        tuple(v for v in views if v.picture.moment is None),
        tuple(CameraView(name, count, offset_text(clocks.get(name, 0))) for name, count in sorted(counted.items())),
    )


def run_views(recordings: Sequence[KeptRecording], views: Sequence[PictureView]) -> tuple[RunView, ...]:
    known = [Run(k.recording.sha256, k.started_ms, k.recording.duration_ms) for k in recordings if k.started_ms is not None]
    between = dict(zip([s.recording for s in sorted(known, key=lambda s: s.started_ms)], gaps(known), strict=False))
    return tuple(
        RunView(
            kept,
            local(kept.started_ms) if kept.started_ms is not None else "",
            tuple(v for v in views if v.picture.moment and v.picture.moment.recording == kept.recording.sha256),
            short_clock(between[kept.recording.sha256]) if between.get(kept.recording.sha256, 0) >= 1000 else "",
        )
        for kept in recordings
    )


def view(index: int, picture: KeptPicture, item: Item | None, offset_ms: int) -> PictureView:
    taken = local(picture.taken_ms + offset_ms).replace("T", " ") if picture.taken_ms is not None else ""
    return PictureView(index, picture, item, taken, when(picture))


def when(picture: KeptPicture) -> str:
    moment = picture.moment
    if moment is None:
        return ""
    if abs(moment.beside_ms) <= BESIDE_MS:
        return f"at {short_clock(moment.at_ms)}"
    return f"{short_clock(abs(moment.beside_ms))} {'after it ended' if moment.beside_ms > 0 else 'before it began'}"


def local(at_ms: int) -> str:
    """A time as a form of this machine's time zone takes it: "2025-03-01T09:30:00"; "" for one outside the years 1 to 9999."""
    try:
        return datetime.datetime.fromtimestamp(at_ms / 1000).replace(microsecond=0).isoformat()
    except (ValueError, OverflowError, OSError):
        return ""


def told(desk: Desk, number: int) -> str:
    """What became of the picture of that number, which was just sent in."""
    sent = next(p for p in desk.pictures() if p.number == number)
    if not sent.key:
        return f"kept with no line: {sent.why}"
    return f"kept with line {desk.store.item(desk.job, sent.key).number}{'' if sent.by_hand else ', where it was taken'}"


def offset_of(text: str) -> int:
    """What is added to a camera's times, in milliseconds. InputError for what is no such time.

    >>> offset_of("+1:00:00"), offset_of("-2:30"), offset_of("0:00")
    (3600000, -150000, 0)
    """
    found = OFFSET.fullmatch(text.strip())
    if found is None:
        raise InputError(repr(text[:20]), "is no time to add.", "Write hours:minutes:seconds, such as +1:00:00 or -0:02:30.")
    seconds = int(found["hours"] or 0) * 3600 + int(found["minutes"]) * 60 + int(found["seconds"])
    return seconds * 1000 * (-1 if found["sign"] in ("-", "−") else 1)


def offset_text(offset_ms: int) -> str:
    """
    >>> offset_text(3_600_000), offset_text(-150_400), offset_text(0)
    ('+1:00:00', '-0:02:30', '0:00:00')
    """
    minutes, seconds = divmod(round(abs(offset_ms) / 1000), 60)
    sign = "" if not offset_ms else "+" if offset_ms > 0 else "-"
    return f"{sign}{minutes // 60}:{minutes % 60:02d}:{seconds:02d}"


def set_by(desk: Desk, number: int, key: str) -> KeptPicture:
    """Sets the clock of a picture's camera so that it was taken when that line was talked about.

    InputError where the picture has no time, or the line no words in a recording whose start is known.
    """
    picture = next((p for p in desk.pictures() if p.number == number), None)
    item = desk.store.item(desk.job, key)
    if picture is None or picture.taken_ms is None:
        raise InputError("that picture", "does not say when it was taken.", "Set the clock by another one.")
    starts = {k.recording.sha256: k.started_ms for k in desk.recordings()}
    said = [(started, q.span.end_ms) for q in item.quotes if (started := starts.get(q.recording)) is not None]
    if not said:
        raise InputError(f"line {item.number}", "has no words in a recording whose start is known.", "Say when it began.")
    desk.store.set_clock(desk.job, picture.camera, said[0][0] + said[0][1] - picture.taken_ms)
    if picture.by_hand:
        desk.store.give_picture(desk.job, number, "")
    return picture


def start_ms(text: str) -> int:
    """The time that a form gives, in this machine's zone. InputError for what is none."""
    try:
        return round(datetime.datetime.fromisoformat(text).timestamp() * 1000)
    except (ValueError, OverflowError, OSError):
        raise InputError(repr(text[:20]), "is no date with a time.", "Write it like 2025-03-01T09:30:00.") from None
