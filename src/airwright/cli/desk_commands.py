"""Commands about the desk and its database: desk, worker, backup, restore."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airwright.cli import common
from airwright.cli.common import AsJson

if TYPE_CHECKING:
    from airwright.store.backup import Backup
    from airwright.store.database import Database

DatabaseUrl = Annotated[
    str | None,
    typer.Option(
        "--database",
        help="Database address, like postgresql+psycopg://user@host/name; "
        "the studio's own file if left out.",
    ),
]
BackupFile = Annotated[Path, typer.Argument(help="The backup file (zip).")]


def register(app: typer.Typer) -> None:
    """Add these commands."""
    app.command()(desk)
    app.command(short_help="Make papers and photographs for shared desks.")(worker)
    app.command(short_help="Write everything the desk holds into one file.")(backup)
    app.command(short_help="Put a backup into an empty desk.")(restore)
    app.command(short_help="Take away what the studio no longer needs.")(tidy)
    app.command(short_help="Make an account, or set its password anew.")(account)


def desk(
    host: Annotated[
        str, typer.Option(help="Where to listen; anything but this machine needs accounts.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port to listen on; 0 finds a free one.")
    ] = 8471,
    database: DatabaseUrl = None,
    name: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Another host name the desk is reached under."),
    ] = None,
    proxy: Annotated[
        list[str] | None,
        typer.Option(
            metavar="ADDRESS",
            help="A reverse proxy whose word about a visitor's address and HTTPS is taken.",
        ),
    ] = None,
    workers: Annotated[
        int,
        typer.Option(min=0, max=16, help="Papers and photographs made at once; 0 only serves."),
    ] = 1,
    https: Annotated[
        bool, typer.Option("--https", help="HTTPS on your own network, with your own authority.")
    ] = False,
    backups: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="Folder for a backup a day; beside the studio's own file if left out.",
        ),
    ] = None,
    no_backups: Annotated[
        bool, typer.Option("--no-backups", help="Make no backups by itself.")
    ] = False,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Do not open it in the browser.")
    ] = False,
) -> None:
    """Open the decorator's desk in the browser."""
    from airwright.desk.config import DeskSettings
    from airwright.desk.serving import serve
    from airwright.store.errors import StoreError

    names = tuple(name or ())
    settings = DeskSettings(
        database=database,
        host=host,
        port=port,
        names=names,
        proxies=_addresses(proxy or []),
        certificate=_own_certificate(host, names) if https else None,
        open_browser=not no_browser,
        workers=workers,
        backups=None if no_backups else _backup_folder(backups, database),
    )
    try:
        serve(settings, lambda address: typer.echo(f"The desk is open at {address} (Ctrl-C ends)"))
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)


def _backup_folder(wished: Path | None, database: str | None) -> Path | None:
    """Where a desk backs up to; nowhere by itself for a database elsewhere."""
    from airwright.desk.own_authority import data_folder

    if wished is not None and wished.exists() and not wished.is_dir():
        common.usage_error(f"--backups: {wished} is a file.", "Name a folder.")
    if wished is not None or database is not None:
        return wished
    return data_folder() / "backups"


def _addresses(given: list[str]) -> tuple[str, ...]:
    import ipaddress

    for text in given:
        try:
            ipaddress.ip_network(text, strict=False)
        except ValueError:
            common.usage_error(
                f'--proxy: "{text[:60]}" is no address.', "Say the proxy's own, like 127.0.0.1."
            )
    return tuple(given)


def _own_certificate(host: str, names: tuple[str, ...]) -> tuple[Path, Path]:
    from airwright.desk.own_authority import certificate_for, data_folder

    folder = data_folder()
    made = certificate_for(folder, host, names)
    typer.echo(f"Phones trust this desk once {made.authority} is installed on them (docs: desk).")
    return made.certificate, made.key


def worker(database: DatabaseUrl = None) -> None:
    """Make papers and photographs for desks that share a database, until stopped."""
    from airwright.desk.tasks.worker_pool import Workers
    from airwright.store.errors import StoreError

    try:
        opened = _open(database, begun=True)
        workers = Workers(opened, common.today, 1)
        workers.serve_here(lambda: typer.echo("Waiting for work (Ctrl-C ends)"))
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)


def backup(file: BackupFile, database: DatabaseUrl = None, as_json: AsJson = False) -> None:
    """Write everything the desk holds into one file, proven by restoring it."""
    from airwright.store.backup import back_up
    from airwright.store.errors import StoreError

    try:
        opened = _open(database, begun=True)
        made = back_up(opened, file)
        opened.close()
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)
    _tell_backup(made, f"Wrote {file}", as_json)


