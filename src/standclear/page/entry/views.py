"""What the browser asks of the form: to see it, to look at what is typed, to save it."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.page.answers import Refused, bench_of, json_body, page, threaded
from standclear.page.entry.acting import acted
from standclear.page.entry.desk import (
    Desk,
    Looked,
    begin,
    desk_of,
    files_of,
    keep,
    looked,
    program_names,
    programs_of,
    save,
    units_of,
    with_entries,
)
from standclear.page.entry.draft_file import drop_draft, entries_in, read_draft, texts_in
from standclear.page.entry.dropping import dropped_dxf, dropped_program
from standclear.page.entry.entries import FORGET
from standclear.page.entry.guesses import GUESSES, guesses_of
from standclear.page.entry.render import sections_of
from standclear.page.entry.sharing import sharing_warnings
from standclear.page.entry.showing import pictures_of, problem_data
from standclear.page.entry.starting import start_text
from standclear.page.entry.taking import taken_from
from standclear.page.store import JobPlace, Store

LONGEST_NAME = 100


async def form(request: Request) -> Response:
    """The form of a job, with what is typed and not yet in its files."""
    store, place = _place(request)
    data = await threaded(_form_data, store, place)
    return page(request, "entry/form.html", data)


async def entries(request: Request) -> Response:
    """What is typed is kept as a draft and looked at."""
    body = await json_body(request)
    store, place = _place(request)
    return JSONResponse(await threaded(_entries, request, store, place, body))


async def act(request: Request) -> Response:
    """A row put in or taken out, a guess confirmed: the section comes back anew."""
    body = await json_body(request)
    store, place = _place(request)
    return JSONResponse(await threaded(_act, request, store, place, body))


async def drop(request: Request) -> Response:
    """A program or a DXF file dropped in, or a program typed."""
    data = await request.body()
    store, place = _place(request)
    name = request.query_params.get("name", "")
    number = request.query_params.get("draft", "")
    front_left = request.query_params.get("front") == "left"
    return JSONResponse(
        await threaded(_drop, request, store, place, name, number, data, front_left)
    )


async def saved(request: Request) -> Response:
    """What is typed goes into the files of the job."""
    body = await json_body(request)
    store, place = _place(request)
    return JSONResponse(await threaded(_save, store, place, body))


async def discard(request: Request) -> Response:
    """What is typed is dropped: the files stay as they are."""
    store, place = _place(request)
    await threaded(drop_draft, store, place.path)
    return JSONResponse({})


async def new(request: Request) -> Response:
    """A new job with nothing but a name."""
    body = await json_body(request)
    name = body.get("name")
    if not isinstance(name, str) or not name.strip() or len(name) > LONGEST_NAME:
        raise Refused(422, "Give the job a name, such as the part and its size.")
    place = await threaded(begin, bench_of(request).store, name.strip(), start_text(name.strip()))
    return JSONResponse({"ident": place.ident}, 201)


def _place(request: Request) -> tuple[Store, JobPlace]:
    bench = bench_of(request)
    ident = request.path_params["job"]
    place = bench.place(ident)
    if place is None:
        raise Refused(404, f"There is no job {ident} in this folder.")
    return bench.store, place


def _form_data(store: Store, place: JobPlace) -> dict[str, Any]:
    desk = desk_of(store, place)
    found = looked(desk, programs_of(store, desk))
    return {
        "ident": place.ident,
        "file": place.path.name,
        "title": desk.entries.get("title") or place.ident,
        "sections": sections_of(desk.entries, units_of(desk), files_of(desk)),
        "programs": program_names(place),
        "others": _others(store, place),
        "seen": dict(desk.begun),
        "draft": desk.number,
        "guesses": _guesses(desk),
        "forgotten": [key for key in desk.entries if key.startswith(FORGET)],
        **_told(desk, found),
    }


def _others(store: Store, place: JobPlace) -> list[str]:
    """Jobs that lathe, tools or jaws can be taken from."""
    return [each.ident for each in store.jobs() if each.ident != place.ident]


def _guesses(desk: Desk) -> list[dict[str, Any]]:
    return [asdict(guess) for guess in guesses_of(desk.documents, desk.base, desk.entries)]


def _told(desk: Desk, found: Looked) -> dict[str, Any]:
    """What is wrong, what is missing, and the pictures."""
    return {
        "problems": [problem_data(each) for each in found.checked.problems],
        "warnings": [problem_data(each) for each in sharing_warnings(desk.entries)],
        "wrong": len(found.checked.wrong),
        "missing": len(found.checked.missing),
        "pictures": pictures_of(found),
        "open_guesses": len(_guesses(desk)),
        "changed": list(desk.changed),
        "now": dict(desk.seen),
    }


def _typed(store: Store, place: JobPlace, body: dict[str, Any]) -> Desk:
    """The desk with the entries that were sent. Raises Refused where another tab was faster."""
    try:
        typed = entries_in(body.get("entries"))
        seen = texts_in(body.get("seen", {}))
        number = int(body.get("draft", 0))
    except (TypeError, ValueError) as error:
        raise Refused(400, f"What was sent is no form: {error}") from error
    _check_number(store, place, number)
    desk = desk_of(store, place)
    begun = seen or dict(desk.seen)
    changed = tuple(name for name, rev in desk.seen.items() if begun.get(name) != rev)
    return with_entries(replace(desk, number=number, begun=begun, changed=changed), typed)


def _check_number(store: Store, place: JobPlace, number: int) -> None:
    draft = read_draft(store, place.path)
    if draft is not None and draft.number > number:
        raise Refused(
            409,
            "This job is being typed in another tab as well. Load the page again to go on here.",
        )


def _entries(
    request: Request, store: Store, place: JobPlace, body: dict[str, Any]
) -> dict[str, Any]:
    desk = _typed(store, place, body)
    told = _told(desk, looked(desk, programs_of(store, desk)))
    # Kept last: where something fails, the browser still knows the number of the draft.
    return {"draft": keep(store, desk).number, **told}


def _act(request: Request, store: Store, place: JobPlace, body: dict[str, Any]) -> dict[str, Any]:
    desk = _typed(store, place, body)
    if body.get("act") == "take":
        lender = bench_of(request).place(str(body.get("from", "")))
        if lender is None:
            raise Refused(404, "That job is no longer in the folder.")
        changed, focus = taken_from(desk, str(body.get("name", "")), desk_of(store, lender))
    else:
        changed, focus = acted(desk.entries, body.get("act"), body.get("name"))
    return _anew(request, store, replace(desk, entries=changed), focus)


def _drop(
    request: Request,
    store: Store,
    place: JobPlace,
    name: str,
    number: str,
    data: bytes,
    front_left: bool,
) -> dict[str, Any]:
    _check_number(store, place, int(number) if number.isdecimal() else 0)
    desk = desk_of(store, place)
    if name.lower().endswith(".dxf"):
        desk, told = dropped_dxf(desk, data, front_left=front_left)
        focus = "part.given"
    else:
        desk, told = dropped_program(store, desk, name, data)
        focus = GUESSES if _guesses(desk) else "setup[0].program"
    return {**_anew(request, store, desk, focus), "told": told}


def _anew(request: Request, store: Store, desk: Desk, focus: str) -> dict[str, Any]:
    """The form drawn again, the draft kept; the browser puts it in place of what it shows."""
    found = looked(desk, programs_of(store, desk))
    data = {
        "ident": desk.place.ident,
        "sections": sections_of(desk.entries, units_of(desk), files_of(desk)),
        "programs": program_names(desk.place),
        "others": _others(store, desk.place),
        "guesses": _guesses(desk),
        "forgotten": [key for key in desk.entries if key.startswith(FORGET)],
        "looking_only": False,
    }
    template = request.app.state.templates.get_template("entry/sections.html")
    told = _told(desk, found)
    html = template.render(data)
    return {"html": html, "focus": focus, "draft": keep(store, desk).number, **told}


def _save(store: Store, place: JobPlace, body: dict[str, Any]) -> dict[str, Any]:
    desk = _typed(store, place, body)
    found = looked(desk, programs_of(store, desk))
    if found.read:
        data = [problem_data(each) for each in found.read]
        words = "; ".join(each["words"] for each in data[:3])
        raise Refused(422, f"Not saved, as this cannot be read: {words}")
    seen = save(store, desk, found, texts_in(body.get("seen", {})))
    return {"seen": seen, "open": len(found.checked.problems)}


ROUTES = (
    Route("/job/{job}/form/", form),
    Route("/job/{job}/form.json", form),
    Route("/job/{job}/form/entries", entries, methods=["POST"]),
    Route("/job/{job}/form/act", act, methods=["POST"]),
    Route("/job/{job}/form/drop", drop, methods=["POST"]),
    Route("/job/{job}/form/save", saved, methods=["POST"]),
    Route("/job/{job}/form/discard", discard, methods=["POST"]),
    Route("/new", new, methods=["POST"]),
)
