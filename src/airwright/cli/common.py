"""What the commands share: reading files, telling findings, exit codes."""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

if TYPE_CHECKING:
    from airwright.decor.engine import Progress
    from airwright.job import Finding, Reading, Studio
    from airwright.plan.planning import Evaluation
    from airwright.plan.values import Plan

EXIT_ERRORS = 1
EXIT_USAGE = 2
STUDIO_FILE = "studio.toml"

JobFile = Annotated[Path, typer.Argument(help="The job file (TOML); - reads standard input.")]
StudioFile = Annotated[
    Path | None,
    typer.Option(
        "--studio", help=f"Studio file; {STUDIO_FILE} beside the job file is used if there."
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Answer in JSON, for programs.")]


def usage_error(what: str, mend: str) -> NoReturn:
    """Say what is wrong with the call itself, and end with exit code 2."""
    sys.stderr.write(f"{what}\n  {mend}\n")
    raise typer.Exit(EXIT_USAGE)


def read_bytes(path: Path, missing: str = "", most: int | None = None) -> bytes:
    """A file's bytes, one more than a job may have at the most; ends with exit code 2.

    Args:
        path: the file, or - for standard input.
        missing: what to do when it is not there; else a job file is looked for.
        most: the most a file of its kind may have; that of a job by default.
    """
    from airwright.job.reading import LARGEST_FILE

    most = LARGEST_FILE if most is None else most

    if str(path) == "-":
        return sys.stdin.buffer.read(most + 1)
    try:
        with path.open("rb") as stream:
            return stream.read(most + 1)
    except FileNotFoundError:
        usage_error(f"There is no file {path}.", missing or _other_job(path))
    except IsADirectoryError:
        usage_error(f"{path} is a folder.", "Name the job file in it.")
    except OSError as problem:
        usage_error(f"{path} cannot be read: {problem.strerror}.", "Check its permissions.")


def _other_job(path: Path) -> str:
    """The job file that may have been meant, or how to start one."""
    from airwright.nearest import nearest

    try:
        beside = [one.name for one in path.parent.iterdir() if one.is_file()]
    except OSError:
        return f"There is no folder {path.parent} either."
    near = nearest(path.name, beside, cutoff=0.75)
    if near:
        return f"Did you mean {path.with_name(near[0])}?"
    return f"Start one with: airwright new {path}"


def load_job(path: Path) -> Reading:
    """Read a job file."""
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job

    return read_job(read_bytes(path), SPECS)


def load_studio(path: Path | None, job_file: Path) -> Studio:
    """The studio named, the one beside the job file, or starting values; ends with 1 or 2."""
    from airwright.job import Studio
    from airwright.job.studio_reading import read_studio

    if path is None:
        beside = job_file.parent / STUDIO_FILE
        if str(job_file) == "-" or not beside.is_file():
            return Studio()
        path = beside
    reading = read_studio(
        read_bytes(path, "Name the studio file, or leave --studio out for starting values.")
    )
    if reading.studio is None:
        tell(reading.findings, path)
        raise typer.Exit(EXIT_ERRORS)
    return reading.studio


def evaluated(path: Path, studio: Studio) -> Evaluation:
    """What a job file comes to, with a progress bar on a terminal."""
    from airwright.plan.planning import evaluate

    reading = load_job(path)
    with progress_bar("Building") as progress:
        return evaluate(reading, studio, today=today(), progress=progress)


def planned(path: Path, studio: Studio, as_json: bool) -> tuple[Plan, Reading]:
    """The plan of a job file and the file as read; tells its errors and ends with exit code 1."""
    evaluation = evaluated(path, studio)
    if evaluation.plan is None:
        report(evaluation.findings, path, as_json)
        raise typer.Exit(EXIT_ERRORS)
    return evaluation.plan, evaluation.reading


def report(findings: Iterable[Finding], path: Path, as_json: bool) -> None:
    """Findings as JSON on standard output, or told on standard error."""
    if as_json:
        from airwright.plan.export import finding_json

        put_json({"findings": [finding_json(finding) for finding in findings]})
    else:
        tell(findings, path)


def tell(findings: Iterable[Finding], path: Path) -> None:
    """Findings for people, on standard error."""
    from airwright.cli.show import console, finding_lines

    out = console(stderr=True)
    for finding in findings:
        for line in finding_lines(finding, path):
            out.print(line, soft_wrap=False)


def put_json(value: Any) -> None:
    """A value as JSON on standard output."""
    # where the terminal has ASCII only, JSON's own escapes lose nothing
    escaped = "utf" not in (sys.stdout.encoding or "utf-8").lower()
    sys.stdout.write(json.dumps(value, indent=1, ensure_ascii=escaped) + "\n")


def today() -> dt.date:
    """The date where the studio is."""
    return dt.datetime.now().astimezone().date()


def check_quality(name: str) -> None:
    """End with exit code 2 when there is no picture quality of that name."""
    from airwright.pictures.photo import PhotoError, quality_named

    try:
        quality_named(name)
    except PhotoError as problem:
        usage_error(problem.what, problem.mend)


@contextmanager
def progress_bar(what: str) -> Iterator[Progress]:
    """A progress bar on a terminal, nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda done, total, name: None
        return
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    from airwright.cli.show import console

    columns = (TextColumn("{task.description}"), BarColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total, name: bar.update(
            task, completed=done, total=total, description=f"{what}: {name}"
        )
