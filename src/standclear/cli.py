"""The command line. Heavy parts are imported where they are used, so that help comes at once.

Exit status: 0 clear and nothing above `note`; 1 any other answer; 2 no answer. With several jobs
the highest counts.
"""

from __future__ import annotations

import math
import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from standclear.proof.result import JobProof

NO_ANSWER = 2
JOB_FILE = "job.toml"
PICTURES = (".svg", ".png")

app = typer.Typer(
    help="Know before cycle start that a two-sided turning job is clear with the bar on the bench.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    no_args_is_help=False,
)


class Described(StrEnum):
    """What has a published schema."""

    JOB = "job"
    ANSWER = "answer"


def main() -> None:
    """Entry point of the `standclear` command."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    app()


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"standclear {version('standclear')}")
        raise typer.Exit(0)


@app.callback(invoke_without_command=True)
def _root(
    context: typer.Context,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(NO_ANSWER)


Jobs = Annotated[list[Path], typer.Argument(help=f"Job file, or a folder that holds {JOB_FILE}.")]
OneJob = Annotated[Path, typer.Argument(help=f"Job file, or a folder that holds {JOB_FILE}.")]
Bar = Annotated[
    float | None,
    typer.Option(help="Bar size on the bench, in the job's unit, in place of the job's."),
]
Length = Annotated[
    float | None,
    typer.Option(help="Blank length on the bench, in the job's unit, in place of the job's."),
]
Face = Annotated[
    float | None,
    typer.Option(help="How far the raw face stands out in front of part zero, first end."),
]
Large = Annotated[bool, typer.Option("--large", help="Read program files over 20 MB too.")]


@app.command()
def prove(
    jobs: Jobs,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
    keep: Annotated[
        bool, typer.Option("--keep", help="Also keep a dated answer in proofs/ beside the job.")
    ] = False,
    draw_to: Annotated[
        Path | None, typer.Option("--draw", help="Also draw to this .svg or .png file.")
    ] = None,
    large: Large = False,
) -> None:
    """Prove a job with the blank that is really on the bench: clear, contact or unproven."""
    _check_sizes(bar, length, face)
    if draw_to is not None:
        _check_picture(draw_to)
        if len(jobs) > 1:
            _refuse("--draw takes one job at a time")
    status = 0
    texts: list[str] = []
    for path in jobs:
        with _guarded(path) as outcome:
            proof = _proof_of(path, bar, length, face, large, with_changes=True)
            if draw_to is not None:
                _draw_file(proof, draw_to, None)
            if keep:
                _keep(path, proof)
            if as_json:
                texts.append(_json_of(proof))
            else:
                _say(proof, str(path) if len(jobs) > 1 else "")
            outcome.append(_status_of(proof))
        status = max(status, *outcome)
    if as_json and (texts or len(jobs) > 1):
        typer.echo(
            texts[0] if len(jobs) == 1 else "[\n" + ",\n".join(t.rstrip() for t in texts) + "\n]\n",
            nl=False,
        )
    raise typer.Exit(status)


@app.command()
def draw(
    job: OneJob,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="An .svg or .png file; left out: SVG to the screen."),
    ] = None,
    setup: Annotated[str | None, typer.Option(help="Only the set-up of this name.")] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    large: Large = False,
) -> None:
    """Draw the set-ups of a job with its gaps, strikes and what comes out."""
    _check_sizes(bar, length, face)
    if output is not None:
        _check_picture(output)
    with _guarded(job) as outcome:
        proof = _proof_of(job, bar, length, face, large)
        names = [s.name for s in proof.setups]
        if setup is not None and setup not in names:
            _refuse(f"{job}: no set-up {setup!r}; it has {', '.join(names)}")
        if output is None:
            typer.echo(_svg_of(proof, setup), nl=False)
        else:
            _draw_file(proof, output, setup)
        outcome.append(_status_of(proof))
    raise typer.Exit(outcome[0])


@app.command()
def explain(
    code: Annotated[
        str | None,
        typer.Argument(help="Code of a finding, such as rapid-into-metal; left out: list them."),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="The same as JSON.")] = False,
) -> None:
    """Say what a finding checks, why it matters at the machine, and how to do better."""
    import json
    from dataclasses import asdict

    from standclear.findings import pages

    if code is None:
        summaries = {each: pages.page(each).summary for each in pages.codes()}
        told = [f"{each}: {summary}" for each, summary in summaries.items()]
        typer.echo(json.dumps(summaries, indent=1) if as_json else "\n".join(told))
        return
    try:
        page = pages.page(code)
    except pages.UnknownCode as error:
        _refuse(f"{error}; every code: {', '.join(pages.codes())}")
    if as_json:
        typer.echo(json.dumps(asdict(page), indent=1))
        return
    typer.echo(f"{page.code}: {page.summary}")
    for field, heading in pages.HEADINGS.items():
        body = str(getattr(page, field))
        if body:
            typer.echo(f"\n{heading}\n" + textwrap.indent(body, "  "))


@app.command()
def new(
    paths: Annotated[
        list[Path],
        typer.Argument(help="A folder for the starter job; with --from: programs, or folders."),
    ],
    from_programs: Annotated[
        bool, typer.Option("--from", help="Draft a job beside each program, with guesses marked.")
    ] = False,
    large: Large = False,
) -> None:
    """Write a starter job into a folder, or a job from each program; nothing is written over."""
    if from_programs:
        _draft_jobs(paths, large)
    if len(paths) > 1:
        _refuse("new takes one folder; give --from to draft jobs from programs")
    from standclear.job.starter import write_starter

    folder = paths[0]
    with _guarded(folder, "writing") as outcome:
        write_starter(folder)
        typer.echo(f"{folder}: starter job written; next: standclear prove {folder}")
        outcome.append(0)
    raise typer.Exit(outcome[0])


def _draft_jobs(paths: list[Path], large: bool) -> NoReturn:
    """Exit status 0: a job for each program, and every word is followed; 1: some words are not;
    2: some program got no job."""
    from standclear.draft.files import programs_in

    with _guarded(paths[0], "drafting") as outcome:
        programs = programs_in(paths)
        alone = len(programs) == 1 and not paths[0].is_dir()
        outcome.append(_draft_one(programs[0], large) if alone else _draft_many(programs, large))
    raise typer.Exit(outcome[0])


def _draft_one(program: Path, large: bool) -> int:
    from standclear.draft.files import status_of, write_draft
    from standclear.draft.listing import in_full

    done = write_draft(program, large=large)
    if done.draft is None:
        typer.echo(done.words, err=True)
    else:
        typer.echo("\n".join(in_full(done.draft)))
        typer.echo(f"{done.job}: job drafted; confirm its guesses: standclear prove {done.job}")
    return status_of(done)


def _draft_many(programs: list[Path], large: bool) -> int:
    from rich.console import Console
    from rich.progress import Progress

    from standclear.draft.files import Summary, write_draft
    from standclear.draft.listing import in_a_line, summary_lines

    console = Console(stderr=True)
    summary = Summary()
    with Progress(
        console=console,
        transient=True,
        disable=not console.is_terminal,
        redirect_stdout=sys.stdout.isatty(),
    ) as progress:
        for program in progress.track(programs, description="programs"):
            done = write_draft(program, large=large)
            summary.add(done)
            # Not typer.echo, which goes round the stream that keeps lines above the bar.
            print(in_a_line(done))
    typer.echo("\n".join(summary_lines(summary)))
    return summary.status


@app.command()
def schema(
    of: Annotated[Described, typer.Argument(help="Which file form to describe.")],
) -> None:
    """Print the JSON Schema of a job file or of a JSON answer."""
    if of is Described.ANSWER:
        from standclear.report.json_answer import shipped_schema

        typer.echo(shipped_schema(), nl=False)
        return
    from standclear.job.schema import stored_schema

    typer.echo(stored_schema(), nl=False)


@contextmanager
def _guarded(path: Path, doing: str = "proving") -> Iterator[list[int]]:
    """Turn every fault into a clear message and status 2; the body appends its own status."""
    from standclear.errors import StandclearError

    outcome: list[int] = []
    try:
        yield outcome
    except StandclearError as error:
        for fault in str(error).splitlines():
            typer.echo(fault, err=True)
        outcome[:] = [NO_ANSWER]
    except OSError as error:
        where = error.filename if error.filename is not None else path
        typer.echo(f"{where}: {error.strerror or error}", err=True)
        outcome[:] = [NO_ANSWER]
    except KeyboardInterrupt:
        typer.echo(f"{path}: stopped by hand; no verdict", err=True)
        outcome[:] = [NO_ANSWER]
    except typer.Exit:
        raise
    except Exception as error:  # the last net: a fault of ours must never look like an answer
        typer.echo(
            f"{path}: a fault in standclear itself while {doing} it "
            f"({type(error).__name__}: {error}). This is no verdict: take the job as not proved.",
            err=True,
        )
        outcome[:] = [NO_ANSWER]


def _refuse(message: str) -> NoReturn:
    typer.echo(message, err=True)
    raise typer.Exit(NO_ANSWER)


def _check_sizes(bar: float | None, length: float | None, face: float | None) -> None:
    for name, value in (("--bar", bar), ("--length", length), ("--face", face)):
        if value is not None and not math.isfinite(value):
            _refuse(f"{name} is {value}; give a size in the job's unit")


def _check_picture(path: Path) -> None:
    if path.suffix.lower() not in PICTURES:
        _refuse(f"{path}: a drawing is an .svg or a .png file")


def _job_file(path: Path) -> Path:
    return path / JOB_FILE if path.is_dir() else path


def _proof_of(
    path: Path,
    bar: float | None,
    length: float | None,
    face: float | None,
    large: bool,
    *,
    with_changes: bool = False,
) -> JobProof:
    """The proof of a job; `with_changes` looks for the words to change where something is found."""
    import standclear

    files = standclear.read_job(path, bar=bar, length=length, face=face, large=large)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    if with_changes and _status_of(proof):
        return standclear.mend(held, files.job, proof)
    return proof


def _status_of(proof: JobProof) -> int:
    from standclear.report.words import exit_status

    return exit_status(proof)


def _say(proof: JobProof, title: str) -> None:
    from standclear.report.text import lines, plain, show

    if title:
        typer.echo(f"{title}:")
    if sys.stdout.isatty():
        from rich.console import Console

        show(lines(proof), Console())
    else:
        typer.echo(plain(lines(proof)), nl=False)
    if title:
        typer.echo("")


def _json_of(proof: JobProof, proved_at: str | None = None) -> str:
    from standclear.report.json_answer import answer, to_json

    return to_json(answer(proof, proved_at))


def _keep(path: Path, proof: JobProof) -> None:
    from datetime import datetime

    from standclear.report.keep import keep_answer

    now = datetime.now().astimezone()
    kept = keep_answer(_job_file(path), _json_of(proof, now.isoformat(timespec="seconds")), now)
    typer.echo(f"kept as {kept}", err=True)


def _svg_of(proof: JobProof, setup: str | None) -> str:
    from standclear.report.sheet import sheet
    from standclear.report.svg import to_svg

    return to_svg(sheet(proof, setup))


def _draw_file(proof: JobProof, target: Path, setup: str | None) -> None:
    from standclear.files import write_aside

    svg = _svg_of(proof, setup)
    if target.suffix.lower() == ".png":
        from standclear.report.png import to_png

        write_aside(target, to_png(svg))
    else:
        write_aside(target, svg.encode("utf-8"))
    typer.echo(f"drawn to {target}", err=True)


if __name__ == "__main__":
    main()
