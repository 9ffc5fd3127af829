"""Options reckoned side by side: each its pieces at their own prices, and the lines beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from airwright.catalog import Catalog
from airwright.job.findings import Finding, caution, error, hint
from airwright.job.models import Job, OptionSpec
from airwright.job.studio import Studio
from airwright.language import message
from airwright.language.figures import said_money
from airwright.money.amount import ZERO, MoneyError
from airwright.money.charges import JobFacts, exempt_reason, job_lines
from airwright.money.lines import Line, sum_of
from airwright.money.options import PieceSale, option_lines, piece_lines
from airwright.money.price import PiecePrice, tax_of
from airwright.plan.crew import job_work
from airwright.plan.money import Costs, reckon
from airwright.plan.needs import material_cost, needs_of, rental_cost
from airwright.plan.piece_costs import is_set_up, is_take_down, wage
from airwright.plan.piece_values import Money, PiecePlan, WorkLine
from airwright.plan.values import OptionPlan


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Lines, money and hands' time [h] of some pieces as one job of their own."""

    lines: tuple[Line, ...]
    money: Money
    hours: float


def plan_option(
    option: OptionSpec,
    pieces: Sequence[PiecePlan],
    job: Job,
    catalog: Catalog,
    studio: Studio,
) -> OptionPlan:
    """One option: how many of each piece, crew, hours, lines and money. Raises MoneyError."""
    own = with_counts(option, pieces)
    common = job_work(own, job, catalog, studio)
    whole = reckon_pieces(own, job, common.lines, catalog, studio, option)
    return OptionPlan(
        option=option,
        pieces=own,
        balloons=sum(len(piece.assembly) * piece.count for piece in own),
        hours=whole.hours,
        job_work=common.lines,
        crew=common.crew,
        money=whole.money,
        lines=whole.lines,
        door=job.venue.door,
    )


def with_counts(option: OptionSpec, pieces: Sequence[PiecePlan]) -> tuple[PiecePlan, ...]:
    """The pieces with as many of each as the option says."""
    return tuple(
        piece
        if option.counts.get(piece.name, piece.count) == piece.count
        else replace(piece, spec=piece.spec.model_copy(update={"count": option.counts[piece.name]}))
        for piece in pieces
    )


def reckon_pieces(
    pieces: Sequence[PiecePlan],
    job: Job,
    common: Sequence[WorkLine],
    catalog: Catalog,
    studio: Studio,
    option: OptionSpec | None = None,
) -> Reckoning:
    """Some pieces as one job of their own.

    Args:
        pieces: in scope, with their prices, counts as wanted.
        job: venue, clock and charges.
        common: work that belongs to no piece.
        catalog, studio: prices and rules, in the job's currency.
        option: what it takes off; nothing without it.

    Raises:
        MoneyError: what comes off leaves nothing of the price.
    """
    currency, needs = job.job.currency, needs_of(pieces, catalog, studio)
    around = tuple(common) if pieces else ()
    work = [(line, piece.count) for piece in pieces for line in piece.work]
    work += [(line, 1) for line in around]
    hours = sum(line.hours * count for line, count in work)
    kilometres = Decimal(str(2 * job.charges.trips * job.venue.drive / 1000)) if pieces else ZERO
    costs = Costs(
        materials=material_cost(needs),
        labour=Decimal(str(round(hours, 6))) * studio.pricing.labour_rate,
        transport=kilometres * studio.pricing.transport_rate,
        rental=rental_cost(needs),
        other=job.charges.permits if pieces else ZERO,
    )
    sold = _sold(pieces, job, studio)
    facts = _facts(pieces, work, costs, sum_of(sold), job, studio)
    beside = job_lines(facts, job.charges, studio, currency) if pieces else ()
    spec = OptionSpec(name="All pieces", pieces=[""]) if option is None else option
    lines = option_lines(sold, beside, spec, studio.pricing, currency)
    return Reckoning(lines, reckon(currency, studio, costs, lines), hours)


