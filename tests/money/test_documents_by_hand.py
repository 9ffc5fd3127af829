"""Rules of sums, invoices, payments and outcomes, each amount reckoned by hand in the test."""

import datetime as dt
from typing import Any

from airwright.money.invoices import (
    Earlier,
    InvoiceKind,
    credit_note,
    final_invoice,
    part_invoice,
)  # fmt: skip
from airwright.money.lines import Line, LineKind, line
from airwright.money.outcome import (
    Finished,
    Planned,
    Spending,
    Taken,
    by_client,
    by_kind,
    by_month,
    outcome,
    without_tax,
)  # fmt: skip
from airwright.money.payment_plan import Anchor, Part, deposit_of, shares
from airwright.money.payments import (
    Account,
    Payment,
    Receivable,
    State,
    by_age,
    put_to,
)  # fmt: skip
from airwright.money.reminders import ReminderRule, next_reminder
from airwright.money.tax import Tax, TaxBasis
from airwright.money.totals import Adjustment, broken_rules, net_lines, totals, totals_as_told
from tests.money.by_hand import DAY, REDUCED, STANDARD, D, dues, refused


def row(price: str, tax: Tax = STANDARD, quantity: int = 1) -> Line:
    return line(LineKind.PIECE, "x", D(price), "EUR", quantity=D(quantity), tax=tax)


def test_sums_of_a_document() -> None:
    """EN 16931-1: BT-106 to BT-115."""
    lines = [row("100.00"), row("50.00", REDUCED)]
    found = totals(
        "EUR", lines, [Adjustment("off", D("-10.00"), STANDARD), Adjustment("on", D(4), REDUCED)],
        prepaid=D(20), rounding=D("0.02"),
    )  # fmt: skip
    assert (found.lines, found.taken_off, found.added, found.net) == (150, 10, 4, 144)
    assert found.tax == D("20.88")  # 19 % of 90.00 is 17.10, 7 % of 54.00 is 3.78
    assert (found.gross, found.prepaid, found.rounding) == (D("164.88"), 20, D("0.02"))
    assert found.due == D("144.90")
    assert broken_rules(found, lines) == ()
    nothing = totals("EUR", [])
    assert [str(nothing.lines), str(nothing.due)] == ["0.00", "0.00"]


def test_rules_that_sums_may_break() -> None:
    """Each rule is broken by itself, and named."""
    from dataclasses import replace

    lines = [row("100.00")]
    good = totals("EUR", lines)
    group = good.groups[0]
    for change, rules in (
        ({"lines": D(99), "net": D(99), "gross": D(118), "due": D(118)}, ("BR-CO-10",)),
        ({"net": D(99), "gross": D(118), "due": D(118)}, ("BR-CO-13",)),
        ({"tax": D(18), "gross": D(118), "due": D(118)}, ("BR-CO-14",)),
        ({"gross": D(118), "due": D(118)}, ("BR-CO-15",)),
        ({"due": D(118)}, ("BR-CO-16",)),
        ({"groups": (replace(group, amount=D(18)),), "tax": D(18), "gross": D(118),
          "due": D(118)}, ("BR-CO-17",)),
        ({"due": D("119.001"), "rounding": D("0.001")}, ("BR-DEC",)),
    ):  # fmt: skip
        assert broken_rules(replace(good, **change), lines) == rules


def test_lines_told_with_their_tax() -> None:
    """Two lines of 10.00 at 19 %: 16.81 net together, 8.40 each, one cent to the first."""
    lines = [row("10.00"), row("5.00", quantity=2), row("1.07", REDUCED)]
    found, rounding = net_lines("EUR", lines)
    assert [one.price for one in found] == [D("8.41"), D("8.40"), D("1.00")]
    assert [one.unit_price for one in found] == [D("8.41"), D("4.20"), D("1.00")]
    assert rounding == 0  # 16.81 x 0.19 = 3.1939: 20.00
    sums = totals_as_told("EUR", lines, TaxBasis.INCLUDED)
    assert (sums.net, sums.tax, sums.due) == (D("17.81"), D("3.26"), D("21.07"))
    assert totals_as_told("EUR", lines, TaxBasis.ON_TOP).net == D("21.07")
    none = line(LineKind.PIECE, "x", D(0), "EUR", quantity=D(0), tax=STANDARD)
    assert net_lines("EUR", [none])[0][0].unit_price == 0


