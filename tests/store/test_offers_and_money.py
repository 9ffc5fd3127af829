"""Editions, the client's yes, payments, and the queue of mail."""

from __future__ import annotations

import datetime as dt
import hashlib
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest

from airwright.store import Database, Overtaken, StoreError
from airwright.store.editions import Editions, FrozenFile, Refusal, Yes
from airwright.store.jobs import Head, Jobs
from airwright.store.links import Links
from airwright.store.mails import BOUNCED, FAILED, LEASE, RETRIES, SENT, WAITING, Mails, NewMail
from airwright.store.offer_tables import MailRow, PaymentRow
from airwright.store.payments import BookedTwice, NewPayment, Payments
from airwright.store.types import now

TODAY = dt.date(2027, 3, 1)
VALID = dt.date(2027, 3, 15)


@pytest.fixture
def job_id(database: Database) -> str:
    with database.writing() as session:
        return Jobs(session).add("x", Head("Pier opening"), "Ada").id


def freeze(database: Database, job_id: str, after: int, content: bytes = b"{}") -> str:
    files = {"a.svg": FrozenFile("a.svg", "image/svg+xml", b"<svg/>")}
    with database.writing() as session:
        row = Editions(session).freeze(
            job_id, content, files, after=after, planned={"hours": "3"}, version=1,
            valid_until=VALID, actor="Ada",
        )  # fmt: skip
        return row.id


def test_an_edition_stays_byte_for_byte(database: Database, job_id: str) -> None:
    edition = freeze(database, job_id, 0, '{"price": "350.00", "ähm": 1}'.encode())
    with database.reading() as session:
        row = Editions(session).get(edition, job_id)
        assert row.content == '{"price": "350.00", "ähm": 1}'.encode()
        assert row.fingerprint == hashlib.sha256(row.content).hexdigest()
        assert Editions(session).file(edition, "a.svg").content == b"<svg/>"
        assert Jobs(session).get(job_id).stage == "offered"


def test_two_people_send_at_once_and_one_is_told(database: Database, job_id: str) -> None:
    def send(_: int) -> str:
        try:
            return freeze(database, job_id, 0)
        except Overtaken as problem:
            return problem.what

    with ThreadPoolExecutor(4) as pool:
        said = list(pool.map(send, range(4)))
    assert sorted("sent edition 1" in word for word in said) == [
        False,
        True,
        True,
        True,
    ]
    with database.reading() as session:
        assert [row.number for row in Editions(session).of_job(job_id)] == [1]


def test_a_yes_is_final(database: Database, job_id: str) -> None:
    edition = freeze(database, job_id, 0)
    with database.writing() as session:
        taken = Editions(session).accept(edition, Yes("Classic", "Mara", note="lovely"), VALID)
        assert taken.at <= now()
        assert Jobs(session).get(job_id).stage == "accepted"
    for again in (Yes("Classic", "Mara"), Yes("Statement", "Somebody else")):
        with pytest.raises(Refusal, match=r"accepted on .* by Mara"), database.writing() as session:
            Editions(session).accept(edition, again, VALID)
    with pytest.raises(Refusal, match="cannot be withdrawn"), database.writing() as session:
        Editions(session).withdraw(job_id, edition)
    with database.reading() as session:
        held = Editions(session).accepted_of(job_id)
        assert held is not None
        assert held[1].option == "Classic"


def test_of_many_yeses_at_once_one_is_taken(database: Database, job_id: str) -> None:
    edition = freeze(database, job_id, 0)

    def accept(at: int) -> bool:
        try:
            with database.writing() as session:
                Editions(session).accept(edition, Yes("Classic", f"Mara {at}"), TODAY)
        except Refusal:
            return False
        return True

    with ThreadPoolExecutor(6) as pool:
        assert sum(pool.map(accept, range(12))) == 1


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        ("withdraw", "withdrawn"),
        ("overtake", "newer edition"),
        ("wait", "open until March 15, 2027"),
    ],
)
def test_what_is_no_longer_open_is_refused_in_words(
    database: Database, job_id: str, spoil: str, words: str
) -> None:
    edition, today = freeze(database, job_id, 0), TODAY
    if spoil == "withdraw":
        with database.writing() as session:
            Editions(session).withdraw(job_id, edition)
    elif spoil == "overtake":
        freeze(database, job_id, 1)
    else:
        today = VALID + dt.timedelta(days=1)
    with pytest.raises(Refusal, match=words) as caught, database.writing() as session:
        Editions(session).accept(edition, Yes("Classic", "Mara"), today)
    assert caught.value.mend
    with database.reading() as session:
        assert Editions(session).acceptance(edition) is None


