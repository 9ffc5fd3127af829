"""Pages: each a template with a declared context, checked against the template by a test.

A context is a frozen dataclass; its fields are all that its template may name, beside the
few globals below.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import ClassVar

import jinja2
from starlette.responses import HTMLResponse

from airwright.desk.access import RequestContext
from airwright.desk.news import Watched, watched
from airwright.language import Text, say, speaking
from airwright.language.figures import said_hours, said_money
from airwright.language.saying import gettext, ngettext
from airwright.units import Shown

STATIC = files("airwright.desk").joinpath("static")


@dataclass(frozen=True)
class Page:
    """What a template is given; `template` is its file."""

    template: ClassVar[str]
    part: ClassVar[str | None] = None  # a smaller template, for requests that ask for a part


@dataclass(frozen=True)
class Frame:
    """What every page shows round its content."""

    who: str
    role: str
    open_desk: bool
    token: str
    theme: str
    here: str
    watched: Watched
    word: str
    owns: bool
    designs: bool
    sees_price: bool
    sees_cost: bool


@cache
def environment() -> jinja2.Environment:
    """The templates, with everything they may call."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("airwright.desk", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
        finalize=lambda value: say(value) if isinstance(value, Text | Shown) else value,
    )
    made.policies["ext.i18n.trimmed"] = True
    # The extension adds these to the environment; jinja's types do not know it.
    made.install_gettext_callables(gettext, ngettext, newstyle=True)  # type: ignore[attr-defined]
    made.filters |= {
        "day": day,
        "money": money,
        "hours": said_hours,
        "moment": moment,
        "number": lambda value: f"{value:,}",
    }
    made.globals |= {"static": static}
    return made


GLOBALS = frozenset(
    {
        "static",
        "_",
        "gettext",
        "ngettext",
        "pgettext",
        "npgettext",
        "frame",
        "range",
        "namespace",
        "loop",
        "caller",
        "dict",
    }
)


def render(context: RequestContext, page: Page, *, status: int = 200) -> HTMLResponse:
    """A page, or the part of it that was asked for."""
    name = page.part if page.part and context.wants_part else page.template
    values = {entry.name: getattr(page, entry.name) for entry in fields(page)}
    with speaking(context.language):
        text = environment().get_template(name).render(frame=frame_of(context), **values)
    return HTMLResponse(text, status)


def frame_of(context: RequestContext) -> Frame:
    """What every page shows of the person asking."""
    request, actor = context.request, context.actor
    theme = request.cookies.get("airwright_theme", "")
    return Frame(
        who=actor.name,
        role=actor.role,
        open_desk=context.open_desk,
        token=context.token,
        theme=theme if theme in ("light", "dark") else "",
        here=request.url.path,
        watched=watched(request.url.path),
        word=WORDS.get(request.query_params.get("said", ""), ""),
        owns=actor.owns,
        designs=actor.designs,
        sees_price=actor.sees_price,
        sees_cost=actor.sees_cost,
    )


WORDS = {
    "saved": "Saved.",
    "queued": "It is in the queue and goes out in a moment.",
    "ours": "Back to the starting value.",
    "out": "Taken out.",
    "deleted": "Deleted.",
    "imported": "Imported.",
    "merged": "The two are one contact now.",
    "archived": "In the archive. It is found there at any time.",
    "back": "Back among the jobs.",
    "copied": "This is the copy; the other job is as it was.",
    "started": "The job is saved.",
    "removed": "The job is gone for good.",
    "kept": "Kept designs.",
    "withdrawn": "That address no longer opens anything.",
    "chosen": "Thank you. The studio has your choice.",
    "account": "The account is there.",
    "password": "The new password holds; other devices must sign in again.",
    "tidied": "Tidied up.",
    "backing-up": "The backup is being made; it stands here once it came back whole.",
    "erased": "The client’s data are erased.",
    "ended": "That device is signed out.",
    "joined": "Welcome. This is the desk.",
    "read": "The job was imported.",
    "welcome": "Accounts are on. From now on everybody signs in with a name of their own.",
}
"""Short words a page says after something was done (`?said=saved`)."""


@cache
def _stamp(name: str) -> str:
    found = STATIC.joinpath(*name.split("/"))
    return hashlib.sha256(found.read_bytes()).hexdigest()[:10] if found.is_file() else "0"


def static(name: str) -> str:
    """Address of one of our own files; it changes when the file does."""
    return f"/static/{name}?v={_stamp(name)}"


def day(value: dt.date | None) -> str:
    """A date as people say it: "Sat 22 May 2027"."""
    return "no date yet" if value is None else f"{value:%a} {value.day} {value:%b %Y}"


def moment(value: dt.datetime | None) -> str:
    """A point in time on this machine's clock."""
    return "" if value is None else f"{value.astimezone():%d %b %Y, %H:%M}"


def money(value: Decimal | None, currency: str) -> str:
    """An amount with its currency, in the reader's language."""
    return "–" if value is None else said_money(value, currency)


def about(value: Decimal | None, currency: str) -> str:
    """A rough amount: no cents where there are none."""
    text = money(value, currency)
    whole = value is not None and value == value.to_integral_value()
    return text.removesuffix(".00") if whole else text