def test_a_final_invoice() -> None:
    lines = [row("100.00"), row("-10.00"), row("0.00", REDUCED)]
    found = final_invoice("EUR", lines, earlier=[Earlier("7", D("50.00"))])
    assert found.kind is InvoiceKind.FINAL
    assert found.lines == (lines[0], lines[2])
    assert found.adjustments == (Adjustment("x", D("-10.00"), STANDARD),)
    assert found.earlier == (Earlier("7", D("50.00")),)
    assert (found.totals.gross, found.totals.due) == (D("107.10"), D("57.10"))
    assert refused(final_invoice, "EUR", [row("5"), row("-5")]).mend == "Check prices and discount."


def test_parts_of_a_whole() -> None:
    whole = final_invoice("EUR", [row("100.00"), row("200.00", REDUCED)]).totals
    # 119.00 and 214.00 are 333.00; a third of it: 39.67 and 71.33
    found = part_invoice(InvoiceKind.DEPOSIT, "Deposit", D("111.00"), whole)
    assert found.kind is InvoiceKind.DEPOSIT
    assert [(one.kind, one.what, one.quantity, one.price, one.tax) for one in found.lines] == [
        (LineKind.DEPOSIT, "Deposit", D(1), D("33.34"), STANDARD),  # 39.67 / 1.19 = 33.336
        (LineKind.DEPOSIT, "Deposit", D(1), D("66.66"), REDUCED),  # 71.33 / 1.07 = 66.664
    ]
    assert found.totals.due == D("111.00")
    for wrong in ("0", "-1", "333.01"):
        said = refused(part_invoice, InvoiceKind.DEPOSIT, "x", D(wrong), whole)
        assert said.what == f"{wrong} is no part of 333.00."
    assert part_invoice(InvoiceKind.DEPOSIT, "x", D("333.00"), whole).totals.due == 333
    # of 0.01 only one group gets a cent, and the other no line
    tiny = part_invoice(InvoiceKind.INSTALMENT, "x", D("0.01"), whole)
    assert [one.tax for one in tiny.lines] == [REDUCED]


def test_credit_notes() -> None:
    lines = [row("100.00"), row("-10.00")]
    invoice = final_invoice("EUR", lines, earlier=[Earlier("7", D("50.00"))])
    whole = credit_note(invoice)
    assert whole.kind is InvoiceKind.CREDIT_NOTE
    assert (whole.lines, whole.adjustments, whole.earlier) == (
        invoice.lines, invoice.adjustments, invoice.earlier)  # fmt: skip
    assert whole.totals == invoice.totals
    half = credit_note(invoice, "One balloon less", D("11.90"))
    assert half.kind is InvoiceKind.CREDIT_NOTE
    assert [(one.kind, one.what, one.quantity, one.unit_price, one.price, one.tax)
            for one in half.lines] == [
        (LineKind.OTHER, "One balloon less", D(1), D("10.00"), D("10.00"), STANDARD)]  # fmt: skip
    assert (half.adjustments, half.earlier) == ((), ())
    assert half.totals.due == D("11.90")


def due(key: str, amount: str, day: int = 10, code: str = "EUR") -> Receivable:
    return Receivable(key, D(amount), code, dt.date(2027, 5, 1), dt.date(2027, 5, day))


def came(key: str, amount: str, day: int, invoice: str = "", reference: str = "") -> Payment:
    return Payment(key, D(amount), "EUR", dt.date(2027, 5, day), invoice, reference)


