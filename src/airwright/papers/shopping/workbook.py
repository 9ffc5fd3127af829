"""shopping.xlsx: three sheets with sums that stay sums.

Texts are written as texts, so that a name that begins with "=" is a name. Every formula carries
the value we reckoned, for viewers that do not calculate.
"""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from airwright.language import Text, counted, message, say, sentences
from airwright.language.figures import said_share
from airwright.money.amount import cent
from airwright.papers.common.mark import mark_line
from airwright.papers.common.trade_words import item_word, use_word
from airwright.papers.shopping.list import bags_text
from airwright.papers.shopping.model import BalloonBuy, ItemBuy, Shopping
from airwright.units import FOOT3_M3, FOOT_M, POUND_KG, System

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

INK, WASH, LINE = "#22303a", "#f4f1ec", "#d5dce0"
TOP: Final = 3
"""Row of the column heads, counted from 0; above it stand title and job."""
PAPER_A4, PAPER_LETTER = 9, 1
LONGEST_CELL: Final = 32767
Heads = tuple[tuple[Text, int], ...]
"""Column heads with their widths [characters]."""
IN_FEET: Final = {"m": ("ft", FOOT_M), "kg": ("lb", POUND_KG), "m3": ("ft³", FOOT3_M3)}
"""Our units → what a studio that reads feet buys in, and how much of ours one of it is."""

BALLOON_HEADS: Final[Heads] = (
    (message("Balloon"), 26),
    (message("Size (in)"), 9),
    (message("Shade"), 22),
    (message("Used"), 8),
    (message("Spare"), 8),
    (message("Total"), 8),
    (message("On the shelf"), 12),
    (message("Bags"), 16),
    (message("In the bags"), 11),
    (message("Left over"), 10),
    (message("Each, from"), 12),
    (message("Price"), 13),
    (message("Got"), 6),
)
ITEM_HEADS: Final[Heads] = (
    (message("Item"), 30),
    (message("For"), 12),
    (message("Used"), 10),
    (message("Spare"), 10),
    (message("Total"), 10),
    (message("Unit"), 7),
    (message("On the shelf"), 12),
    (message("To buy"), 10),
    (message("Each"), 12),
    (message("Price"), 13),
    (message("Lasts (jobs)"), 11),
    (message("Got"), 6),
)


class _Formats:
    """Cell formats, made once a workbook."""

    def __init__(self, book: Workbook, currency: str) -> None:
        digits = -int(cent(currency).as_tuple().exponent)
        zeros = "0." + "0" * digits if digits else "0"
        # The code in brackets is text in every locale; a "$" would turn into the reader's own.
        money = f"[${currency}] #,##{zeros}"
        small = f"[${currency}] #,##0." + "0" * max(digits, 3)
        body: dict[str, Any] = {"bottom": 1, "bottom_color": LINE, "valign": "top"}
        strong: dict[str, Any] = {"bold": True, "top": 1, "top_color": INK}

        def made(*parts: dict[str, Any]) -> Format:
            merged: dict[str, Any] = {"font_name": "Calibri", "font_size": 11}
            for part in parts:
                merged |= part
            return book.add_format(merged)

        self.title = made({"font_size": 16, "bold": True, "font_color": INK})
        self.note = made({"font_color": "#5d6b75"})
        self.head = made(
            {"bold": True, "bg_color": WASH, "bottom": 2, "bottom_color": INK, "text_wrap": True}
        )
        self.text = made(body, {"text_wrap": True})
        self.count = made(body, {"num_format": "#,##0"})
        self.size = made(body, {"num_format": "0.##"})
        self.length = made(body, {"num_format": "#,##0.00"})
        self.each = made(body, {"num_format": small})
        self.money = made(body, {"num_format": money})
        self.entry = made(body, {"num_format": "#,##0.##", "bg_color": "#fffbe6"})
        self.sum_text = made(strong)
        self.sum_count = made(strong, {"num_format": "#,##0"})
        self.sum_money = made(strong, {"num_format": money})
        self.box = made(body, {"align": "center"})


def xlsx_of(model: Shopping, paper: str = "A4") -> bytes:
    """The list as a workbook.

    Args:
        model: what it says.
        paper: "A4" or "Letter", for printing.
    """
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    )
    # A stamp of the list's own day: equal lists give equal bytes.
    book.set_properties(
        {
            "title": say(message("Shopping list: {title}", title=model.occasion.title))[:250],
            "author": model.masthead.studio[:250],
            "created": dt.datetime.combine(model.made, dt.time(), dt.UTC),
        }
    )
    formats = _Formats(book, model.currency)
    names = _Names(
        say(message("Summary")), say(message("Balloons")), say(message("Everything else"))
    )
    summary = _sheet(book, names.summary, model, formats, paper)
    balloons = _balloons(_sheet(book, names.balloons, model, formats, paper), model, formats)
    items = _items(_sheet(book, names.items, model, formats, paper), model, formats)
    _summary(summary, model, formats, names, (balloons, items))
    book.close()
    return out.getvalue()


