"""Versions kept small and read back exactly; searches that fold case and accents."""

from __future__ import annotations

import random
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, select

from airwright.desk.seed import demo_text
from airwright.store import Database
from airwright.store.compact import packed, smaller, unpacked
from airwright.store.contacts import Card, Contacts
from airwright.store.folding import folded
from airwright.store.jobs import Head, Jobs
from airwright.store.tables import JobVersion
from tests.store.test_jobs import TODAY

TEXTS = st.text(max_size=300)


@given(TEXTS, TEXTS)
def test_a_packed_text_comes_back(text: str, other: str) -> None:
    assert unpacked(packed(text)) == text
    if other:
        assert unpacked(packed(text, other), other) == text


def test_another_base_is_noticed() -> None:
    data = packed("four clusters", "four clusters of sand")
    with pytest.raises(zlib.error):
        unpacked(data, "four clusters of teal")
    with pytest.raises(zlib.error):
        unpacked(data[:-3], "four clusters of sand")


def test_a_text_of_its_own_stands_whole() -> None:
    noise = random.Random(1).randbytes(2000).hex()
    assert smaller(noise, demo_text()) is None
    assert smaller(demo_text() + "# later\n", demo_text()) is not None


def test_many_versions_cost_little_and_all_come_back(database: Database) -> None:
    dice, texts = random.Random(20270522), [demo_text()]
    for at in range(120):
        lines = texts[-1].splitlines()
        spot = dice.randrange(len(lines))
        lines[spot] = lines[spot] if at % 3 else f"{lines[spot].split('#')[0]} # change {at}"
        lines.insert(spot, f"# line {at}, {dice.random():.9f}")
        texts.append("\n".join(lines) + "\n")
    with database.writing() as session:
        jobs = Jobs(session)
        job_id = jobs.add(texts[0], Head("Pier"), "Ada").id
        for at, text in enumerate(texts[1:], 1):
            jobs.change(job_id, at, text, Head("Pier"), "a change", "Ada")
    with database.reading() as session:
        jobs = Jobs(session)
        assert [jobs.version(job_id, n + 1).text for n in range(len(texts))] == texts
        held = session.scalar(select(func.sum(func.length(JobVersion.packed))))
        bases = session.scalar(select(func.count()).where(JobVersion.base.is_(None)))
    assert held is not None
    assert held * 10 < sum(len(text.encode()) for text in texts)  # 5 to 9 % of it when tried
    assert bases is not None
    assert bases < len(texts) / 4


@pytest.mark.parametrize(
    ("typed", "found"),
    [("grunwald", True), ("GRÜNWALD", True), ("Grünwald", True), ("smørgås", True),
     ("SMORGAS", True), ("STRASSE", True), ("łódź", True), ("lodz", True), ("grunwald hafen", True),
     ("grundwald", False), ("%", False), ("_", False)],
)  # fmt: skip
def test_searches_fold_case_and_accents(database: Database, typed: str, found: bool) -> None:
    head = Head("Smørgås-Abend", "Grünwald Łódź", "Hafenstraße")
    with database.writing() as session:
        Jobs(session).add('format = "airwright-job/1"\n', head, "Ada")
        Contacts(session).put(Card("client", "Grünwald Łódź", "Smørgås", address="Hafenstraße 2"))
    with database.reading() as session:
        assert len(Jobs(session).search(typed, today=TODAY)) == found
        assert Jobs(session).count(typed) == found
        assert len(Contacts(session).search(typed)) == found


def test_a_contact_of_any_alphabet_knows_its_jobs(database: Database) -> None:
    with database.writing() as session:
        Jobs(session).add("x", Head("Pier", "ÜNAL"), "Ada")
        contact = Contacts(session).put(Card("client", "Ünal"))
        assert [row.title for row in Contacts(session).jobs_of(contact)] == ["Pier"]


def test_folding_leaves_words_apart() -> None:
    assert folded("Ñandú ÆSØP") == "nandu aesop"
