"""Payment plans, invoices and payments: parts add up, and nothing is counted twice."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.money.amount import MoneyError
from airwright.money.invoices import (
    Earlier,
    InvoiceKind,
    credit_note,
    final_invoice,
    part_invoice,
)
from airwright.money.lines import LineKind, line
from airwright.money.payment_plan import Anchor, Part, deposit_of
from airwright.money.payments import Payment, Receivable, State, by_age, put_to
from airwright.money.tax import Tax, TaxBasis
from airwright.money.totals import broken_rules, net_lines
from tests.money.by_hand import dues

HALF = Part("Deposit", share=Decimal("0.5"))
EVENT = dt.date(2027, 5, 22)
ACCEPTED = dt.date(2027, 3, 1)
TAXES = (Tax(Decimal("0.19")), Tax(Decimal("0.07")))


@given(
    st.decimals("0.01", 99999, places=2),
    st.lists(st.decimals(0, 1, places=3), max_size=5),
    st.sampled_from(["USD", "EUR"]),
)
def test_a_payment_plan_adds_up(total: Decimal, shares: list[Decimal], currency: str) -> None:
    parts = [Part(f"Part {at}", share=share) for at, share in enumerate(shares)]
    found = dues(total, currency, parts, accepted=ACCEPTED, event=EVENT)
    assert sum(amount for _, amount, _ in found) == total
    assert all(amount > 0 for _, amount, _ in found)
    assert all(day is not None and day >= ACCEPTED for _, _, day in found)


def test_the_days_of_a_payment_plan() -> None:
    parts = [HALF, Part("Second", amount=Decimal(100), anchor=Anchor.EVENT, days=-30)]
    balance = Part("Balance", share=Decimal(0), anchor=Anchor.EVENT, days=-7)
    found = dues(Decimal("501.01"), "USD", parts, accepted=ACCEPTED, event=EVENT, balance=balance)
    assert [(amount, day) for _, amount, day in found] == [
        (Decimal("250.51"), ACCEPTED),
        (Decimal("100.00"), dt.date(2027, 4, 22)),
        (Decimal("150.50"), dt.date(2027, 5, 15)),
    ]
    late = dues(Decimal(500), "USD", parts, accepted=dt.date(2027, 5, 20), event=EVENT)
    assert min(day for _, _, day in late if day) == dt.date(2027, 5, 20)
    assert dues(Decimal(5), "USD", [HALF], accepted=None, event=EVENT)[0][2] is None
    assert deposit_of(Decimal("501.01"), "USD", parts) == Decimal("250.51")
    assert deposit_of(Decimal(500), "USD", []) == 0


def test_a_part_is_a_share_or_an_amount() -> None:
    for wrong in ({}, {"share": Decimal(1), "amount": Decimal(1)}, {"share": Decimal(2)},
                  {"amount": Decimal(-1)}):  # fmt: skip
        with pytest.raises(MoneyError):
            Part("x", **wrong)


whole_jobs = st.lists(
    st.tuples(st.decimals(1, 5000, places=2), st.integers(1, 9), st.sampled_from(TAXES)),
    min_size=1,
    max_size=8,
)


@given(whole_jobs, st.sampled_from(list(TaxBasis)), st.decimals("0.05", "0.95", places=2))
def test_deposit_and_final_invoice_come_to_the_whole(
    rows: list[tuple[Decimal, int, Tax]], basis: TaxBasis, share: Decimal
) -> None:
    lines = [
        line(LineKind.PIECE, "x", each, "EUR", quantity=Decimal(n), tax=tax)
        for each, n, tax in rows
    ]
    lines.append(line(LineKind.DISCOUNT, "Discount", Decimal("-0.50"), "EUR", tax=rows[0][2]))
    whole = final_invoice("EUR", lines, basis=basis)
    asked = (whole.totals.due * share).quantize(Decimal("0.01"))
    first = part_invoice(InvoiceKind.DEPOSIT, "Deposit", asked, whole.totals)
    last = final_invoice("EUR", lines, basis=basis, earlier=[Earlier("1", first.totals.due)])
    assert first.totals.due == asked
    assert first.totals.due + last.totals.due == whole.totals.due
    for invoice in (first, last, whole):
        assert broken_rules(invoice.totals, invoice.lines) == ()
        assert all(one.price >= 0 for one in invoice.lines), "BR-27: no price below zero"
    back = credit_note(last)
    assert back.totals == last.totals
    part = credit_note(whole, "One column came late", asked)
    assert part.totals.due == asked


def test_invoices_over_nothing_are_refused() -> None:
    nothing = [line(LineKind.PIECE, "x", Decimal(5), "USD"),
               line(LineKind.DISCOUNT, "d", Decimal(-5), "USD")]  # fmt: skip
    with pytest.raises(MoneyError):
        final_invoice("USD", nothing)
    whole = final_invoice("USD", nothing[:1])
    for gross in ("0", "-1", "5.01"):
        with pytest.raises(MoneyError):
            part_invoice(InvoiceKind.DEPOSIT, "Deposit", Decimal(gross), whole.totals)


def test_a_deposit_may_be_all_of_it_and_bears_the_tax_of_the_whole() -> None:
    """119.00 at 19 % is 100.00 and 19.00, whether asked at once or at the end."""
    whole = final_invoice("EUR", [line(LineKind.PIECE, "x", Decimal(100), "EUR", tax=TAXES[0])])
    assert whole.totals.due == Decimal("119.00")
    first = part_invoice(InvoiceKind.DEPOSIT, "Deposit", Decimal("119.00"), whole.totals)
    (one,) = first.lines
    assert (one.price, one.tax.rate) == (Decimal("100.00"), Decimal("0.19"))
    assert (first.totals.net, first.totals.tax) == (Decimal("100.00"), Decimal("19.00"))


def test_lines_told_with_tax_keep_the_price_of_one() -> None:
    """3 at 11.90 with 19 % are 30.00 before tax, 10.00 each."""
    told = [line(LineKind.PIECE, "x", Decimal("11.90"), "EUR", quantity=Decimal(3), tax=TAXES[0])]
    (one,), rounding = net_lines("EUR", told)
    assert (one.quantity, one.unit_price, one.price) == (3, Decimal(10), Decimal("30.00"))
    assert rounding == 0


def test_a_cent_that_no_net_amount_leads_to_is_the_rounding_of_the_invoice() -> None:
    """0.03 with 19 %: net 0.03 and tax 0.01 come to 0.04, so that a cent is rounded off."""
    told = [line(LineKind.PIECE, "x", Decimal("0.03"), "EUR", tax=TAXES[0])]
    sums = final_invoice("EUR", told, basis=TaxBasis.INCLUDED).totals
    assert (sums.gross, sums.rounding, sums.due) == (
        Decimal("0.04"), Decimal("-0.01"), Decimal("0.03"),
    )  # fmt: skip


def test_a_refused_invoice_says_why_and_what_to_do() -> None:
    with pytest.raises(MoneyError) as refused:
        final_invoice("USD", [])
    assert "over nothing" in refused.value.what
    assert "discount" in refused.value.mend


def receivable(number: str, amount: str, due: dt.date) -> Receivable:
    return Receivable(number, Decimal(amount), "USD", ACCEPTED, due)


def pay(key: str, amount: str, day: int, invoice: str = "") -> Payment:
    return Payment(key, Decimal(amount), "USD", dt.date(2027, 4, day), invoice)


def test_payments_pay_the_oldest_first_and_what_they_name() -> None:
    rows = [receivable("1", "100", dt.date(2027, 4, 1)), receivable("2", "50", dt.date(2027, 4, 9))]
    ledger = put_to(rows, [pay("a", "30", 2, "2"), pay("b", "60", 3)], "USD")
    assert [account.open for account in ledger.accounts] == [40, 20]
    assert [account.state for account in ledger.accounts] == [State.PART_PAID, State.PART_PAID]
    ledger = put_to(rows, [pay("a", "100", 5), pay("b", "70", 6), pay("c", "-20", 7, "2")], "USD")
    assert ledger.accounts[0].settled == dt.date(2027, 4, 6)
    assert ledger.open == 0
    over = put_to(rows, [pay("a", "130", 5, "1")], "USD").accounts[0]
    assert over.state is State.OVERPAID
    assert over.days_late(dt.date(2027, 9, 1)) == 4


def test_the_oldest_is_paid_first_in_whatever_order_invoices_stand() -> None:
    rows = [receivable("2", "50", dt.date(2027, 4, 9)), receivable("1", "100", dt.date(2027, 4, 1))]
    ledger = put_to(rows, [pay("a", "100", 5)], "USD")
    assert [account.open for account in ledger.accounts] == [50, 0]


@given(
    st.lists(st.decimals("0.01", 500, places=2), min_size=1, max_size=6),
    st.lists(st.decimals("0.01", 500, places=2), max_size=6),
)
def test_no_cent_is_lost_or_made(due: list[Decimal], came: list[Decimal]) -> None:
    rows = [receivable(str(at), str(amount), EVENT) for at, amount in enumerate(due)]
    money = [pay(str(at), str(amount), 1) for at, amount in enumerate(came)]
    ledger = put_to(rows, money, "USD")
    assert sum(a.paid for a in ledger.accounts) + ledger.unplaced == sum(came, Decimal(0))
    assert ledger.open == max(sum(due) - sum(came, Decimal(0)), 0)
    assert sum(by_age([ledger], EVENT).values()) == ledger.open


def test_what_is_due_is_told_by_its_age() -> None:
    days = (0, 1, 30, 31, 60, 61, 90, 91)
    rows = [receivable(str(n), "1", EVENT - dt.timedelta(days=n)) for n in days]
    assert list(by_age([put_to(rows, [], "USD")], EVENT).values()) == [1, 2, 2, 2, 1]


def test_money_for_no_invoice_or_in_another_currency_is_refused() -> None:
    again = Payment("b", Decimal(5), "USD", EVENT, "1", "ref 7")
    with pytest.raises(MoneyError):
        put_to([], [again], "USD")
    with pytest.raises(MoneyError):
        put_to([receivable("1", "5", EVENT)], [again], "EUR")
