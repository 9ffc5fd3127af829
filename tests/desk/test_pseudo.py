"""Every sentence a page shows comes from the catalogue.

The pages are said in en-XA, which puts accents on every letter of our own sentences. A word that
still stands plain came from somewhere else: from what people typed and from names (taken away here
before the page is read), from the short list below, or from a sentence that nobody can translate.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator

import pytest
from bs4 import BeautifulSoup, Comment, Doctype

from airwright.catalog import default_catalog
from airwright.desk.access import LANGUAGE_COOKIE
from airwright.desk.catalog.service import OWN_SOURCE
from airwright.desk.designs import starts
from airwright.desk.pages import environment
from airwright.desk.seed import demo_text
from airwright.job.records import studio_records
from airwright.job.studio import CYLINDERS
from airwright.language import PSEUDO, speaking
from airwright.store.studio import Designs
from tests.desk.conftest import House, Visitor
from tests.desk.test_pages import addresses
from tests.language.plain_words import plain_in, strings_in

READ_OUT = ("title", "placeholder", "aria-label", "alt", "data-reading", "data-none", "data-room")
UNREAD = ("script", "style", "textarea", "template")


def plain_words(html: str, names: Iterable[str]) -> list[tuple[str, str]]:
    """Words of a page that do not come from the catalogue, each with the text it stands in."""
    known = set(names)
    return [
        (word, " ".join(text.split())[:120])
        for text in _texts(BeautifulSoup(html, "html.parser"))
        for word in plain_in(text, known)
    ]


def _texts(page: BeautifulSoup) -> Iterator[str]:
    for text in page.find_all(string=True):
        if isinstance(text, Comment | Doctype) or text.find_parent(UNREAD):
            continue
        yield str(text)
    for tag in page.find_all(True):
        yield from (str(tag[name]) for name in READ_OUT if name in tag.attrs)


def typed_names(house: House, *files: str) -> set[str]:
    """What people typed or may change: texts of these files and what stands in the studio's when
    nothing is written, kept designs, names of catalogue and shelf."""
    with house.desk.database.reading() as session:
        designs = [row.name for row in Designs(session).all()]
    catalog = default_catalog()
    keys = [row for row in studio_records() if not row.choices]
    hints = [row.default or row.example for row in keys]
    rows = (catalog.balloons, catalog.hardware, catalog.shades)
    return {
        *(text for file in files for text in strings_in(tomllib.loads(file))),
        *(name for row in rows for name in row),
        *(row.name for row in CYLINDERS),
        *(start.name for start in starts()),
        *designs,
        *(part for hint in hints for part in (hint, *hint.split(", "))),
        OWN_SOURCE,
        "Your balloon studio",
        "Ada",
        "You",
        "Pole",
    }


def strange(visitor: Visitor) -> Visitor:
    """The same visitor, reading en-XA."""
    visitor.client.cookies.set(LANGUAGE_COOKIE, PSEUDO)
    return visitor


def test_every_sentence_of_every_page_comes_from_the_catalogue(house: House) -> None:
    visitor = strange(house.visitor())
    names = typed_names(house, demo_text())
    wrong: dict[tuple[str, str], str] = {}
    job = f"/jobs/{house.job()}"
    more = ["/calendar", "/contacts", "/contacts/new", "/money", "/season", "/mail", f"{job}/money",
            f"{job}/mail", "/nowhere", "/jobs/nowhere", "/c/nowhere"]  # fmt: skip
    for address in [*addresses(house), *more]:
        for word in plain_words(visitor.get(address).text, names):
            wrong.setdefault(word, address)
    assert not wrong, "\n".join(f"{at}: {word!r} in {text!r}" for (word, text), at in wrong.items())


@pytest.mark.parametrize(
    ("template", "words"),
    [
        ("<p>Nothing was saved.</p>", ["Nothing", "was", "saved"]),
        ('<input placeholder="any name">', ["any", "name"]),
        ("<p>{{ _('Nothing was saved.') }}</p>", []),
        ("<p>{% trans n=3 %}{{ n }} jobs of {{ who }}{% endtrans %}</p>", []),
        ("<p>{% trans state='late' %}It is {{ state }}{% endtrans %}</p>", ["late"]),
    ],
)
def test_a_plain_sentence_in_a_template_is_found(template: str, words: list[str]) -> None:
    with speaking(PSEUDO):
        html = environment().from_string(template).render(who="Saltmarsh Ferries")
    assert [word for word, _ in plain_words(html, ["Saltmarsh Ferries"])] == words