def test_who_opened_when_counts_a_visit_once(database: Database, job_id: str) -> None:
    with database.writing() as session:
        link, _ = Links(session).make(job_id, 14)
        for _ in range(3):
            Editions(session).opened(link)
        assert [len(times) for times in Editions(session).openings(job_id).values()] == [1]


def test_a_job_with_a_yes_or_a_payment_stays(database: Database, job_id: str) -> None:
    edition = freeze(database, job_id, 0)
    with database.writing() as session:
        Editions(session).accept(edition, Yes("Classic", "Mara"), TODAY)
    with pytest.raises(StoreError, match="an accepted offer"), database.writing() as session:
        Jobs(session).remove(job_id)


def payment(job_id: str, key: str = "form-1", amount: str = "92.25") -> NewPayment:
    return NewPayment(key, Decimal(amount), "USD", TODAY, reference="wire 7", job_id=job_id)


def test_a_payment_is_booked_once(database: Database, job_id: str) -> None:
    with database.writing() as session:
        Payments(session).book(payment(job_id), "Ada")
    with pytest.raises(BookedTwice), database.writing() as session:
        Payments(session).book(payment(job_id), "Ada")
    with pytest.raises(BookedTwice, match=r"92\.25 USD"), database.writing() as session:
        Payments(session).book(payment(job_id, "form-2"), "Bo")
    with database.writing() as session:
        Payments(session).book(payment(job_id, "form-2"), "Bo", surely=True)
        assert len(Payments(session).of_job(job_id)) == 2


def test_one_form_sent_by_many_hands_books_once(database: Database, job_id: str) -> None:
    def book(_: int) -> bool:
        try:
            with database.writing() as session:
                Payments(session).book(payment(job_id), "Ada", surely=True)
        except BookedTwice:
            return False
        return True

    with ThreadPoolExecutor(6) as pool:
        assert sum(pool.map(book, range(12))) == 1


def test_a_slip_is_taken_back_once_and_both_rows_stay(database: Database, job_id: str) -> None:
    with database.writing() as session:
        slip = Payments(session).book(payment(job_id), "Ada").id
    with database.writing() as session:
        Payments(session).take_back(slip, "Bo", TODAY)
    with pytest.raises(BookedTwice), database.writing() as session:
        Payments(session).take_back(slip, "Bo", TODAY)
    with database.writing() as session:
        rows = Payments(session).of_job(job_id)
        assert sorted(row.amount for row in rows) == [Decimal("-92.25"), Decimal("92.25")]
        Payments(session).book(payment(job_id, "form-3"), "Ada")  # the right one, after all
        assert session.query(PaymentRow).count() == 3


def mail(database: Database) -> str:
    new = NewMail("offer", "mara@example.org", "Your offer", "<1@desk>", b"Subject: x\n\nhi")
    with database.writing() as session:
        return Mails(session).put(new, "Ada").id


def test_a_mail_is_claimed_once_tried_again_and_given_up(database: Database) -> None:
    mail_id = mail(database)
    for tries in range(len(RETRIES) + 1):
        with database.writing() as session:
            claimed = Mails(session).claim()
            assert claimed is not None
            assert Mails(session).claim() is None
            Mails(session).did_not_go(mail_id, "421 away", for_good=False)
            row = session.get_one(MailRow, mail_id)
            if tries < len(RETRIES):
                assert row.state == WAITING
                assert row.next_try is not None
                assert row.next_try > now()
                row.next_try = now()
    with database.writing() as session:
        assert session.get_one(MailRow, mail_id).state == FAILED
        Mails(session).again(mail_id)
        assert Mails(session).claim() is not None
        Mails(session).went(mail_id)
        assert session.get_one(MailRow, mail_id).state == SENT
        assert Mails(session).claim() is None


def test_a_refusal_for_good_is_not_tried_again_and_a_bounce_is_found(database: Database) -> None:
    mail_id = mail(database)
    with database.writing() as session:
        Mails(session).claim()
        Mails(session).did_not_go(mail_id, "550 no such user", for_good=True)
        assert session.get_one(MailRow, mail_id).state == BOUNCED
        assert Mails(session).bounced("<2@desk>", "x") is None
        found = Mails(session).bounced("<1@desk>", "550 5.1.1 unknown")
        assert found is not None
        assert "5.1.1" in found.said


def test_a_mail_of_a_dead_process_is_taken_up(database: Database) -> None:
    mail_id = mail(database)
    with database.writing() as session:
        Mails(session).claim()
        session.get_one(MailRow, mail_id).next_try = now() - 2 * LEASE
    with database.writing() as session:
        claimed = Mails(session).claim()
        assert claimed is not None
        assert claimed.id == mail_id
