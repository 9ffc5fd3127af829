"""Addresses of accounts and of the door."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Owning, Refused, Stranger, Visiting
from airwright.desk.live.edits import EditError
from airwright.desk.pages import render
from airwright.desk.people import service
from airwright.desk.people.contexts import EnterPage, PeoplePage, PersonLine
from airwright.desk.people.forms import ROLE_WORDS, role_named
from airwright.store.people import SHORTEST_PASSWORD, People
from airwright.store.types import new_token

router = APIRouter()


@router.get("/people")
def people(visit: Owning) -> Response:
    """All accounts; before the first one, how to make it."""
    with visit.reading() as session:
        rows = People(session).all()
    return render(
        visit,
        PeoplePage(
            people=tuple(
                PersonLine(p.id, p.name, p.login, p.role, p.active, p.id == visit.actor.person_id)
                for p in rows
            ),
            roles=tuple(ROLE_WORDS.items()),
            shortest=SHORTEST_PASSWORD,
        ),
    )


@router.post("/people")
def add(visit: Owning, request: Request) -> Response:
    """A new account. The first one is the owner's, and the desk is no longer open."""
    first = visit.open_desk
    role = "owner" if first else role_named(visit.text("role"))
    password = visit.form.get("password")
    with visit.writing() as session:
        accounts = People(session)
        person = accounts.add(
            visit.text("login", 120),
            visit.text("name", 120),
            role,
            password if isinstance(password, str) else "",
        )
        if first:
            request.state.seat = accounts.sit_down(person)
    return RedirectResponse(f"/people?said={'welcome' if first else 'account'}", 303)


@router.post("/people/{person_id}")
def change(person_id: str, visit: Owning) -> Response:
    """Another role, or in or out."""
    with visit.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.change_role(
            person, role_named(visit.text("role")), active=visit.text("active") == "yes"
        )
    return RedirectResponse("/people?said=saved", 303)


@router.post("/people/{person_id}/password")
def password(person_id: str, visit: Visiting, request: Request) -> Response:
    """A new password, one's own or, for owners, anybody's."""
    if not visit.actor.owns and visit.actor.person_id != person_id:
        raise Refused("This is somebody else's password.", "Ask an owner.")
    given = visit.form.get("password")
    if not isinstance(given, str):
        raise EditError("No password was written.", "Write one.")
    with visit.writing() as session:
        accounts = People(session)
        person = accounts.get(person_id)
        accounts.set_password(person, given)
        if person_id == visit.actor.person_id:
            request.state.seat = accounts.sit_down(person)
    return RedirectResponse("/people?said=password" if visit.actor.owns else "/", 303)


@router.get("/enter")
def door(visit: Stranger) -> Response:
    """The door."""
    return render(visit, EnterPage(login="", what="", mend=""))


@router.post("/enter")
def enter(visit: Stranger, request: Request) -> Response:
    """Come in."""
    login = visit.text("login", 120)
    given = visit.form.get("password")
    address = request.client.host if request.client else ""
    try:
        token = service.enter(visit.desk, login, given if isinstance(given, str) else "", address)
    except Refused as problem:
        page = EnterPage(login=login, what=problem.what, mend=problem.mend)
        return render(visit, page, status=problem.status)
    if token is None:
        mend = "Check both; the owner of the desk can set a new password."
        page = EnterPage(login=login, what="Login or password is wrong.", mend=mend)
        return render(visit, page, status=403)
    request.state.seat = token
    return RedirectResponse("/", 303)


@router.post("/leave")
def leave(visit: Visiting, request: Request) -> Response:
    """Go out."""
    with visit.writing() as session:
        People(session).leave(str(request.state.seat))
    request.state.seat = new_token()
    return RedirectResponse("/enter", 303)
