"""The command `airwright` itself: its families of commands and its exit codes.

Exit codes: 0 done, 1 the job has errors, 2 wrong usage (a bad option, a file that is not
there, a folder that cannot be written).
"""

from __future__ import annotations

import io
import os
import sys

import typer

from airwright.cli import (
    buy_commands,
    calculators,
    colour_commands,
    desk_commands,
    invoice_commands,
    job_commands,
    lettering_command,
    look_commands,
    picture_commands,
    resize_commands,
)
from airwright.cli.common import EXIT_USAGE

INTERRUPTED = 130

app = typer.Typer(
    name="airwright",
    help="From a client's call to balloon decor that stands, every balloon placed in space.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
job_commands.register(app)
picture_commands.register(app)
look_commands.register(app)
buy_commands.register(app)
invoice_commands.register(app)
resize_commands.register(app)
desk_commands.register(app)
calculators.register(app)
colour_commands.register(app)
lettering_command.register(app)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        sys.stdout.write(f"airwright {version('airwright')}\n")
        raise typer.Exit


@app.callback()
def _root(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
) -> None:
    """From a client's call to balloon decor that stands, every balloon placed in space."""


def main() -> None:
    """Run the command line; never ends in a traceback for what a user can cause."""
    _fit_to_terminal()
    try:
        try:
            app()
        finally:
            sys.stdout.flush()  # here, where a full disk can still be told
    except (KeyboardInterrupt, SystemExit) as end:
        # the library turns an interrupt into an exit of its own, without a word
        if isinstance(end, SystemExit) and end.code != INTERRUPTED:
            raise
        sys.stderr.write("\nStopped. Nothing half-written was left behind.\n")
        sys.exit(INTERRUPTED)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
    except OSError as problem:
        _write_no_more()
        sys.stderr.write(
            f"The answer cannot be written: {problem.strerror or problem}.\n"
            "  Make room, or send it somewhere else.\n"
        )
        sys.exit(EXIT_USAGE)


def _fit_to_terminal() -> None:
    """Terminals that know only ASCII or claim to be no columns wide still get an answer."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    columns = os.environ.get("COLUMNS", "").strip()
    if columns and not (columns.isdigit() and int(columns) > 0):
        del os.environ["COLUMNS"]


def _write_no_more() -> None:
    """What is left in the buffers goes nowhere; writing it would fail once more on the way out."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
