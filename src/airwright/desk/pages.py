"""Pages: each a template with a declared context, checked against the template by a test.

A context is a frozen dataclass; its fields are all that its template may name, beside the
few globals below.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any, ClassVar

import jinja2
from jinja2.runtime import Context
from markupsafe import Markup
from starlette.responses import HTMLResponse

from airwright.desk.access import RequestContext
from airwright.desk.browser_words import browser_words
from airwright.desk.news import Watched, watched
from airwright.language import (
    ENGLISH_US,
    GERMAN,
    LANGUAGES,
    PSEUDO,
    Text,
    current_language,
    file_word,
    message,
    say,
    speaking,
)
from airwright.language.figures import locale, said_hours, said_money, said_part
from airwright.language.saying import gettext, ngettext
from airwright.store.types import new_id
from airwright.units import Shown

STATIC = files("airwright.desk").joinpath("static")
LANG_TAGS = {ENGLISH_US: "en", PSEUDO: "en"}
"""How a page names its language, where not by our own tag."""


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
    once: str
    theme: str
    language: str
    spoken: str
    languages: tuple[tuple[str, str], ...]
    browser_words: str
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
    made.globals |= {"gettext": _gettext, "ngettext": _ngettext, "_": _gettext}
    made.filters |= {
        "day": day,
        "part": said_part,
        "money": money,
        "hours": said_hours,
        "moment": moment,
        "number": say,
        "word": file_word,
        "midway": midway,
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


@jinja2.pass_context
def _gettext(context: Context, form: str, /, **values: Any) -> str:
    """A sentence of a template: our own markup, its values said and made safe."""
    return Markup(gettext(form)) % _said(values)


@jinja2.pass_context
def _ngettext(context: Context, one: str, many: str, n: int, /, **values: Any) -> str:
    """Likewise for one with a plural."""
    return Markup(ngettext(one, many, n)) % _said({"num": n, **values})


def _said(values: dict[str, Any]) -> dict[str, Any]:
    return {name: say(v) if isinstance(v, Text | Shown) else v for name, v in values.items()}


def render(
    context: RequestContext, page: Page, *, status: int = 200, language: str = ""
) -> HTMLResponse:
    """A page, or the part of it that was asked for.

    Args:
        language: instead of the reader's own.
    """
    name = page.part if page.part and context.wants_part else page.template
    values = {entry.name: getattr(page, entry.name) for entry in fields(page)}
    with speaking(language or context.language):
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
        once=new_id(),
        theme=theme if theme in ("light", "dark") else "",
        language=LANG_TAGS.get(current_language(), current_language()),
        spoken=current_language(),
        languages=tuple(LANGUAGES.items()),
        browser_words=browser_words(),
        here=request.url.path,
        # An answer to a form has no address to be fetched from again; papers look after themselves.
        watched=watched(request.url.path if request.method == "GET" else ""),
        word=say(WORDS.get(request.query_params.get("said", ""), "")),
        owns=actor.owns,
        designs=actor.designs,
        sees_price=actor.sees_price,
        sees_cost=actor.sees_cost,
    )


WORDS = {
    "saved": message("Saved."),
    "queued": message("It is in the queue and goes out in a moment."),
    "ours": message("Back to the starting value."),
    "out": message("Taken out."),
    "deleted": message("Deleted."),
    "imported": message("Imported."),
    "merged": message("The two are one contact now."),
    "archived": message("In the archive. It is found there at any time."),
    "back": message("Back among the jobs."),
    "copied": message("This is the copy; the other job is as it was."),
    "started": message("The job is saved."),
    "removed": message("The job is gone for good."),
    "kept": message("Kept designs."),
    "withdrawn": message("That address no longer opens anything."),
    "chosen": message("Thank you. The studio has your choice."),
    "account": message("The account is there."),
    "password": message("The new password holds; other devices must sign in again."),
    "tidied": message("Tidied up."),
    "backing-up": message("The backup is being made; it stands here once it came back whole."),
    "erased": message("The client’s data are erased."),
    "ended": message("That device is signed out."),
    "joined": message("Welcome. This is the desk."),
    "read": message("The job was imported."),
    "welcome": message("Accounts are on. From now on everybody signs in with a name of their own."),
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
    if value is None:
        return say(message("no date yet"))
    return _date(value, "EEE, d. MMM y" if current_language() == GERMAN else "EEE d MMM y")


def moment(value: dt.datetime | None) -> str:
    """A point in time on this machine's clock."""
    if value is None:
        return ""
    here = value.astimezone()
    return f"{_date(here.date(), 'dd MMM y')}, {here:%H:%M}"


def _date(value: dt.date, pattern: str) -> str:
    from babel.dates import format_date

    return str(format_date(value, pattern, locale=locale()))


def midway(value: str) -> str:
    """A heading as it stands within a sentence; German nouns keep their capital."""
    said = say(value)
    return said if current_language() == GERMAN else said[:1].lower() + said[1:]


def money(value: Decimal | None, currency: str) -> str:
    """An amount with its currency, in the reader's language."""
    return "–" if value is None else said_money(value, currency)


def about(value: Decimal | None, currency: str) -> str:
    """A rough amount: no cents where there are none."""
    text = money(value, currency)
    whole = value is not None and value == value.to_integral_value()
    return re.sub(r"[.,]00(?!\d)", "", text) if whole else text
