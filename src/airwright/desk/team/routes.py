"""Addresses of accounts, invitations, the log, and of the door."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from airwright.desk import passkeys
from airwright.desk.access import ByOwner, Refused, RequestContext, SignedIn, Stranger
from airwright.desk.accounts import ROLE_WORDS, password_in, session_lines, start_session
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import render
from airwright.desk.proof import ByProvenOwner
from airwright.desk.team import service
from airwright.desk.team.contexts import (
    InvitationLine,
    JoinPage,
    LogPage,
    PersonLine,
    SignInPage,
    TeamPage,
)
from airwright.desk.team.forms import LOG_WORDS, role_named
from airwright.language import Text, message
from airwright.store import StoreError
from airwright.store.invitations import Invitations
from airwright.store.passkeys import Passkeys
from airwright.store.people import SHORTEST_PASSWORD, People, hashed
from airwright.store.types import new_token, now

router = APIRouter()


@router.get("/team")
def people(context: ByOwner) -> Response:
    """All accounts; before the first one, how to make it."""
    return _team(context)


def _team(context: RequestContext, link: str = "") -> Response:
    with context.reading() as session:
        lines = tuple(
            PersonLine(
                p.id,
                p.name,
                p.login,
                p.role,
                p.active,
                p.id == context.actor.person_id,
                session_lines(session, p, context.session_token),
            )
            for p in People(session).all()
        )
        invited = tuple(
            InvitationLine(row.id, row.name, ROLE_WORDS[row.role], row.ends)
            for row in Invitations(session).open()
        )
    roles = tuple(ROLE_WORDS.items())
    return render(context, TeamPage(lines, invited, roles, SHORTEST_PASSWORD, link))


@router.post("/team")
def add(context: ByProvenOwner, request: Request) -> Response:
    """A new account. The first one is the owner's, and the desk is no longer open."""
    first = context.open_desk
    role = "owner" if first else role_named(context.text("role"))
    login, name = context.text("login", 120), context.text("name", 120)
    secret = hashed(_password(context), (login, name))
    with context.writing() as session:
        person = People(session).add(login, name, role, secret)
        context.log(session, "account made", f"{person.name}, {role}")
        if first:
            request.state.session_token = start_session(context, session, person)
    return RedirectResponse(f"/team?said={'welcome' if first else 'account'}", 303)


@router.get("/team/log")
def log(
    context: ByOwner,
    kind: Annotated[str, Query(max_length=40)] = "",
    page: Annotated[int, Query(ge=0, le=10_000)] = 0,
) -> Response:
    """What was done, by whom, and from where."""
    with context.reading() as session:
        lines, more = service.log_lines(session, kind, page)
    return render(context, LogPage(lines, tuple(LOG_WORDS.items()), kind, page, more))


@router.post("/team/invitations")
def invite(context: ByProvenOwner) -> Response:
    """A link that makes one account, shown this once."""
    if context.open_desk:
        raise EditError(message("This desk has no accounts yet."), message("Make your own first."))
    role, name = role_named(context.text("role")), context.text("name", 120)
    with context.writing() as session:
        token = Invitations(session).make(name, role, context.actor.name)
        context.log(session, "invited", ", ".join(part for part in (name, role) if part))
    return _team(context, str(context.request.url.replace(path=f"/join/{token}", query="")))


@router.post("/team/invitations/{invitation_id}/withdraw")
def withdraw(invitation_id: str, context: ByOwner) -> Response:
    """End an invitation at once."""
    with context.writing() as session:
        row = Invitations(session).withdraw(invitation_id)
        context.log(session, "invitation withdrawn", row.name)
    return RedirectResponse("/team?said=withdrawn", 303)


@router.post("/team/{person_id}")
def change(person_id: str, context: ByProvenOwner) -> Response:
    """Another role, or in or out."""
    role, active = role_named(context.text("role")), context.text("active") == "yes"
    with context.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.change_role(person, role, active=active)
        context.log(session, "role changed", f"{person.name}, {role if active else '–'}")
    return RedirectResponse("/team?said=saved", 303)


