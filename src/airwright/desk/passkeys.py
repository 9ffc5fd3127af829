"""Passkeys (WebAuthn level 2): made on one's own page, used at the door.

A passkey belongs to the desk's name. Browsers make none for a bare address (127.0.0.1) nor over
plain HTTP, but for localhost.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.desk.config import is_address
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.store.passkeys import Passkeys
from airwright.store.tables import Person
from airwright.store.types import now


def possible(context: RequestContext) -> bool:
    """Whether browsers make and use passkeys at the address this request came to."""
    url = context.request.url
    host = url.hostname or ""
    return not is_address(host) and (url.scheme == "https" or host == "localhost")


def creation_options(context: RequestContext, session: Session, person: Person) -> str:
    """What the browser is told to make, as JSON."""
    from webauthn import generate_registration_options, options_to_json
    from webauthn.helpers import base64url_to_bytes
    from webauthn.helpers.structs import (
        AuthenticatorSelectionCriteria,
        PublicKeyCredentialDescriptor,
        ResidentKeyRequirement,
        UserVerificationRequirement,
    )

    known = Passkeys(session).of(person)
    options = generate_registration_options(
        rp_id=_host(context),
        rp_name="Airwright",
        user_id=person.id.encode(),
        user_name=person.login,
        user_display_name=person.name,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=[
            PublicKeyCredentialDescriptor(id=base64url_to_bytes(row.credential)) for row in known
        ],
    )
    Passkeys(session).ask(context.session_token, options.challenge)
    return options_to_json(options)


def keep(
    context: RequestContext, session: Session, person: Person, credential: dict[str, Any], name: str
) -> None:
    """Keep what the browser made. Raises EditError or StoreError."""
    from webauthn import verify_registration_response
    from webauthn.helpers import bytes_to_base64url
    from webauthn.helpers.exceptions import WebAuthnException

    challenge = Passkeys(session).take(context.session_token)
    if challenge is None:
        raise _refused()
    try:
        made = verify_registration_response(
            credential=credential,
            expected_challenge=challenge,
            expected_rp_id=_host(context),
            expected_origin=_origin(context),
            require_user_verification=True,
        )
    except (WebAuthnException, ValueError, TypeError, KeyError) as problem:
        raise _refused() from problem
    Passkeys(session).add(
        person,
        bytes_to_base64url(made.credential_id),
        made.credential_public_key,
        made.sign_count,
        name,
    )


def request_options(context: RequestContext, session: Session) -> str:
    """What a browser at the door is asked to sign, as JSON."""
    from webauthn import generate_authentication_options, options_to_json
    from webauthn.helpers.structs import UserVerificationRequirement

    options = generate_authentication_options(
        rp_id=_host(context), user_verification=UserVerificationRequirement.REQUIRED
    )
    Passkeys(session).ask(context.session_token, options.challenge)
    return options_to_json(options)


def owner_of(
    context: RequestContext, session: Session, credential: dict[str, Any]
) -> Person | None:
    """Whose passkey signed the challenge; None when nobody's did."""
    from webauthn import verify_authentication_response
    from webauthn.helpers.exceptions import WebAuthnException

    passkeys = Passkeys(session)
    challenge = passkeys.take(context.session_token)
    row = passkeys.find(str(credential.get("id", "")))
    if challenge is None or row is None:
        return None
    try:
        signed = verify_authentication_response(
            credential=credential,
            expected_challenge=challenge,
            expected_rp_id=_host(context),
            expected_origin=_origin(context),
            credential_public_key=row.public_key,
            credential_current_sign_count=row.signatures,
            require_user_verification=True,
        )
    except (WebAuthnException, ValueError, TypeError, KeyError):
        return None
    person = session.get(Person, row.person_id)
    if person is None or not person.active:
        return None
    row.signatures, row.used = signed.new_sign_count, now()
    return person


def _host(context: RequestContext) -> str:
    return context.request.url.hostname or ""


def _origin(context: RequestContext) -> str:
    url = context.request.url
    return f"{url.scheme}://{url.netloc}"


def _refused() -> EditError:
    return EditError(
        message("This passkey could not be taken."),
        message("Load the page again, then try once more."),
    )
