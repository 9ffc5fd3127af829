"""Addresses of accounts and of the door."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, Refused, SignedIn, Stranger
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import render
from airwright.desk.team import service
from airwright.desk.team.contexts import PersonLine, SignInPage, TeamPage
from airwright.desk.team.forms import ROLE_WORDS, role_named
from airwright.store.people import SHORTEST_PASSWORD, People, hashed
from airwright.store.types import new_token

router = APIRouter()


@router.get("/team")
def people(context: ByOwner) -> Response:
    """All accounts; before the first one, how to make it."""
    with context.reading() as session:
        rows = People(session).all()
    return render(
        context,
        TeamPage(
            people=tuple(
                PersonLine(p.id, p.name, p.login, p.role, p.active, p.id == context.actor.person_id)
                for p in rows
            ),
            roles=tuple(ROLE_WORDS.items()),
            shortest=SHORTEST_PASSWORD,
        ),
    )


@router.post("/team")
def add(context: ByOwner, request: Request) -> Response:
    """A new account. The first one is the owner's, and the desk is no longer open."""
    first = context.open_desk
    role = "owner" if first else role_named(context.text("role"))
    password = context.form.get("password")
    login, name = context.text("login", 120), context.text("name", 120)
    secret = hashed(password if isinstance(password, str) else "", (login, name))
    with context.writing() as session:
        accounts = People(session)
        person = accounts.add(login, name, role, secret)
        if first:
            request.state.seat = accounts.sit_down(person)
    return RedirectResponse(f"/team?said={'welcome' if first else 'account'}", 303)


@router.post("/team/{person_id}")
def change(person_id: str, context: ByOwner) -> Response:
    """Another role, or in or out."""
    with context.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.change_role(
            person, role_named(context.text("role")), active=context.text("active") == "yes"
        )
    return RedirectResponse("/team?said=saved", 303)


@router.post("/team/{person_id}/password")
def password(person_id: str, context: SignedIn, request: Request) -> Response:
    """A new password, one's own or, for owners, anybody's."""
    if not context.actor.owns and context.actor.person_id != person_id:
        raise Refused("This is somebody else's password.", "Ask an owner.")
    given = context.form.get("password")
    if not isinstance(given, str):
        raise EditError("No password was written.", "Write one.")
    secret = hashed(given, (context.actor.name,))
    with context.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.set_password(person, secret)
        if person_id == context.actor.person_id:
            request.state.seat = accounts.sit_down(person)
    return RedirectResponse("/team?said=password" if context.actor.owns else "/", 303)


@router.get("/sign-in")
def door(context: Stranger) -> Response:
    """The door."""
    return render(context, SignInPage(login="", what="", mend=""))


@router.post("/sign-in")
def enter(context: Stranger, request: Request) -> Response:
    """Come in."""
    login = context.text("login", 120)
    given = context.form.get("password")
    address = request.client.host if request.client else ""
    try:
        token = service.enter(context.desk, login, given if isinstance(given, str) else "", address)
    except Refused as problem:
        page = SignInPage(login=login, what=problem.what, mend=problem.mend)
        return render(context, page, status=problem.status)
    if token is None:
        mend = "Check both; the owner of the desk can set a new password."
        page = SignInPage(login=login, what="Login or password is wrong.", mend=mend)
        return render(context, page, status=403)
    request.state.seat = token
    return RedirectResponse("/", 303)


@router.post("/leave")
def leave(context: SignedIn, request: Request) -> Response:
    """Go out."""
    with context.writing() as session:
        People(session).leave(str(request.state.seat))
    request.state.seat = new_token()
    return RedirectResponse("/sign-in", 303)
