"""What the page answers: gathers what is shown, calls one template, and hands it out."""

import json
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response

from memo2list.errors import Memo2listError, StaleEditError
from memo2list.records import Item, PunchList
from memo2list.review_page import changes, fields, learning, view_models
from memo2list.review_page.desk import Desk, done_days, recordings_of
from memo2list.review_page.door import Visitor
from memo2list.review_page.keys import DROP_WHYS, KEYS
from memo2list.store import naming
from memo2list.store.edits import Edit, can_redo, effective, plain
from memo2list.store.office import PREFIX as OFFICE
from memo2list.store.pictures import KeptPicture
from memo2list.timing import short_clock, to_seconds

HERE = Path(__file__).parent
RELOADING = ("merge", "split", "move", "add", "undo", "redo")


def environment() -> Environment:
    """Templates in which everything is escaped and nothing missing passes silently."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(keys=KEYS, drop_whys=DROP_WHYS, show_labels=view_models.SHOW_LABELS, form_fields=fields.FIELDS)
    made.filters["clock"] = short_clock
    made.filters["day"] = view_models.day_of
    return made


TEMPLATES = environment()


def desk_of(request: Request) -> Desk:
    found: Desk = request.app.state.desk
    return found


def visitor_of(request: Request) -> Visitor:
    found: Visitor = request.state.visitor
    return found


def rendered(name: str, status: int = 200, **shown: Any) -> HTMLResponse:
    return HTMLResponse(TEMPLATES.get_template(name).render(**shown), status)


def enter(request: Request) -> Response:
    """Lets in who brings a fresh token; the next page is asked for by our own page, so that the cookie is sent along."""
    desk, client = desk_of(request), request.client.host if request.client else ""
    session = desk.door.let_in(request.path_params["token"], client)
    if session is None:
        return PlainTextResponse("This link was used or is too old. Ask for a fresh one where memo2list runs.", 403)
    answer = rendered("entered.html", job=desk.job)
    answer.set_cookie(desk.door.cookie, session, httponly=True, samesite="strict", path="/")
    return answer


def page(request: Request) -> Response:
    """The whole page."""
    shown = what_is_shown(request)
    told, visitor_of(request).told = visitor_of(request).told, ""
    return rendered("page.html", told=told, who=visitor_of(request).who, **shown)


def walk(request: Request) -> Response:
    """Only the list, for the script."""
    return rendered("walk.html", **what_is_shown(request))


def what_is_shown(request: Request) -> dict[str, Any]:
    desk, query = desk_of(request), request.query_params
    show = query.get("show", "all") if query.get("show") in view_models.SHOWS else "all"
    found, edits = desk.punch_list(), desk.edits()
    pictures = desk.pictures()
    lines = desk.lines(found, edits, pictures)
    opened = query.get("open", "")
    job = desk.store.job(desk.job)
    return {
        "job": job,
        "show": show,
        "lan": bool(desk.lan_url),
        "walk": view_models.sections(line for line in lines if view_models.is_shown(line.item, show)),
        "recordings": found.recordings,
        "strips": strips(found.recordings, lines, pictures),
        **beside(found, edits),
        "notices": found.flags,
        "aside_count": len(found.set_aside),
        "opened": opened,
        "open_line": opened_view(desk, opened, pictures) if opened and any(line.key == opened for line in lines) else None,
        **head(found.items, edits),
    }


def beside(found: PunchList, edits: tuple[Edit, ...]) -> dict[str, Any]:
    """What was said to the list and belongs to no line."""
    return {"office": view_models.for_the_office(found, done_days(edits)), "notes": view_models.notes_to_self(found)}


def head(items: tuple[Item, ...], edits: tuple[Edit, ...]) -> dict[str, Any]:
    done = effective(edits)
    return {
        "counts": view_models.counts(items),
        "edit": edits[-1].number if edits else 0,
        "can_undo": bool(done),
        "can_redo": can_redo(edits),
        "last": done[-1] if done else None,
    }


def strips(
    recordings: tuple[Any, ...], lines: list[view_models.LineView], pictures: tuple[KeptPicture, ...]
) -> list[dict[str, Any]]:
    """For each recording its length and where its items and pictures stand on it, in thousandths."""
    made = []
    for recording in recordings:
        length = max(1, recording.duration_ms)
        marks = [(round(1000 * line.start * 1000 / length), line) for line in lines if line.recording == recording.sha256]
        taken = [
            (round(1000 * p.moment.at_ms / length), p) for p in pictures if p.moment and p.moment.recording == recording.sha256
        ]
        made.append({"recording": recording, "seconds": to_seconds(length), "marks": marks, "pictures": taken})
    return made


def opened_view(desk: Desk, key: str, pictures: tuple[KeptPicture, ...]) -> dict[str, Any]:
    """Everything about one item: its fields as typed, others it could be merged with, and how it came to be."""
    found, edits = desk.punch_list(), desk.edits()
    item = next(i for i in found.items if i.key == key)
    values = fields.values_of(item)
    return {
        "line": view_models.line_view(item, recordings_of(found)),
        "texts": {name: fields.text_of(name, value) for name, value in values.items()},
        "was": json.dumps({name: plain(value) for name, value in values.items()}),
        "others": likeliest(item, found.items),
        "offer": learning.offer_of(item, desk.lexicon),
        "corrected": any(e.key == key and e.field in ("element", "issues", "actions") for e in edits),
        "history": [told_edit(e) for e in edits if e.key == key or (e.kind == "merge" and key in e.new)],
        "pictures": [(n, p) for n, p in enumerate(pictures) if p.key == key],
    }


def likeliest(item: Item, items: tuple[Item, ...]) -> list[Item]:
    """Other items, those most like this one first: the same element, then the same place, then near in the list."""

    def unlike(other: Item) -> tuple[bool, bool, int]:
        return (other.element != item.element, other.location != item.location, abs(other.number - item.number))

    return sorted((i for i in items if i.key != item.key and i.review != "dropped"), key=unlike)[:30]


def told_edit(edit: Edit) -> str:
    """One change in words."""
    what = {
        "set": f"{edit.field}: {_short(edit.expected)} → {_short(edit.new)}",
        "note": f"note: {_short(edit.new)}",
        "state": f"now {edit.new}",
        "keep": "kept",
        "drop": f"dropped{': ' + str(edit.new) if edit.new else ''}",
        "undrop": "on the list again",
        "merge": "merged with others",
        "split": "split",
        "move": "moved",
        "add": "added",
    }.get(edit.kind, edit.kind)
    return f"{what} ({edit.who or 'somebody'}, {edit.at[:16].replace('T', ' ')} UTC)"


def _short(value: Any) -> str:
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value if value not in (None, "") else "nothing")
    return f"“{text[:60]}”"


def opened(request: Request) -> Response:
    """The opened part of one line, for the script."""
    desk, key = desk_of(request), request.path_params["key"]
    if not any(i.key == key for i in desk.store.items(desk.job)):
        return PlainTextResponse("There is no such line now.", 404)
    return rendered("opened.html", open_line=opened_view(desk, key, desk.pictures()))


async def change(request: Request) -> Response:
    """Makes one change; answers the script in JSON, a plain form with the page."""
    from starlette.concurrency import run_in_threadpool

    form = await request.form(max_files=0, max_fields=4000)
    return await run_in_threadpool(changed, request, form)


def changed(request: Request, given: FormData) -> Response:
    desk, visitor = desk_of(request), visitor_of(request)
    form = changes.Form((name, value) for name, value in given.multi_items() if isinstance(value, str))
    scripted = request.headers.get("x-memo2list") == "lines"
    try:
        outcome = changes.make(desk, form, visitor.who)
    except StaleEditError as error:
        return stale(desk, form, error, scripted)
    except Memo2listError as error:
        return refused(str(error), form, visitor, scripted)
    if scripted:
        return JSONResponse({**news_since(desk, _number(form.one("since"))), "told": outcome.message, "key": outcome.key})
    visitor.told = outcome.message
    return back(form, outcome.key)


def refused(message: str, form: changes.Form, visitor: Visitor, scripted: bool) -> Response:
    if scripted:
        return JSONResponse({"refused": message}, 422)
    visitor.told = message
    return back(form, form.one("key"))


def back(form: changes.Form, key: str) -> Response:
    if form.one("from") in ("album", "talk"):
        return RedirectResponse(f"/{form.one('from')}", 303)
    show = form.one("show") if form.one("show") in view_models.SHOWS else "all"
    return RedirectResponse(f"/?{urlencode({'show': show})}#{anchor(key)}", 303)


def anchor(key: str) -> str:
    """Where on the page a line or a question for the office is; "i-" for a key that is none.

    >>> anchor("3fa4c1d2-2"), anchor("office-3fa4c1d2"), anchor("<b>")
    ('i-3fa4c1d2-2', 'q-office-3fa4c1d2', 'i-')
    """
    return f"{'q' if key.startswith(OFFICE) else 'i'}-{key if key.replace('-', '').isalnum() else ''}"


def stale(desk: Desk, form: changes.Form, error: StaleEditError, scripted: bool) -> Response:
    """Both values, side by side, and the two ways on."""
    item = next(i for i in desk.store.items(desk.job) if i.number == error.number)
    yours = {"keep": "keep", "drop": "drop"}.get(form.one("do")) or form.one(error.field)
    name = error.field if error.field in fields.BY_NAME else ""
    shown = {
        "item": item,
        "label": fields.BY_NAME[name].label if name else "decision",
        "before": fields.text_of(name, error.expected) if name else error.expected,
        "now": fields.text_of(name, error.found) if name else error.found,
        "yours": yours,
        "who": next((e.who for e in reversed(desk.edits()) if e.key == item.key), ""),
        "repeat": repeated(form, item),
    }
    if scripted:
        return JSONResponse({"stale": TEMPLATES.get_template("stale.html").render(**shown)}, 409)
    return rendered("stale_page.html", 409, **shown)


def repeated(form: changes.Form, item: Item) -> list[tuple[str, str]]:
    """The same form against the values of now; fields the person did not touch follow the others' change."""
    texts = dict(form.texts)
    if form.one("do") != "fields":
        return [*((n, v) for n, v in texts.items() if n != "was"), ("was", item.review)]
    before, now = json.loads(texts["was"]), fields.values_of(item)
    touched = fields.changed_fields(texts, {n: fields_value(n, v) for n, v in before.items()})
    kept = [(n, texts[n]) for n in touched]
    return [("do", "fields"), ("key", item.key), ("was", json.dumps({n: plain(v) for n, v in now.items()})), *kept]