def test_payments_find_their_invoices() -> None:
    ledger = put_to(
        [due("2", "100", 20), due("1", "50", 10), due("3", "30", 5), due("4", "-5", 9)],
        [came("c", "60", 12), came("a", "100", 3, "2"), came("b", "15", 4, "3")],
        "EUR",
    )
    rows = [(one.receivable.number, one.paid, one.open, one.settled, one.state)
            for one in ledger.accounts]  # fmt: skip
    # 100 named for no. 2; 15 for no. 3; of the loose 60 no. 3, the oldest, takes 15 and no. 1 45
    assert rows == [
        ("2", 100, 0, dt.date(2027, 5, 3), State.PAID),
        ("1", 45, 5, None, State.PART_PAID),
        ("3", 30, 0, dt.date(2027, 5, 12), State.PAID),
        ("4", 0, -5, None, State.CREDIT),
    ]
    assert (ledger.open, ledger.unplaced, ledger.currency) == (5, 0, "EUR")
    more = put_to([due("1", "50")], [came("a", "70", 3)], "EUR")
    assert (more.accounts[0].paid, more.unplaced) == (50, 20)
    over = put_to([due("1", "50")], [came("a", "70", 3, "1")], "EUR")
    assert over.accounts[0].state is State.OVERPAID
    assert over.accounts[0].settled == dt.date(2027, 5, 3)
    assert over.open == 0
    # a loose payment earlier than a named one does not settle before it
    late = put_to([due("1", "50")], [came("a", "20", 3), came("b", "30", 8, "1")], "EUR")
    assert late.accounts[0].settled == dt.date(2027, 5, 8)
    assert put_to([due("1", "50")], [], "EUR").accounts[0].state is State.OPEN
    assert refused(put_to, [due("1", "50")], [came("a", "5", 3, "9")], "EUR").what == (
        'There is no invoice "9".')  # fmt: skip
    assert refused(put_to, [due("1", "50", code="USD")], [], "EUR").what == "USD cannot pay EUR."
    assert refused(came, "a", "0", 3).what == "A payment of nothing is none."


def test_how_late_an_invoice_is() -> None:
    one = due("1", "50", 10)
    today = dt.date(2027, 5, 15)
    assert Account(one, D(0), D(50), None).days_late(today) == 5
    assert Account(one, D(50), D(0), dt.date(2027, 5, 12)).days_late(today) == 2
    assert Account(one, D(50), D(0), dt.date(2027, 5, 9)).days_late(today) == 0


def test_ages_of_what_is_due() -> None:
    base = dt.date(2027, 5, 10)
    names = ("not due yet", "1 to 30 days", "31 to 60 days", "61 to 90 days", "over 90 days")
    ledger = put_to([due("1", "50")], [came("a", "20", 3)], "EUR")
    for late, at in ((-3, 0), (0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4)):
        found = by_age([ledger], base + dt.timedelta(days=late))
        assert tuple(found) == names
        assert [found[name] for name in names] == [30 if k == at else 0 for k in range(5)]
    both = by_age([ledger, put_to([due("2", "7")], [], "EUR")], base)
    assert both["not due yet"] == 37


def test_parts_and_the_balance() -> None:
    deposit = Part("Deposit", share=D("0.333"))
    fixed = Part("Fixed", amount=D(80), anchor=Anchor.EVENT, days=-30)
    balance = Part("Rest", share=D(0), anchor=Anchor.EVENT, days=3)
    found = shares(D("100.00"), "EUR", [deposit, fixed], balance)
    assert found == ((deposit, D("33.30")), (fixed, D("66.70")))
    assert shares(D(200), "EUR", [deposit, fixed], balance)[2] == (balance, D("53.40"))
    assert shares(D(0), "EUR", [deposit]) == ()
    assert shares(D(3), "EUR", [deposit], balance) == ((deposit, D("1.00")), (balance, D("2.00")))
    assert shares(D(1), "EUR", [], balance) == ((balance, D(1)),)
    assert deposit_of(D(101), "JPY", [Part("x", share=D("0.5"))]) == 51
    assert [part.what for part, _ in shares(D(10), "EUR", [])] == ["Balance"]
    assert refused(shares, D("-0.01"), "EUR", []).what == "Nothing is due of -0.01."
    assert deposit_of(D(100), "EUR", [deposit, fixed]) == D("33.30")
    assert deposit_of(D(100), "EUR", [Part("No", share=D(0)), fixed]) == 0
    found = dues(D(200), "EUR", [deposit, fixed], accepted=None, event=DAY, balance=balance)
    assert found == [
        ("Deposit", D("66.60"), None),
        ("Fixed", D(80), dt.date(2027, 4, 22)),
        ("Rest", D("53.40"), dt.date(2027, 5, 25)),
    ]
    assert Part("x", share=D(1)).share == 1
    assert Part("x", amount=D(0)).amount == 0
    for wrong in ({"share": D("1.01")}, {"share": D("-0.01")}, {"amount": D("-0.01")}, {},
                  {"share": D(0), "amount": D(0)}):  # fmt: skip
        refused(Part, "x", **wrong)