def _sheet(book: Workbook, name: str, model: Shopping, formats: _Formats, paper: str) -> Worksheet:
    sheet = book.add_worksheet(name)
    sheet.hide_gridlines(2)
    sheet.set_landscape()
    sheet.set_paper(PAPER_LETTER if paper == "Letter" else PAPER_A4)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
    foot = f"{model.occasion.title[:60]} · {say(mark_line(model.mark))}"
    sheet.set_footer(f"&L{_footer(foot)}&R&P / &N")
    first = not book.worksheets()[1:]
    _text(sheet, 0, 0, say(message("Shopping list")) if first else name, formats.title)
    where = ", ".join(say(part) for part in (model.occasion.title, model.occasion.date) if part)
    _text(sheet, 1, 0, f"{where} · {say(mark_line(model.mark))}", formats.note)
    return sheet


def _footer(text: str) -> str:
    """A text for a printed footer, where "&" begins a command; 255 characters hold all of it."""
    return text[:100].replace("&", "&&")


def _heads(sheet: Worksheet, heads: Heads, rows: int, f: _Formats) -> None:
    for at, (head, width) in enumerate(heads):
        sheet.set_column(at, at, width)
        sheet.write_string(TOP, at, say(head), f.head)
    sheet.freeze_panes(TOP + 1, 1)
    sheet.repeat_rows(TOP)
    if rows:
        sheet.autofilter(TOP, 0, TOP + rows, len(heads) - 1)


def _balloons(sheet: Worksheet, model: Shopping, f: _Formats) -> int:
    """Fill the sheet of balloons; returns the row of its sums, counted from 1."""
    _heads(sheet, BALLOON_HEADS, len(model.balloons), f)
    for at, row in enumerate(model.balloons):
        _balloon(sheet, TOP + 1 + at, row, f)
    first, last = TOP + 2, TOP + 1 + len(model.balloons)
    end = last
    sheet.write_string(end, 0, say(message("Together")), f.sum_text)
    for column in (1, 2, 7, 10, 12):
        sheet.write_blank(end, column, None, f.sum_text)
    rows = model.balloons
    sums = {
        3: sum(row.used for row in rows),
        4: sum(row.spare for row in rows),
        5: sum(row.total for row in rows),
        6: sum(row.shelf for row in rows),
        8: sum(row.bought for row in rows),
        9: sum(row.left for row in rows),
    }
    for column, value in sums.items():
        _sum(sheet, end, column, (first, last), f.sum_count, value)
    _sum(sheet, end, 11, (first, last), f.sum_money, model.balloons_price)
    return end + 1


def _balloon(sheet: Worksheet, at: int, row: BalloonBuy, f: _Formats) -> None:
    n = at + 1
    _text(sheet, at, 0, say(item_word(row.item)), f.text)
    sheet.write_number(at, 1, row.size_in, f.size)
    _text(sheet, at, 2, row.shade, f.text)
    sheet.write_number(at, 3, row.used, f.count)
    sheet.write_number(at, 4, row.spare, f.count)
    sheet.write_formula(at, 5, f"=D{n}+E{n}", f.count, row.total)
    sheet.write_number(at, 6, row.shelf, f.count)
    _text(sheet, at, 7, bags_text(row), f.text)
    holds = "+".join(f"{bag.bags}*{bag.holds}" for bag in row.bags) or "0"
    sheet.write_formula(at, 8, f"={holds}", f.count, row.bought)
    sheet.write_formula(at, 9, f"=I{n}+G{n}-F{n}", f.count, row.left)
    sheet.write_number(at, 10, float(row.each), f.each)
    prices = "+".join(f"{bag.bags}*{bag.price:f}" for bag in row.bags) or "0"
    sheet.write_formula(at, 11, f"=ROUND({prices},{_places(row.price)})", f.money, float(row.price))
    sheet.write_blank(at, 12, None, f.box)


def _items(sheet: Worksheet, model: Shopping, f: _Formats) -> int:
    """Fill the sheet of everything else; returns the row of its sums, counted from 1."""
    _heads(sheet, ITEM_HEADS, len(model.items), f)
    for at, row in enumerate(model.items):
        _item(sheet, TOP + 1 + at, in_units(row, model.system), f)
    first, last = TOP + 2, TOP + 1 + len(model.items)
    sheet.write_string(last, 0, say(message("Together")), f.sum_text)
    for column in (*range(1, 9), 10, 11):
        sheet.write_blank(last, column, None, f.sum_text)
    _sum(sheet, last, 9, (first, last), f.sum_money, model.items_price)
    note = message(
        "What lasts for many jobs and was never counted in your stock is taken to be on the shelf; "
        'put the true number under "On the shelf": what is missing is counted and priced.'
    )
    _text(sheet, last + 2, 0, say(note), f.note)
    return last + 1