def fields_value(name: str, value: Any) -> Any:
    from memo2list.store.edits import field_value

    return field_value(name, value)


def news(request: Request) -> Response:
    """What others changed since an edit the script names."""
    return JSONResponse(news_since(desk_of(request), _number(request.query_params.get("since", ""))))


def news_since(desk: Desk, since: int) -> dict[str, Any]:
    edits = desk.edits()
    last = edits[-1].number if edits else 0
    if last == since:
        return {"edit": last, "lines": {}, "reload": False}
    found = desk.punch_list()
    recent = [e for e in edits if e.number > since]
    shown = {"show": "all", "opened": "", "open_line": None, **head(found.items, edits)}
    again = any(e.kind in RELOADING or e.field in ("location", "element") for e in recent) or since > last
    asked = again or any(e.key.startswith(OFFICE) for e in recent)
    keys = {e.key for e in recent}
    lines = {} if again else {line.key: line for line in desk.lines(found, edits, desk.pictures()) if line.key in keys}
    template = TEMPLATES.get_template("line.html")
    return {
        "edit": last,
        "reload": again,
        "lines": {key: template.render(line=line, **shown) for key, line in lines.items()},
        "head": TEMPLATES.get_template("head.html").render(**shown),
        **({"beside": TEMPLATES.get_template("beside.html").render(show="all", **beside(found, edits))} if asked else {}),
    }


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 16 else 0


