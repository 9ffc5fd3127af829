"""Papers in the reader's language: complete, and with room for longer words."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.language import PSEUDO, Text, speaking
from airwright.language.figures import said_date
from airwright.language.text import only_frames
from airwright.papers.common.request import request_for
from airwright.plan.planning import make_plan
from tests.language.plain_words import plain_in, strings_in
from tests.papers import pdf_reading as pdf
from tests.papers.plans import TODAY, example_plan, plan_with

COMPLETE = (
    "src/airwright/papers/make_sheet/",
    "src/airwright/papers/sizing_card/",
    "src/airwright/papers/load_list/",
    "src/airwright/papers/safety_sheet/",
    "src/airwright/papers/proposal/",
    "src/airwright/papers/edition/",
    "src/airwright/papers/acceptance/",
    "src/airwright/papers/invoice/",
    "src/airwright/papers/order/",
    "src/airwright/papers/common/",
    "src/airwright/papers/shopping/",
    "src/airwright/papers/calendar/",
    "src/airwright/catalog/size_words.py",
    "src/airwright/pictures/drawing/hands/",
    "src/airwright/plan/load.py",
    "src/airwright/plan/cautions.py",
    "src/airwright/plan/risks.py",
    "src/airwright/plan/helium_findings.py",
    "src/airwright/decor/parts/facing.py",
    "src/airwright/decor/parts/accent_step.py",
    "src/airwright/decor/parts/fillers.py",
    "src/airwright/decor/parts/foliage.py",
    "src/airwright/decor/parts/sleeve.py",
    "src/airwright/decor/parts/table_base.py",
    "src/airwright/decor/parts/topper.py",
    "src/airwright/decor/colouring.py",
    "src/airwright/desk/client/",
    "src/airwright/desk/day/",
    "src/airwright/desk/templates/client/",
    "src/airwright/desk/templates/day/",
    "frontend/src/day.ts",
    "frontend/src/sw.ts",
    "src/airwright/money/charges.py",
    "src/airwright/money/options.py",
)
"""What a crew and a client read: every sentence of these is translated."""


@cache
def missing(language: str) -> list[str]:
    from tools.sentences import book, template

    found = book(language)
    lacking = []
    for row in template():
        if not row.id or not any(file.startswith(COMPLETE) for file, _ in row.locations):
            continue
        here = found.get(row.id if isinstance(row.id, str) else row.id[0])
        forms: Any = here.string if here is not None else ""
        forms = forms if isinstance(forms, tuple) else (forms,)
        if not all(forms):
            lacking.append(str(row.id))
    return lacking


def forms_of(text: str) -> Iterator[Text]:
    """A text and every text inside it that has words of its own."""
    if not isinstance(text, Text):
        return
    if not only_frames(text.message):
        yield text
    for value in text.values.values():
        yield from forms_of(value)


@cache
def step_texts() -> tuple[Text, ...]:
    """Every sentence of the steps of one piece of each kind."""
    starts = (files("airwright.job.examples") / "starts.toml").read_text(encoding="utf-8")
    found = read_job(starts, SPECS)
    assert found.job is not None
    texts = [
        text
        for piece in make_plan(found.job, today=TODAY).pieces
        for step in piece.assembly.steps
        for part in (step.title, step.text)
        for text in forms_of(part)
    ]
    assert len(texts) > 200
    return tuple(texts)


@pytest.mark.parametrize("language", ["de", "es"])
def test_every_step_of_every_kind_is_translated(language: str) -> None:
    from tools.sentences import book

    found = book(language)
    lacking = set()
    for text in step_texts():
        here = found.get(text.message)
        forms: Any = here.string if here is not None else ""
        if not all(forms if isinstance(forms, tuple) else (forms,)):
            lacking.add(text.message)
    assert lacking == set()


@pytest.mark.parametrize("language", ["de", "es"])
def test_every_sentence_of_the_crews_and_clients_papers_is_translated(language: str) -> None:
    assert Path("src/airwright").is_dir(), "run from the top of the project"
    assert missing(language) == []


PLACE = r"\{\w+\}|%\(\w+\)s|%%"


@pytest.mark.parametrize("language", ["de", "es"])
def test_a_translation_of_a_page_fits_into_an_attribute(language: str) -> None:
    """Sentences of templates stand in attributes, too: no straight quote, no bare tag."""
    from tools.sentences import book

    for row in book(language):
        if not row.id or not any("/templates/" in file for file, _ in row.locations):
            continue
        sources = row.id if isinstance(row.id, tuple) else (row.id,)
        targets = row.string if isinstance(row.string, tuple) else (row.string,)
        for source, target in zip(sources, targets, strict=False):
            assert target.count('"') in (0, source.count('"')), target
            assert re.findall("</?[a-z]+", target) in ([], re.findall("</?[a-z]+", source)), target


@pytest.mark.parametrize("language", ["de", "es"])
def test_a_translation_keeps_the_places_of_its_values(language: str) -> None:
    from tools.sentences import book

    for row in book(language):
        if not row.id:
            continue
        sources = row.id if isinstance(row.id, tuple) else (row.id,)
        targets = row.string if isinstance(row.string, tuple) else (row.string,)
        for source, target in zip(sources, targets, strict=False):
            if target:
                assert sorted(re.findall(PLACE, source)) == sorted(re.findall(PLACE, target)), (
                    source
                )


@pytest.mark.parametrize(
    ("name", "side", "top", "bottom"),
    [
        ("make_sheet", 15.0, 9.0, 5.0),
        ("load_list", 20.0, 18.0, 7.0),
        ("proposal", 20.0, 18.0, 7.0),
        ("safety_sheet", 20.0, 18.0, 7.0),
        ("sizing_card", 9.0, 9.0, 5.0),
    ],
)
def test_texts_a_third_longer_keep_to_their_page(
    name: str, side: float, top: float, bottom: float
) -> None:
    with speaking(PSEUDO):
        request = request_for(example_plan(), TODAY)
        (paper,) = import_module(f"airwright.papers.{name}").make(request)
    assert "⟦" in pdf.whole_text(paper.data)
    # Accents on capitals, and the brackets themselves, reach a little further.
    beyond = pdf.outside(paper.data, side - 0.3, top - 0.6, bottom)
    assert [char for char in beyond if char.char not in "⟦⟧~"] == []
    assert pdf.overlapping(paper.data) == []


def test_dates_and_money_follow_the_language() -> None:
    """CLDR's long date and currency patterns, through Babel."""
    from decimal import Decimal

    from airwright.language.figures import said_money

    day = dt.date(2027, 5, 22)
    with speaking("de"):
        assert said_date(day) == "Samstag, 22. Mai 2027"
        assert said_money(Decimal("1234.5"), "EUR").replace("\xa0", " ") == "1.234,50 €"
    with speaking("en-GB"):
        assert said_date(day, "long") == "22 May 2027"


