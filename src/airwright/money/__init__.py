"""Amounts and rules: prices, tax, offers, invoices, payments, results. Knows no decor.

Everything here is a frozen value or a plain function: no clock, no file, no database. Dates and
numbers come in as arguments. Inside, numbers are `Decimal`; a document (an offer, an invoice)
has one currency, said once on it.

| file | holds |
| --- | --- |
| `amount.py` | the one door for numbers, `Amount` with its currency, the rounding rule, sharing |
| `reading.py` | amounts as people type them, and what is wrong with them in words |
| `currency.py` | dated rates; never one to one |
| `tax.py` | a tax, tax groups, tax on top or included |
| `lines.py` | `Line`: what is sold, how many, for how much |
| `totals.py` | a document's sums as EN 16931 names them (BT-106 to 115), and BR-CO-10 to 17 |
| `payment_plan.py` | deposit, instalments, balance, each with its day |
| `invoices.py` | deposit, instalment and final invoice, credit note: lines and sums |
| `payments.py` | money in: what is paid, open, too much, late, twice; what is due by age |
| `price.py` | from what a piece costs to what it is sold for, the same in every job |
| `charges.py` | job lines (delivery, set-up …), each by the studio's rule |
| `options.py` | an option's lines: pieces, quantity price, job lines, discount, package, minimum |
| `outcome.py` | planned beside actual without tax, and what a season earned |

One rounding rule: to the currency's smallest unit, halves away from zero (`amount.rounded`).
Tax is rounded once a tax group, on the group's total (EN 16931, BR-CO-17).
What cannot be right raises `MoneyError`, which says what is wrong and how to mend it.
"""