def _item(sheet: Worksheet, at: int, row: ItemBuy, f: _Formats) -> None:
    n, total = at + 1, round(row.total, 6)
    figure = f.count if row.unit == "each" else f.length
    up = f"ROUNDUP(E{n}-G{n},0)" if row.unit == "each" else f"E{n}-G{n}"
    item = say(item_word(row.item))
    _text(sheet, at, 0, f"{item}, {row.shade}" if row.shade else item, f.text)
    _text(sheet, at, 1, say(use_word(row.use)), f.text)
    sheet.write_number(at, 2, round(row.used, 6), figure)
    sheet.write_number(at, 3, round(row.spare, 6), figure)
    sheet.write_formula(at, 4, f"=C{n}+D{n}", figure, total)
    unit = say(message("each")) if row.unit == "each" else row.unit.replace("m3", "m³")
    _text(sheet, at, 5, unit, f.text)
    sheet.write_number(at, 6, round(row.shelf, 6), f.entry)
    sheet.write_formula(at, 7, f"=MAX(0,{up})", figure, round(row.buy, 6))
    sheet.write_number(at, 8, float(row.each), f.each)
    formula = f"=ROUND(H{n}*I{n},{_places(row.price)})"
    sheet.write_formula(at, 9, formula, f.money, float(row.price))
    sheet.write_number(at, 10, row.lasts, f.count)
    sheet.write_blank(at, 11, None, f.box)


def in_units(row: ItemBuy, system: System) -> ItemBuy:
    """An item in the units the studio buys in; its price stays."""
    if system is System.METRIC or row.unit not in IN_FEET:
        return row
    unit, one = IN_FEET[row.unit]
    return replace(
        row,
        unit=unit,
        used=row.used / one,
        spare=row.spare / one,
        shelf=row.shelf / one,
        each=row.each * Decimal(str(one)),
    )


@dataclass(frozen=True, slots=True)
class _Names:
    """The sheets, as their tabs call them."""

    summary: str
    balloons: str
    items: str


def _summary(
    sheet: Worksheet, model: Shopping, f: _Formats, names: _Names, ends: tuple[int, int]
) -> None:
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 1, 20)
    rows = (
        (message("Balloons, by the bag"), f"='{names.balloons}'!L{ends[0]}", model.balloons_price),
        (message("Everything else"), f"='{names.items}'!J{ends[1]}", model.items_price),
    )
    for at, (words, formula, value) in enumerate(rows):
        _text(sheet, TOP + at, 0, say(words), f.text)
        sheet.write_formula(TOP + at, 1, formula, f.money, float(value))
    _text(sheet, TOP + 2, 0, say(message("Purchase together")), f.sum_text)
    sheet.write_formula(TOP + 2, 1, f"=B{TOP + 1}+B{TOP + 2}", f.sum_money, float(model.price))
    at = TOP + 4
    _text(sheet, at, 0, say(message("For")), f.note)
    for k, piece in enumerate(model.pieces):
        _text(sheet, at + 1 + k, 0, piece, f.text)
    left = sum(row.left for row in model.balloons)
    at += 2 + len(model.pieces)
    note = sentences(
        counted(
            "{n} balloon is left over for the shelf.",
            "{n} balloons are left over for the shelf.",
            left,
        ),
        message(
            "Spares cover what bursts: the chance that any line runs short is {chance}, all lines "
            "of the job together.",
            chance=said_share(Decimal(str(round(model.chance_short, 3)))),
        ),
    )
    _text(sheet, at, 0, say(note), f.note)


def _sum(
    sheet: Worksheet,
    at: int,
    column: int,
    rows: tuple[int, int],
    form: Format,
    value: Decimal | int,
) -> None:
    """A sum over rows counted from 1; 0 where there are none."""
    letter, (first, last) = chr(ord("A") + column), rows
    formula = f"=SUM({letter}{first}:{letter}{last})" if last >= first else "=0"
    sheet.write_formula(at, column, formula, form, float(value))


def _places(amount: Decimal) -> int:
    """Decimals a rounded amount is written with."""
    return max(0, -int(amount.as_tuple().exponent))


def _text(sheet: Worksheet, row: int, column: int, text: str, form: Format) -> None:
    """A text that stays a text, without characters XML forbids."""
    clean = "".join(char for char in text if char >= " " or char in "\t\n")
    sheet.write_string(row, column, clean[:LONGEST_CELL], form)