def test_reminders() -> None:
    rule = ReminderRule(after=7, every=14, most=2)
    assert next_reminder(DAY, [], rule) == dt.date(2027, 5, 29)
    written = [dt.date(2027, 5, 29)]
    assert next_reminder(DAY, written, rule) == dt.date(2027, 6, 12)
    assert next_reminder(DAY, [dt.date(2027, 5, 1)], rule) == dt.date(2027, 6, 5)
    assert next_reminder(DAY, [*written, dt.date(2027, 6, 12)], rule) is None
    assert next_reminder(DAY, [], ReminderRule(1, 1, 0)) is None
    for wrong in ((0, 1, 1), (1, 0, 1), (1, 1, -1)):
        assert "a day after" in refused(ReminderRule, *wrong).what


PLANNED = Planned(
    "EUR", hours=D("4.006"), labour=D("128.20"), materials=D("11.18"), other=D("91.60"),
    shares=D("58.87"), net=D("306.00"), total=D("331.25"),
)  # fmt: skip


def test_planned_beside_actual() -> None:
    assert PLANNED.cost == D("289.85")
    assert PLANNED.margin == D("16.15")
    found = outcome(PLANNED, Taken(hours=D(5), bought=D(20), spent=D(100), received=D(300)), D(32))
    rows = [(one.what, one.planned, one.actual, one.noted) for one in found.rows]
    assert rows == [
        (Spending.LABOUR, D("128.20"), D("160.00"), True),  # 5 h at 32
        (Spending.MATERIALS, D("11.18"), D("20"), True),
        (Spending.OTHER, D("91.60"), D("100"), True),
        (Spending.SHARES, D("58.87"), D("58.87"), False),
    ]
    assert (found.planned_cost, found.cost) == (D("289.85"), D("338.87"))
    # 300 x 306.00 / 331.25 = 277.1321
    assert (found.earned, found.tax) == (D("277.13"), D("22.87"))
    assert (found.planned_margin, found.margin) == (D("16.15"), D("-61.74"))
    assert found.margin_share == D("-61.74") / D("277.13")
    same = outcome(PLANNED, Taken(hours=D("4.01")), D(32))  # 4.006 h to a hundredth
    assert same.rows[0].actual == D("128.20")
    assert same.rows[0].noted
    assert [one.noted for one in same.rows[1:]] == [False, False, False]
    assert (same.earned, same.tax, same.margin, same.margin_share) == (None, 0, None, None)
    for wrong in ({"hours": D(-1)}, {"bought": D(-1)}, {"spent": D(-1)}):
        assert refused(outcome, PLANNED, Taken(**wrong), D(32)).what == "-1 was not taken."
    assert outcome(PLANNED, Taken(hours=D(0), bought=D(0), spent=D(0)), D(32)).cost == D("58.87")
    assert outcome(PLANNED, Taken(received=D(0)), D(32)).margin_share is None
    free = Planned("EUR", D(0), D(0), D(0), D(0), D(0), D(0), D(0))
    assert without_tax(D(7), free) == 7


def test_a_season() -> None:
    jobs = [
        Finished("1", "Ada", dt.date(2027, 6, 1), (("arch", D("0.25")), ("column", D("0.75"))),
                 D(400), D(100), D(8)),
        Finished("2", "", dt.date(2027, 5, 9), (("arch", D(1)),), D(100), D(90), D(2)),
        Finished("3", "Ada", dt.date(2027, 6, 30), (("column", D(1)),), D(50), D(60), D(1)),
    ]  # fmt: skip

    def rows(found: Any) -> list[tuple[Any, ...]]:
        return [(r.name, r.jobs, r.net, r.cost, r.hours, r.margin) for r in found]

    assert rows(by_client(jobs)) == [("Ada", 2, 450, 160, 9, 290), ("–", 1, 100, 90, 2, 10)]
    assert rows(by_month(jobs)) == [
        ("2027-05", 1, 100, 90, 2, 10),
        ("2027-06", 2, 450, 160, 9, 290),
    ]
    assert rows(by_kind(jobs)) == [
        ("column", 2, 350, 135, 7, 215), ("arch", 2, 200, 115, 4, 85)]  # fmt: skip