def _sold(pieces: Sequence[PiecePlan], job: Job, studio: Studio) -> tuple[Line, ...]:
    tax = tax_of(studio.pricing, exempt=exempt_reason(job.charges))
    sales = []
    for piece in pieces:
        price = _price(piece)
        sales.append(PieceSale(piece.name, piece.count, price.unit_price, tax, price.reason))
    return piece_lines(sales, studio.pricing, job.job.currency)


def _price(piece: PiecePlan) -> PiecePrice:
    """What one is sold for; `with_price` gave it before any option was reckoned."""
    assert piece.price is not None
    return piece.price


def _facts(
    pieces: Sequence[PiecePlan],
    work: Sequence[tuple[WorkLine, int]],
    costs: Costs,
    sold: Decimal,
    job: Job,
    studio: Studio,
) -> JobFacts:
    times = [replace(line, hours=line.hours * count) for line, count in work]
    each = [(_price(piece).cost, piece.count) for piece in pieces]
    return JobFacts(
        distance_m=job.venue.drive,
        road=costs.transport + wage((t for t in times if t.place == "road"), studio),
        set_up=wage(filter(is_set_up, times), studio),
        take_down=wage(filter(is_take_down, times), studio),
        gas=sum((cost.gas * count for cost, count in each), ZERO),
        hire=costs.rental,
        pieces=sold,
        early_or_late=_out_of_hours(job, studio),
        notice_days=notice_days(job),
    )


def notice_days(job: Job) -> int | None:
    """Days from the client's yes to the event; None where either day is unknown."""
    if job.charges.ordered is None or job.job.date is None:
        return None
    return (job.job.date - job.charges.ordered).days


def _out_of_hours(job: Job, studio: Studio) -> bool:
    """Whether the crew is on site before the usual hours begin or after they end.

    A take-down before they begin is one of the next day.
    """
    usual = studio.out_of_hours
    strike = job.job.strike
    return job.venue.access < usual.start or not usual.start <= strike <= usual.end


def price_findings(options: Sequence[OptionPlan], job: Job, studio: Studio) -> list[Finding]:
    """Prices below the studio's floor, and prices by hand that keep no reason."""
    found: list[Finding] = []
    floor, pieces = studio.pricing.floor, {}
    for option in options:
        pieces.update({piece.place: piece for piece in option.pieces})
    for place, piece in pieces.items():
        price = _price(piece)
        if not price.by_hand:
            continue
        if price.margin_share < floor:
            found.append(_below(f"{place}.price", piece.name, price.unit_price,
                                price.margin_share, floor, job.job.currency))  # fmt: skip
        if not price.reason:
            found.append(_no_reason(f"{place}.price_reason", piece.name))
    for at, option in enumerate(options):
        place = f"options[{at}]" if job.options else "pieces"
        if option.money.margin_share < floor:
            found.append(_below(place, option.name, option.money.price,
                                option.money.margin_share, floor, job.job.currency))  # fmt: skip
        if option.option.package_price is not None and not option.option.price_reason:
            found.append(_no_reason(f"{place}.price_reason", option.name))
    return found


def _below(
    place: str, name: str, price: Decimal, share: Decimal, floor: Decimal, currency: str
) -> Finding:
    what = message(
        'Of the price of "{name}", {price}, only {share} % are left; your floor is {floor} %.',
        name=name,
        price=said_money(price, currency),
        share=f"{share * 100:.0f}",
        floor=f"{floor * 100:.0f}",
    )
    mend = message("Raise it, or make it cheaper to build and to bring.")
    return caution("below-floor", place, what, mend)


def _no_reason(place: str, name: str) -> Finding:
    what = message('The price of "{name}" was set by hand, and nobody wrote down why.', name=name)
    return hint("no-price-reason", place, what, message("Write the reason beside it, for later."))


def refused_price(problem: MoneyError, place: str) -> Finding:
    """An option whose price cannot be."""
    return error("no-price", place, problem.what, problem.mend)
