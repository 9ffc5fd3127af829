"""Who may come in: people, sessions, and the slowing down after wrong passwords."""

from __future__ import annotations

import datetime as dt
from typing import Literal, get_args

from sqlalchemy import ColumnElement, delete, func, select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.errors import Missing, StoreError
from airwright.store.tables import LoginAttempt, LoginSession, Person
from airwright.store.types import digest, new_token, now

Role = Literal["owner", "designer", "crew"]
ROLES: tuple[Role, ...] = get_args(Role)

SESSION_LASTS = dt.timedelta(days=14)
"""A session ends by itself this long after it began."""

SESSION_RESTS = dt.timedelta(hours=12)
"""… or this long after it was last used."""

SHORTEST_PASSWORD = 12
LONGEST_PASSWORD = 128
"""Letters; OWASP ASVS 2.1.1 and 2.1.2 name these."""

FREE_TRIES = 4
"""Wrong passwords before the door slows down."""

LONGEST_WAIT_S = 900.0
"""The most anybody waits after wrong passwords [s]."""

WINDOW = dt.timedelta(hours=1)

KNOWN_FOR = dt.timedelta(days=90)
"""An address that somebody signed in from is known for so long."""

GUESSABLE = 2
"""Passwords below this of zxcvbn's scores (0 to 4) are refused: they would be guessed soon."""


class People:
    """Accounts and sessions, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def any(self) -> bool:
        """Whether the desk has accounts at all."""
        return self.session.scalar(select(Person.id).limit(1)) is not None

    def all(self) -> list[Person]:
        """Everybody, by name."""
        return list(self.session.scalars(select(Person).order_by(Person.name)))

    def get(self, person_id: str) -> Person:
        """One person. Raises Missing."""
        found = self.session.get(Person, person_id)
        if found is None:
            raise Missing("account")
        return found

    def with_login(self, login: str) -> Person | None:
        """The person of a login, or None."""
        return self.session.scalar(select(Person).where(Person.login == login.strip().lower()))

    def add(self, login: str, name: str, role: Role, secret: str) -> Person:
        """A new account; `secret` is from `hashed`. Raises StoreError for a login that is taken."""
        login = login.strip().lower()
        if not login:
            raise StoreError(
                message("The login is empty."), message("Use a mail address or a short name.")
            )
        if self.session.scalar(select(Person.id).where(Person.login == login)) is not None:
            raise StoreError(
                message('There is an account "{login}" already.', login=login),
                message("Choose another login."),
            )
        person = Person(login=login, name=name.strip() or login, role=role, secret=secret)
        self.session.add(person)
        self.session.flush()
        return person

    def set_password(self, person: Person, secret: str) -> None:
        """A new password, from `hashed`; everything this person had open elsewhere ends."""
        person.secret = secret
        self.end_all(person)

    def change_role(self, person: Person, role: Role, *, active: bool) -> None:
        """Change what somebody may do. Raises StoreError when no owner would be left."""
        owners = self.session.scalar(
            select(func.count())
            .select_from(Person)
            .where(Person.role == "owner", Person.active, Person.id != person.id)
        )
        if (role != "owner" or not active) and not owners:
            raise StoreError(
                message("A desk needs an owner."), message("Make somebody else an owner first.")
            )
        person.role, person.active = role, active
        self.end_all(person)

    # ---- entering ----------------------------------------------------------------------------

    def wait_s(self, login: str, address: str, at: dt.datetime | None = None) -> float:
        """Seconds until this login may be tried again from this address.

        Wrong passwords from elsewhere never keep out an address that this login came from before:
        a stranger must not be able to lock the owner out.
        """
        moment, login = at or now(), login.strip().lower()
        ours = (LoginAttempt.login == login) & (LoginAttempt.address == address)
        waits = [self._wait(ours, FREE_TRIES, moment)]
        if not self._known(ours, moment):
            waits.append(self._wait(LoginAttempt.address == address, 4 * FREE_TRIES, moment))
            waits.append(self._wait(LoginAttempt.login == login, 8 * FREE_TRIES, moment))
        return max(waits)

    def _known(self, ours: ColumnElement[bool], moment: dt.datetime) -> bool:
        found = select(LoginAttempt.id).where(
            ours, LoginAttempt.succeeded, LoginAttempt.at > moment - KNOWN_FOR
        )
        return self.session.scalar(found.limit(1)) is not None

    def _wait(self, which: ColumnElement[bool], free: int, moment: dt.datetime) -> float:
        rows = self.session.execute(
            select(LoginAttempt.at, LoginAttempt.succeeded)
            .where(which, LoginAttempt.at > moment - WINDOW)
            .order_by(LoginAttempt.at.desc())
            .limit(60)
        ).all()
        failures: list[dt.datetime] = []
        for when, succeeded in rows:
            if succeeded:
                break
            failures.append(when)
        if len(failures) < free:
            return 0.0
        pause = min(2.0 ** (len(failures) - free + 1), LONGEST_WAIT_S)
        return max(0.0, pause - (moment - failures[0]).total_seconds())

    def secret_of(self, login: str) -> str | None:
        """The hash to hold a password against, with `matches`; None for an unknown login."""
        found = select(Person.secret).where(Person.login == login.strip().lower()[:120])
        return self.session.scalar(found)

    def attempt(self, login: str, right: bool, address: str) -> Person | None:
        """Write down a try to sign in; the person when it succeeded.

        Args:
            login: as typed.
            right: whether the password matched, worked out before the transaction: that takes a
                tenth of a second on purpose, and others wait to write meanwhile.
            address: where it came from.
        """
        login = login.strip().lower()[:120]
        person = self.session.scalar(select(Person).where(Person.login == login))
        welcome = person is not None and right and person.active
        moment = now()
        self.session.add(
            LoginAttempt(login=login, address=address[:64], succeeded=welcome, at=moment)
        )
        stale = LoginAttempt.succeeded.is_(False) & (LoginAttempt.at < moment - 24 * WINDOW)
        self.session.execute(
            delete(LoginAttempt).where(stale | (LoginAttempt.at < moment - KNOWN_FOR))
        )
        return person if welcome else None

    def start_session(self, person: Person, address: str = "", browser: str = "") -> str:
        """Begin a session; returns its token, which is kept nowhere.

        Args:
            person: whose.
            address, browser: from where, for the list of sessions.
        """
        token = new_token()
        moment = now()
        self.session.execute(delete(LoginSession).where(LoginSession.ends < moment))
        self.session.add(
            LoginSession(
                token_digest=digest(token),
                person_id=person.id,
                started=moment,
                seen=moment,
                ends=moment + SESSION_LASTS,
                proved=moment,
                address=address[:64],
                browser=browser[:120],
            )
        )
        return token

    def login_session(
        self, token: str, at: dt.datetime | None = None
    ) -> tuple[LoginSession, Person] | None:
        """The session of a token, while it lasts and its person may come in."""
        moment = at or now()
        row = self.session.get(LoginSession, digest(token))
        if row is None or row.ends < moment or row.seen < moment - SESSION_RESTS:
            return None
        person = self.session.get(Person, row.person_id)
        if person is None or not person.active:
            return None
        return row, person

    def login_sessions(self, person: Person) -> list[LoginSession]:
        """What a person has open, last used first."""
        moment = now()
        query = select(LoginSession).where(
            LoginSession.person_id == person.id,
            LoginSession.ends > moment,
            LoginSession.seen > moment - SESSION_RESTS,
        )
        return list(self.session.scalars(query.order_by(LoginSession.seen.desc())))

    def end_session(self, person: Person, name: str) -> None:
        """End one of a person's sessions by its name (`named`). Raises Missing."""
        for row in self.login_sessions(person):
            if named(row) == name:
                self.session.delete(row)
                return
        raise Missing("session")

    def end_others(self, person: Person, token: str) -> None:
        """End everything a person has open but one session."""
        self.session.execute(
            delete(LoginSession).where(
                LoginSession.person_id == person.id, LoginSession.token_digest != digest(token)
            )
        )

    def leave(self, token: str) -> None:
        """End one session."""
        self.session.execute(delete(LoginSession).where(LoginSession.token_digest == digest(token)))

    def end_all(self, person: Person) -> None:
        """End everything a person has open."""
        self.session.execute(delete(LoginSession).where(LoginSession.person_id == person.id))


