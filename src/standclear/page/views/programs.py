"""Programs: read block by block, edited, saved, dropped in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.archive.find import DRAFT_ENDING
from standclear.draft.draft import NothingToDraft, draft_job
from standclear.files import JOB_FILE
from standclear.page.answers import Refused, bench_of, job_of, json_body, threaded
from standclear.page.bench import Bench, OpenJob
from standclear.page.store import plain_name, revision_of
from standclear.page.text import merged, shown


async def program(request: Request) -> Response:
    """The text of one of the job's files, its revision, and which motions each block makes."""
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_program, bench_of(request), job, _name(request)))


async def save(request: Request) -> Response:
    """Another text in place of the one with the revision `seen`; what was there is kept."""
    body = await json_body(request)
    text, seen = body.get("text"), body.get("seen")
    if not isinstance(text, str) or not isinstance(seen, str):
        raise Refused(400, "Send `text`, and `seen`, the revision that it was edited from.")
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_save, bench_of(request), job, _name(request), text, seen))


async def begin(request: Request) -> Response:
    """A program that was dropped in: it is put into the folder with a job drafted beside it."""
    name = request.query_params.get("name", "")
    data = await request.body()
    return JSONResponse(await threaded(_begin, bench_of(request), name, data), 201)


def _name(request: Request) -> str:
    name: str = request.path_params["name"]
    return name


def _program(bench: Bench, job: OpenJob, name: str) -> dict[str, Any]:
    path = _file(bench, job, name)
    data, revision = bench.store.read(path)
    return {"name": name, "text": shown(data), "revision": revision, "motions": _motions(job, name)}


def _motions(job: OpenJob, name: str) -> list[dict[str, Any]]:
    """For each set-up that runs the program, by line: its first and its last motion."""
    found: list[dict[str, Any]] = []
    for index, setup in enumerate(job.proof.setups if job.proof is not None else ()):
        lines: dict[int, list[int]] = {}
        blocks = setup.program.blocks
        for motion, block in enumerate(setup.trace.motions.block.tolist()):
            if 0 <= block < len(blocks) and (blocks[block].file or setup.program.name) == name:
                spans = lines.setdefault(blocks[block].line, [motion, motion])
                spans[1] = motion
        found.append({"setup": index, "lines": lines})
    return found


def _save(bench: Bench, job: OpenJob, name: str, text: str, seen: str) -> dict[str, Any]:
    path = _file(bench, job, name)
    there, revision = bench.store.read(path)
    # Where the file has changed, `save` refuses and keeps both; the text is then taken as it came.
    data = merged(there, text) if revision == seen else text.encode("utf-8")
    return {"name": name, "revision": bench.store.save(path, data, seen)}


def _file(bench: Bench, job: OpenJob, name: str) -> Any:
    try:
        return bench.file(job, name)
    except KeyError:
        raise Refused(404, f"The job has no file {name}.") from None


def _begin(bench: Bench, name: str, data: bytes) -> dict[str, Any]:
    """A folder for the job, named for the program, holds both. Nothing is written where no job
    can be drafted."""
    if not data:
        raise Refused(400, "The file that was dropped in is empty.")
    plain_name(name)
    try:
        draft = draft_job(data, name)
    except NothingToDraft as error:
        raise Refused(422, f"{name}: {error}") from error
    store = bench.store
    folder = _free(bench, name)
    store.add(folder, name, data)
    for copy, copied in draft.copies.items():
        store.add(folder, copy, copied)
    path = store.add(folder, name + DRAFT_ENDING, draft.text.encode("utf-8"))
    for place in store.jobs():
        if place.path == path:
            return {"ident": place.ident, "revision": revision_of(data)}
    raise Refused(500, f"{JOB_FILE} was written and cannot be found again.")


def _free(bench: Bench, name: str) -> Any:
    stem = name.rpartition(".")[0] or name
    for count in range(1, 1000):
        folder = bench.store.inside(bench.store.root, stem if count == 1 else f"{stem}-{count}")
        if not folder.exists():
            return folder
    raise Refused(409, f"There are a thousand jobs of the name {stem} already.")


ROUTES = [
    Route("/job/{job}/file/{name:path}", program),
    Route("/job/{job}/file/{name:path}", save, methods=["PUT"]),
    Route("/program", begin, methods=["POST"]),
]
