"""The command that says what to order where and when, over all jobs: buy."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from airwright.cli import common
from airwright.cli.common import AsJson, StudioFile

if TYPE_CHECKING:
    from airwright.job.findings import Finding
    from airwright.job.studio import House
    from airwright.operations.buying.report import Report
    from airwright.operations.buying.supplier_file import SuppliersFile
    from airwright.operations.buying.values import Need, Swap, Wish
    from airwright.operations.goods import Goods, Lot
    from airwright.plan.values import Plan

MOST_SECONDS = 600.0
DEAREST_HOLDING = Decimal(5)

Jobs = Annotated[
    list[Path] | None,
    typer.Argument(metavar="JOB...", help="Job files whose needs are bought for."),
]
Needs = Annotated[
    Path | None,
    typer.Option("--needs", help="Needs counted by hand: a CSV file with item,shade,quantity,due."),
]
Suppliers = Annotated[Path, typer.Option("--suppliers", help="Suppliers' file with price lists.")]
Stock = Annotated[Path | None, typer.Option("--stock", help="Stock file: what is on the shelf.")]
Today = Annotated[
    str, typer.Option("--today", help="The first day an order can go out: 2027-05-03.")
]
Time = Annotated[
    str, typer.Option("--time", help="Time of day, for suppliers with a cut-off: 14:30.")
]
Horizon = Annotated[
    int | None, typer.Option("--horizon", help="Days ahead that are bought for; all if left out.")
]
Worth = Annotated[
    str, typer.Option("--worth", help="What a left-over counts for, as a share of its price.")
]
Holding = Annotated[
    str, typer.Option("--holding", help="Keeping goods for a year costs this share of their price.")
]
Wishes = Annotated[
    list[str] | None,
    typer.Option("--wish", help="few-suppliers, no-half-bags or season; goes before the price."),
]
Substitutes = Annotated[
    list[str] | None,
    typer.Option("--substitute", help="A shade that may stand in for another: coral=peach."),
]
Near = Annotated[
    float, typer.Option("--near", help="How far a proposed substitute may lie off (CIEDE2000).")
]
WhatIf = Annotated[
    list[Path] | None,
    typer.Option("--what-if", help="A job that is only thought of: what would it add?"),
]
Seconds = Annotated[
    float, typer.Option("--seconds", help="Time given to prove that nothing is cheaper.")
]
Out = Annotated[Path | None, typer.Option("--out", help="Folder the orders are written into.")]


def register(app: typer.Typer) -> None:
    """Add this command."""
    app.command()(buy)


def buy(
    suppliers: Suppliers,
    today: Today,
    jobs: Jobs = None,
    needs: Needs = None,
    stock: Stock = None,
    time: Time = "",
    horizon: Horizon = None,
    worth: Worth = "0",
    holding: Holding = "0",
    wish: Wishes = None,
    substitute: Substitutes = None,
    near: Near = 5.0,
    what_if: WhatIf = None,
    seconds: Seconds = 20.0,
    out: Out = None,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """What to order where and when, so that all is there in time at the least cost."""
    from airwright.job.findings import has_errors
    from airwright.operations.buying.report import gather_colours, report
    from airwright.operations.buying.supplier_file import old_lists, suppliers_of
    from airwright.operations.buying.values import Question

    first = _date(today)
    _check_usage(jobs, needs, horizon, near, seconds)
    price_list = _read_suppliers(suppliers, as_json)
    lots, told = _read_stock(stock, first, as_json)
    told += old_lists(price_list, first)
    plans = [_planned(file, studio, as_json) for file in jobs or []]
    thought_of = [_planned(file, studio, as_json) for file in what_if or []]
    wanted, found = _wanted(plans, needs, price_list, lots, first, horizon, as_json)
    more, _ = _needs_of(thought_of, price_list, lots, first, None)
    colours, odd = gather_colours(_colours([*plans, *thought_of], price_list))
    question = Question(
        needs=tuple(wanted),
        suppliers=suppliers_of(price_list),
        currency=price_list.currency,
        today=first,
        lots=lots,
        swaps=_swaps(substitute or [], [*wanted, *more]),
        order_time=_time(time),
        worth=_share("--worth", worth, Decimal(1)),
        holding=_share("--holding", holding, DEAREST_HOLDING),
        wishes=_wishes(wish or []),
    )
    told += [*found, *odd, *_currencies(plans, price_list)]
    with common.progress_bar("Buying"):
        made = report(
            question, colours=colours, limit=near, more=more, findings=told, seconds=seconds
        )
    house = common.load_studio(studio, (jobs or [suppliers])[0]).studio
    mails = {one.name: one.mail for one in price_list.suppliers}
    if out is not None:
        _write(made, out, house, mails)
    if as_json:
        from airwright.operations.buying.export import as_json as answer_json

        common.put_json(answer_json(made))
    else:
        from airwright.cli.buy_text import show_report

        show_report(made, out)
    if has_errors(made.findings):
        raise typer.Exit(common.EXIT_ERRORS)


def _write(made: Report, out: Path, house: House, mails: dict[str, str]) -> None:
    from airwright.papers.order import papers_of
    from airwright.papers.publish import PackError, publish

    try:
        publish(papers_of(made, house, mails), out)
    except PackError as problem:
        common.usage_error(problem.what, problem.mend)


# ---- what was asked ---------------------------------------------------------------------------


def _check_usage(
    jobs: list[Path] | None, needs: Path | None, horizon: int | None, near: float, seconds: float
) -> None:
    if not jobs and needs is None:
        common.usage_error(
            "Neither a job nor a list of needs is named.",
            "Name job files, or a CSV file with --needs.",
        )
    if horizon is not None and not 0 <= horizon <= 3650:
        common.usage_error(f"--horizon: {horizon} days make no sense.", "Use 0 to 3650.")
    if not 0 <= near <= 100:
        common.usage_error(f"--near: {near:g} is no colour difference.", "Use 0 to 100.")
    if not 0.1 <= seconds <= MOST_SECONDS:
        common.usage_error(f"--seconds: {seconds:g} is out of range.", "Use 0.1 to 600.")


def _date(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        common.usage_error(
            f'--today: "{text[:20]}" is no date.', "Write it as year-month-day: 2027-05-03"
        )


def _time(text: str) -> dt.time | None:
    if not text:
        return None
    if not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", text):
        common.usage_error(f'--time: "{text[:20]}" is no time of day.', "Write it like 14:30.")
    return dt.time.fromisoformat(text)


def _share(option: str, text: str, most: Decimal) -> Decimal:
    try:
        value = Decimal(text.strip())
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite() or not 0 <= value <= most:
        common.usage_error(
            f'{option}: "{text[:20]}" is no share.', f"Use a number from 0 to {most}."
        )
    return value


def _wishes(words: Sequence[str]) -> frozenset[Wish]:
    from airwright.operations.buying.values import Wish

    known = {wish.value: wish for wish in Wish}
    for word in words:
        if word not in known:
            common.usage_error(f'--wish: "{word[:30]}" is no wish.', f"Use {', '.join(known)}.")
    return frozenset(known[word] for word in words)


def _swaps(words: Sequence[str], needs: Sequence[Need]) -> tuple[Swap, ...]:
    from airwright.operations.buying.values import Swap
    from airwright.operations.goods import Goods, same_name

    found = []
    for word in words:
        shade, sign, instead = word.partition("=")
        if not sign or not shade.strip() or not instead.strip():
            common.usage_error(
                f'--substitute: "{word[:40]}" is none.', "Write it like coral=peach."
            )
        mine = {need.goods for need in needs if need.goods.shade == same_name(shade)}
        if not mine:
            common.usage_error(
                f'--substitute: nothing is needed in "{shade.strip()[:40]}".', "Check the name."
            )
        found += [Swap(goods, Goods.named(goods.shown_item, instead)) for goods in sorted(mine)]
    return tuple(found)


# ---- files ------------------------------------------------------------------------------------


def _read_suppliers(path: Path, as_json: bool) -> SuppliersFile:
    from airwright.operations.buying.supplier_file import read_suppliers

    reading = read_suppliers(_bytes(path, "Name the suppliers' file with --suppliers."))
    if reading.table is None:
        _refuse(reading.findings, path, as_json)
    return reading.table


def _read_stock(
    path: Path | None, today: dt.date, as_json: bool
) -> tuple[tuple[Lot, ...], list[Finding]]:
    from airwright.operations.stock.stock_file import lots_of, read_stock, too_old

    if path is None:
        return (), []
    reading = read_stock(_bytes(path, "Name the stock file with --stock, or leave it out."))
    if reading.table is None:
        _refuse(reading.findings, path, as_json)
    return lots_of(reading.table), [*reading.findings, *too_old(reading.table, today)]


def _bytes(path: Path, missing: str) -> bytes:
    from airwright.operations.toml_file import LARGEST_LIST

    return common.read_bytes(path, missing, most=LARGEST_LIST)


def _refuse(findings: Sequence[Finding], path: Path, as_json: bool) -> NoReturn:
    common.report(findings, path, as_json)
    raise typer.Exit(common.EXIT_ERRORS)


def _planned(file: Path, studio: Path | None, as_json: bool) -> Plan:
    from airwright.cli.job_commands import planned

    return planned(file, studio, as_json)


def _wanted(
    plans: Sequence[Plan],
    needs: Path | None,
    price_list: SuppliersFile,
    lots: Sequence[Lot],
    today: dt.date,
    horizon: int | None,
    as_json: bool,
) -> tuple[list[Need], list[Finding]]:
    from airwright.job.findings import has_errors
    from airwright.operations.buying.needs_file import in_horizon, read_needs

    wanted, found = _needs_of(plans, price_list, lots, today, horizon)
    if needs is not None:
        reading = read_needs(_bytes(needs, "Name the CSV file with --needs."))
        if has_errors(reading.findings):
            _refuse(reading.findings, needs, as_json)
        kept, odd = in_horizon(reading.needs, today, horizon)
        wanted += kept
        found += [*reading.findings, *odd]
    return wanted, found


def _needs_of(
    plans: Sequence[Plan],
    price_list: SuppliersFile,
    lots: Sequence[Lot],
    today: dt.date,
    horizon: int | None,
) -> tuple[list[Need], list[Finding]]:
    from airwright.operations.buying.needs_file import in_horizon, needs_of
    from airwright.operations.goods import same_name

    sold = {same_name(offer.item) for one in price_list.suppliers for offer in one.offers}
    sold |= {lot.goods.item for lot in lots}
    all_needs = [need for plan in plans for need in needs_of(plan, sold)]
    kept, found = in_horizon(all_needs, today, horizon)
    return list(kept), list(found)


def _colours(plans: Sequence[Plan], price_list: SuppliersFile) -> list[tuple[Goods, str]]:
    """Colours of goods: as the jobs say, then as the price lists say."""
    from airwright.operations.buying.needs_file import shade_colours
    from airwright.operations.goods import Goods

    found = [row for plan in plans for row in shade_colours(plan)]
    found += [
        (Goods.named(offer.item, offer.shade), offer.colour)
        for supplier in price_list.suppliers
        for offer in supplier.offers
        if offer.shade is not None and offer.colour is not None
    ]
    return found


def _currencies(plans: Sequence[Plan], price_list: SuppliersFile) -> list[Finding]:
    from airwright.job.findings import hint
    from airwright.language import message

    others = sorted({plan.job.job.currency for plan in plans} - {price_list.currency})
    if not others:
        return []
    what = message(
        "The jobs are priced in {theirs}, the price lists in {ours}; all amounts here are {ours}.",
        theirs=", ".join(others),
        ours=price_list.currency,
    )
    return [hint("two-currencies", "", what, message("Nothing is turned from one into the other."))]
