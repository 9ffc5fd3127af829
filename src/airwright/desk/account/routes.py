"""Addresses of one's own account."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from airwright.desk import passkeys
from airwright.desk.access import Refused, RequestContext, SignedIn
from airwright.desk.account.contexts import AccountPage, NewPasskeyPage, PasskeyLine
from airwright.desk.account.forms import Made
from airwright.desk.accounts import (
    ROLE_WORDS,
    browser_of,
    password_in,
    session_lines,
    start_session,
)
from airwright.desk.pages import render
from airwright.desk.proof import ByProvenSelf, tried
from airwright.language import message
from airwright.store import StoreError
from airwright.store.passkeys import Passkeys
from airwright.store.people import SHORTEST_PASSWORD, People, hashed
from airwright.store.tables import Person

router = APIRouter(prefix="/account")


@router.get("")
def account(context: SignedIn) -> Response:
    """Who one is here, and where one is signed in."""
    return RedirectResponse("/team", 303) if context.open_desk else _page(context)


@router.post("/password")
def change_password(context: SignedIn, request: Request) -> Response:
    """A new password for oneself; the present one must be given."""
    with context.reading() as session:
        person = _me(context, People(session))
    try:
        if tried(context.desk, person.login, password_in(context, "present"), context.address):
            secret = hashed(password_in(context), (person.login, person.name))
        else:
            return _page(
                context, message("The present password is wrong."), message("Nothing was changed.")
            )
    except StoreError as problem:
        return _page(context, problem.what, problem.mend)
    with context.writing() as session:
        person = _me(context, People(session))
        People(session).set_password(person, secret)
        context.log(session, "password changed", person.name)
        request.state.session_token = start_session(context, session, person)
    return RedirectResponse("/account?said=password", 303)


@router.post("/sessions/{name}/end")
def end_session(name: str, context: SignedIn) -> Response:
    """Sign one of one's devices out."""
    with context.writing() as session:
        person = _me(context, People(session))
        People(session).end_session(person, name)
        context.log(session, "session ended", person.name)
    return RedirectResponse("/account?said=ended", 303)


@router.post("/sessions/end-others")
def end_others(context: SignedIn) -> Response:
    """Sign all devices out but this one."""
    with context.writing() as session:
        person = _me(context, People(session))
        People(session).end_others(person, context.session_token)
        context.log(session, "session ended", person.name)
    return RedirectResponse("/account?said=ended", 303)


@router.post("/passkeys/new")
def new_passkey(context: ByProvenSelf) -> Response:
    """The page that has the browser make a passkey."""
    if not passkeys.possible(context):
        raise Refused(
            message("Browsers make passkeys only for a name and over HTTPS."),
            message("Open the desk by its name (localhost, or --name with --https or a proxy)."),
        )
    with context.writing() as session:
        person = _me(context, People(session))
        options = passkeys.creation_options(context, session, person)
    return render(context, NewPasskeyPage(options))


@router.post("/passkeys")
def keep_passkey(context: ByProvenSelf, sent: Made) -> Response:
    """Keep what the browser made."""
    with context.writing() as session:
        person = _me(context, People(session))
        name = sent.name.strip() or browser_of(context.request.headers.get("user-agent", ""))
        passkeys.keep(context, session, person, sent.credential, name or "–")
        context.log(session, "passkey added", f"{person.name}: {name}")
    return JSONResponse({"to": "/account?said=saved"})


@router.post("/passkeys/{passkey_id}/remove")
def remove_passkey(passkey_id: str, context: ByProvenSelf) -> Response:
    """Forget a passkey."""
    with context.writing() as session:
        person = _me(context, People(session))
        row = Passkeys(session).remove(person, passkey_id)
        context.log(session, "passkey removed", f"{person.name}: {row.name}")
    return RedirectResponse("/account?said=saved", 303)


def _me(context: RequestContext, people: People) -> Person:
    if context.actor.person_id is None:
        raise Refused(
            message("This desk has no accounts yet."), message("Make the first one under Team.")
        )
    return people.get(context.actor.person_id)


def _page(context: RequestContext, what: str = "", mend: str = "") -> Response:
    with context.reading() as session:
        person = _me(context, People(session))
        page = AccountPage(
            name=person.name,
            login=person.login,
            role=ROLE_WORDS[person.role],
            sessions=session_lines(session, person, context.session_token),
            shortest=SHORTEST_PASSWORD,
            passkeys=tuple(
                PasskeyLine(row.id, row.name, row.made, row.used)
                for row in Passkeys(session).of(person)
            ),
            passkeys_possible=passkeys.possible(context),
            what=what,
            mend=mend,
        )
    return render(context, page, status=422 if what else 200)