def named(login: LoginSession) -> str:
    """A name for a session that opens nothing."""
    return login.token_digest[:16]


def hashed(password: str, about: tuple[str, ...] = ()) -> str:
    """A password's argon2id hash.

    Length and a list of what people guess first decide, as NIST SP 800-63B asks; no rules about
    capitals and digits.

    Args:
        password: as typed.
        about: login and name, which are guessed first.

    Raises:
        StoreError: too short, too long, or guessed soon.
    """
    from argon2 import PasswordHasher

    if len(password) < SHORTEST_PASSWORD:
        raise StoreError(
            message("This password is too short."),
            message(
                "Use {shortest_password} characters or more.", shortest_password=SHORTEST_PASSWORD
            ),
        )
    if len(password) > LONGEST_PASSWORD:
        raise StoreError(
            "This password is too long.", f"Use {LONGEST_PASSWORD} characters at most."
        )
    _refuse_guessable(password, about)
    return PasswordHasher().hash(password)


def _refuse_guessable(password: str, about: tuple[str, ...]) -> None:
    from zxcvbn import zxcvbn

    known = [word for word in (*about, "airwright", "balloon", "balloons", "decor") if word]
    if zxcvbn(password[:72], user_inputs=known)["score"] < GUESSABLE:
        raise StoreError(
            message("This password would be guessed soon."),
            message("Take a few words that have nothing to do with each other."),
        )


def matches(secret: str | None, password: str) -> bool:
    """Whether a password is the one behind a hash; None takes as long and never matches."""
    # An unknown login costs the same time as a wrong password, so that none can be guessed.
    right = _matches(_decoy() if secret is None else secret, password)
    return right and secret is not None


def _matches(secret: str, password: str) -> bool:
    from argon2 import PasswordHasher
    from argon2.exceptions import InvalidHashError, VerificationError

    try:
        return PasswordHasher().verify(secret, password[:500])
    except (VerificationError, InvalidHashError):
        return False


_DECOYS: list[str] = []


def _decoy() -> str:
    if not _DECOYS:
        _DECOYS.append(hashed("no account of this desk has it"))
    return _DECOYS[0]