def aside(request: Request) -> Response:
    """Talk that was set aside, with its reasons."""
    desk = desk_of(request)
    found = desk.punch_list()
    views = [
        (view_models.aside_view(n, one, recordings_of(found)), changes.aside_mark(one.quotes))
        for n, one in enumerate(found.set_aside)
    ]
    return rendered("aside.html", asides=views, job=desk.store.job(desk.job), lan=bool(desk.lan_url))


def talk(request: Request) -> Response:
    """The transcript to read along, its words numbered, and which of them are behind an item."""
    desk = desk_of(request)
    found = desk.punch_list()
    behind: dict[str, dict[int, Item]] = {}
    for item in found.items:
        for quote in item.quotes:
            behind.setdefault(quote.recording, {}).update(dict.fromkeys(quote.words, item))
    edits = desk.edits()
    shown = [(naming.named(t, edits), behind.get(t.recording.sha256, {}), naming.names(t, edits)) for t in desk.transcripts()]
    told, visitor_of(request).told = visitor_of(request).told, ""
    return rendered("talk.html", transcripts=shown, job=desk.store.job(desk.job), told=told)


def words(request: Request) -> Response:
    return JSONResponse(desk_of(request).words, headers={"cache-control": "private, max-age=600"})


def link(request: Request) -> Response:
    """A fresh link for another device, as a QR code: only where the page is open to the local network."""
    desk = desk_of(request)
    if not desk.lan_url:
        return PlainTextResponse("This page is open to this machine only. Start it with --lan for others.", 404)
    import segno

    address = f"{desk.lan_url}/enter/{desk.door.new_token()}"
    return rendered(
        "link.html",
        address=address,
        picture=segno.make(address, micro=False).svg_data_uri(scale=6),
        job=desk.store.job(desk.job),
        lan=True,
    )


async def name(request: Request) -> Response:
    """The name that stands beside this visitor's changes."""
    form = await request.form(max_files=0, max_fields=4)
    visitor_of(request).who = " ".join(str(form.get("who", "")).split())[:40] or visitor_of(request).who
    return RedirectResponse("/", 303)