def restore(
    file: BackupFile,
    database: DatabaseUrl = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Throw away what the database holds now.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Put a backup into an empty desk: all of it, or nothing."""
    from airwright.store.backup import restore as put_back
    from airwright.store.errors import StoreError

    try:
        opened = _open(database)
        made = put_back(opened, file, replace=replace)
        opened.close()
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)
    _tell_backup(made, f"Restored {file}", as_json)


def tidy(
    database: DatabaseUrl = None,
    look: Annotated[
        bool, typer.Option("--look", help="Only say what would go; change nothing.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Take away what the studio no longer needs, by the days its settings name."""
    from airwright.job.studio_reading import read_studio
    from airwright.store.errors import StoreError
    from airwright.store.logbook import Logbook
    from airwright.store.studio import StudioFile
    from airwright.store.tidying import on_disk, vacuum, would_free
    from airwright.store.tidying import tidy as take_away
    from airwright.store.types import now

    try:
        opened = _open(database, begun=True)
        with opened.reading() as session:
            studio = read_studio(StudioFile(session).get()[0]).studio
        if studio is None:
            common.usage_error("The studio file cannot be read.", "Fix it under Studio, File.")
        before = on_disk(opened)
        found = (would_free if look else take_away)(opened, studio.keeping, now())
        if not look:
            with opened.writing() as session:
                said = ", ".join(f"{share.heap} {share.count}" for share in found if share.count)
                Logbook(session).write("tidied", "airwright tidy", said)
            vacuum(opened)
        after = on_disk(opened)
        opened.close()
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)
    if as_json:
        heaps = {share.heap: {"count": share.count, "bytes": share.size} for share in found}
        common.put_json({"heaps": heaps, "bytes_before": before, "bytes_after": after})
        return
    for share in found:
        typer.echo(f"{share.heap:8} {share.count:6}  {share.size / 1e6:10.1f} MB")
    typer.echo(f"On the disk: {before / 1e6:.1f} MB before, {after / 1e6:.1f} MB now.")


def account(
    login: Annotated[str, typer.Argument(help="What the person types to sign in.")],
    name: Annotated[str, typer.Option(help="The person's name; the login if left out.")] = "",
    role: Annotated[str, typer.Option(help="owner, designer or crew.")] = "owner",
    database: DatabaseUrl = None,
) -> None:
    """Make an account, or set the password of one anew; the password is asked for, or piped in.

    For the first owner of a desk that runs without a screen, and for an owner who lost the
    password: whoever holds the database holds the desk.
    """
    from airwright.store.errors import StoreError
    from airwright.store.logbook import Logbook
    from airwright.store.people import ROLES, People, hashed

    known = next((one for one in ROLES if one == role), None)
    if known is None:
        common.usage_error(f'There is no role "{role[:40]}".', f"Use one of: {', '.join(ROLES)}.")
    if sys.stdin.isatty():
        password = typer.prompt("Password", hide_input=True, confirmation_prompt=True)
    else:
        password = sys.stdin.readline().rstrip("\n")
    try:
        secret = hashed(password, (login, name))
        opened = _open(database)
        with opened.writing() as session:
            people = People(session)
            person = people.with_login(login)
            if person is None:
                person = people.add(login, name, known, secret)
                Logbook(session).write("account made", "airwright account", person.name)
                done = f"{person.name} can sign in as {person.login} ({person.role})."
            else:
                people.set_password(person, secret)
                person.active = True
                Logbook(session).write("password changed", "airwright account", person.name)
                done = f"{person.name} has a new password and the same role ({person.role})."
        opened.close()
    except StoreError as problem:
        common.usage_error(problem.what, problem.mend)
    typer.echo(done)


def _open(database: str | None, *, begun: bool = False) -> Database:
    """Open a database; `begun`: it must be there already, or a slip of the pen would make one."""
    from airwright.store.database import default_address, missing_file, open_database
    from airwright.store.errors import StoreError

    address = default_address() if database is None else database
    missing = missing_file(address) if begun else None
    if missing is not None:
        raise StoreError(
            f"There is no desk yet: {missing} does not exist.",
            "Start `airwright desk` once, or name the right one with --database.",
        )
    return open_database(address)


def _tell_backup(made: Backup, done: str, as_json: bool) -> None:
    if as_json:
        common.put_json({"made": made.made, "revision": made.revision, "rows": made.rows})
        return
    jobs, total = made.rows.get("jobs", 0), sum(made.rows.values())
    when = dt.datetime.fromisoformat(made.made).strftime("%Y-%m-%d %H:%M UTC")
    typer.echo(
        f"{done}: {jobs} job{'s' * (jobs != 1)}, {total} rows in all, as they stood on {when}."
    )
