"""Certificates: written for a clear job, and checked without trusting the proof."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standclear.cli.answering import say
from standclear.cli.base import guarded

if TYPE_CHECKING:
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof


def audit(
    certificate: Annotated[Path, typer.Argument(help="Certificate to check.")],
    job: Annotated[
        Path | None,
        typer.Option(help="Folder with the job's files; left out: where the certificate lies."),
    ] = None,
) -> None:
    """Check a certificate of `standclear prove --certificate` in exact numbers, by itself.

    Exit status: 0 it holds, and no file found has changed; 1 it does not hold, or is not for these
    files; 2 no answer.
    """
    with guarded(certificate, "checking") as outcome:
        from standclear.audit import Refused, audit_file
        from standclear.audit.words import lines_of
        from standclear.report.lines import cautions

        try:
            found = audit_file(certificate, job)
        except Refused as refused:
            typer.echo(f"refused: {refused}")
            outcome.append(1)
        else:
            typer.echo("\n".join(lines_of(found)))
            say(tuple(cautions()))
            outcome.append(int(bool(found.changed)))
    raise typer.Exit(max(outcome))


def write_certificate(held: Held, proof: JobProof, path: Path) -> int:
    """Write the certificate of a job to a new file; 1 where there is none, the reason said.

    Raises FileError where the file exists or cannot be written.
    """
    from standclear.certificate.errors import NoCertificate
    from standclear.certificate.make import make_certificate
    from standclear.certificate.write import certificate_text
    from standclear.files import write_new

    try:
        text = certificate_text(make_certificate(held, proof))
    except NoCertificate as error:
        typer.echo(str(error), err=True)
        return 1
    write_new(path, text.encode("ascii"))
    typer.echo(f"{path}: certificate written; to check it: standclear audit {path}", err=True)
    return 0