@router.post("/team/{person_id}/password")
def password(person_id: str, context: ByProvenOwner, request: Request) -> Response:
    """A new password for somebody; one's own is changed on one's own page."""
    with context.reading() as session:
        person = People(session).get(person_id)
    secret = hashed(_password(context), (person.login, person.name))
    with context.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.set_password(person, secret)
        context.log(session, "password changed", person.name)
        if person_id == context.actor.person_id:
            request.state.session_token = start_session(context, session, person)
    return RedirectResponse("/team?said=password", 303)


@router.post("/team/{person_id}/sessions/{name}/end")
def end_session(person_id: str, name: str, context: ByOwner) -> Response:
    """Sign a device out from afar."""
    with context.writing() as session:
        person = People(session).get(person_id)
        People(session).end_session(person, name)
        context.log(session, "session ended", person.name)
    return RedirectResponse("/team?said=ended", 303)


def _password(context: RequestContext) -> str:
    given = password_in(context)
    if not given:
        raise EditError(message("No password was written."), message("Write one."))
    return given


# ---- the door --------------------------------------------------------------------------------


@router.get("/sign-in")
def door(context: Stranger) -> Response:
    """The door."""
    return _door(context)


def _door(
    context: RequestContext,
    login: str = "",
    wrong: tuple[Text | str, Text | str] = ("", ""),
    status: int = 200,
) -> Response:
    with context.reading() as session:
        offered = passkeys.possible(context) and Passkeys(session).any()
    return render(context, SignInPage(login, *wrong, passkeys=offered), status=status)


@router.post("/sign-in")
def enter(context: Stranger, request: Request) -> Response:
    """Come in."""
    login = context.text("login", 120)
    try:
        token = service.enter(context, login, password_in(context))
    except Refused as problem:
        return _door(context, login, (problem.what, problem.mend), problem.status)
    if token is None:
        mend = message("Check both; the owner of the desk can set a new password.")
        return _door(context, login, (message("Login or password is wrong."), mend), 403)
    request.state.session_token = token
    return RedirectResponse("/", 303)


@router.post("/sign-in/passkey/options")
def ask_passkey(context: Stranger) -> Response:
    """What a browser is to sign with a passkey."""
    with context.writing() as session:
        options = passkeys.request_options(context, session)
    return Response(options, media_type="application/json")


@router.post("/sign-in/passkey")
def enter_by_passkey(context: Stranger, credential: dict[str, Any], request: Request) -> Response:
    """Come in by a passkey."""
    with context.writing() as session:
        person = passkeys.owner_of(context, session, credential)
        if person is not None:
            request.state.session_token = start_session(context, session, person)
    if person is None:
        return JSONResponse({"what": message("This passkey is not known here.")}, 403)
    return JSONResponse({"to": "/"})


@router.post("/leave")
def leave(context: SignedIn, request: Request) -> Response:
    """Go out."""
    with context.writing() as session:
        People(session).leave(context.session_token)
        context.log(session, "signed out")
    request.state.session_token = new_token()
    return RedirectResponse("/sign-in", 303)


@router.get("/join/{token}")
def invited(token: str, context: Stranger) -> Response:
    """What an invitation opens."""
    return _join(token, context)


@router.post("/join/{token}")
def join(token: str, context: Stranger, request: Request) -> Response:
    """Make the account of an invitation, and come in."""
    login, name = context.text("login", 120), context.text("name", 120)
    with context.reading() as session:
        Invitations(session).get(token)
    try:
        secret = hashed(_password(context), (login, name))  # before the transaction: it takes long
        with context.writing() as session:
            row = Invitations(session).get(token, locked=True)
            person = People(session).add(login, name, role_named(row.role), secret)
            row.used = now()
            context.log(session, "account made", f"{person.name}, {row.role}", actor=person.name)
            request.state.session_token = start_session(context, session, person)
    except (StoreError, EditError) as problem:
        return _join(token, context, problem)
    return RedirectResponse("/?said=joined", 303)


def _join(
    token: str, context: RequestContext, wrong: StoreError | EditError | None = None
) -> Response:
    with context.reading() as session:
        row = Invitations(session).get(token)
    page = JoinPage(
        action=f"/join/{token}",
        name=context.text("name", 120) or row.name,
        login=context.text("login", 120),
        role=ROLE_WORDS[row.role],
        shortest=SHORTEST_PASSWORD,
        what="" if wrong is None else wrong.what,
        mend="" if wrong is None else wrong.mend,
    )
    return render(context, page, status=200 if wrong is None else 422)