def test_two_languages_stand_side_by_side_on_a_make_sheet() -> None:
    plan = plan_with(["One"], head={"crew_language": "en-US", "crew_language_beside": "es"})
    request = request_for(plan, TODAY)
    with speaking(request.language_of("make_sheet")):
        (paper,) = import_module("airwright.papers.make_sheet").make(request)
    text = re.sub(r"\s+", " ", pdf.whole_text(paper.data))
    assert "Stand the pole" in text
    assert "Levantar el palo" in text
    assert pdf.outside(paper.data, 15.0, 9.0, 5.0) == []


@pytest.mark.parametrize(
    "name", ["make_sheet", "sizing_card", "load_list", "safety_sheet", "proposal", "shopping"]
)
def test_every_sentence_of_a_paper_comes_from_the_catalogue(name: str) -> None:
    """In en-XA our own sentences have accents: a plain word comes from elsewhere."""
    plan = example_plan()
    catalog = plan.context.catalog
    file = files("airwright.job").joinpath("examples", "ferry-terminal.toml")
    names = {*catalog.balloons, *catalog.hardware, *catalog.shades, plan.studio.studio.name,
             *strings_in(tomllib.loads(file.read_text("utf-8")))}  # fmt: skip
    request = request_for(plan, TODAY)
    with speaking(PSEUDO):
        made = import_module(f"airwright.papers.{name}").make(request)
        day = said_date(plan.job.job.date)
    for paper in made:
        if paper.data.startswith(b"%PDF"):
            text = re.sub(r"\s+", " ", pdf.whole_text(paper.data)).replace(day, " ")
            text = text.replace(request.mark.number, " ")  # letters that chance draws
            assert plain_in(text, names | {"CFR", "CGA"}) == [], paper.path
