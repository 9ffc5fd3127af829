"""From a Job to its Plan: build, tally, buy, time, reckon, warn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence

from airwright.catalog import Catalog
from airwright.decor import engine
from airwright.decor.assembly import Assembly
from airwright.decor.parts.tightness import not_calibrated
from airwright.job import crosscheck
from airwright.job.findings import Finding, has_errors, hint, in_order, naming
from airwright.job.models import Job
from airwright.job.pieces import PieceSpec
from airwright.job.studio import Helium, Studio
from airwright.job.units_written import studio_for
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.plan import cautions, hours, risks, tally
from airwright.plan.crew import job_work
from airwright.plan.needs import chance_short, needs_of
from airwright.plan.options import plan_option, price_findings, reckon_pieces, refused_price
from airwright.plan.physics import JobPhysics, job_physics, with_physics
from airwright.plan.piece_costs import with_price
from airwright.plan.rates import in_currency
from airwright.plan.surroundings import Surroundings, surroundings
from airwright.plan.values import OptionPlan, PiecePlan, Plan
from airwright.plan.wording import Words

PiecePlanner = Callable[[PieceSpec, Assembly, str, Catalog, Surroundings, Helium], PiecePlan]
"""Plans one piece of a job; see `piece_alone`."""


class JobHasErrors(ValueError):
    """The job cannot be planned; `findings` say why, all at once."""

    def __init__(self, findings: Sequence[Finding]) -> None:
        super().__init__(f"{len(findings)} findings forbid a plan")
        self.findings = in_order(findings)


def make_plan(
    job: Job,
    studio: Studio | None = None,
    *,
    today: dt.date | None = None,
    progress: engine.Progress | None = None,
) -> Plan:
    """Plan a whole job.

    Args:
        job: from `airwright.job.read_job`.
        studio: the studio's settings, else starting values.
        today: for the caution about a past date; none without it.
        progress: see `engine.build`.

    Raises:
        JobHasErrors: when any finding is an error.
    """
    studio = studio_for(job, Studio() if studio is None else studio)
    built = engine.build(job, studio.catalog(), studio, progress)
    if has_errors(built.findings):
        raise JobHasErrors(built.findings)
    return assemble_plan(job, studio, built, today=today)


def assemble_plan(
    job: Job,
    studio: Studio,
    built: engine.Built,
    *,
    today: dt.date | None = None,
    piece_plan: PiecePlanner | None = None,
) -> Plan:
    """The plan of pieces already built (the desk keeps unchanged ones).

    Args:
        job, studio, built: as built.
        today: for the caution about a past date; none without it.
        piece_plan: plans one piece; must answer as `piece_alone` does (the desk's remembers).
    """
    studio = studio_for(job, studio)
    catalog = built.context.catalog
    studio, currencies = in_currency(studio, job.job.currency, catalog.currency)
    if has_errors(currencies):
        raise JobHasErrors((*built.findings, *currencies))
    piece_plan = piece_alone if piece_plan is None else piece_plan
    around = {
        setting: surroundings(job, studio, setting)
        for setting in dict.fromkeys(job.setting_of(spec) for spec in job.pieces)
    }
    way = hours.way_of(job, studio)
    alone = (
        piece_plan(
            spec,
            built.assemblies[spec.name],
            f"pieces[{at}]",
            catalog,
            around[job.setting_of(spec)],
            studio.helium,
        )
        for at, spec in enumerate(job.pieces)
    )
    pieces = tuple(
        hours.with_work(with_price(piece, catalog, studio, job.job.currency), catalog, way)
        for piece in alone
    )
    by_name = {piece.name: piece for piece in pieces}
    options = _options(job, by_name, catalog, studio)
    taken = next((option for option in options if option.name == job.job.chosen), None)
    if taken is not None:  # as many of each as the client took
        by_name |= {piece.name: piece for piece in taken.pieces}
        pieces = tuple(by_name[piece.name] for piece in pieces)
    scope = tuple(by_name) if taken is None else tuple(taken.option.pieces)
    chosen = [by_name[name] for name in scope]
    spec = None if taken is None else taken.option
    common = job_work(chosen, job, catalog, studio)
    whole = reckon_pieces(chosen, job, common.lines, catalog, studio, spec)
    physics = job_physics(chosen, job, catalog, studio)
    needs = needs_of(chosen, catalog, studio)
    found = [
        *_unless_reckoned(built.findings, physics),
        *(crosscheck.past_date(job, today) if today is not None else ()),
        *_findings(job, studio, catalog, pieces, chosen, options),
        *not_calibrated({piece.name: piece.assembly for piece in pieces}, built.context),
        *cautions.about_owned(needs, catalog),
        *currencies,
        *price_findings(options, job, studio),
        *risks.findings(chosen, physics, studio.studio.units),
    ]
    return Plan(
        job=job,
        studio=studio,
        context=built.context,
        pieces=pieces,
        scope=scope,
        needs=needs,
        options=options,
        money=whole.money,
        hours=whole.hours,
        job_work=common.lines,
        crew=common.crew,
        findings=in_order(_named(found, pieces)),
        physics=physics,
        chance_short=chance_short(needs),
    )


def piece_alone(
    spec: PieceSpec,
    assembly: Assembly,
    place: str,
    catalog: Catalog,
    around: Surroundings,
    helium: Helium,
) -> PiecePlan:
    """One piece with its physics: of the spec only name, count and the like are carried along,
    so that the figures depend on nothing but the other arguments."""
    return with_physics(plan_piece(spec, assembly, place, catalog), catalog, around, helium)


def plan_piece(spec: PieceSpec, assembly: Assembly, place: str, catalog: Catalog) -> PiecePlan:
    """All that is read off one Assembly."""
    hardware = tally.hardware_lines(assembly, catalog)
    return PiecePlan(
        spec=spec,
        assembly=assembly,
        place=place,
        balloons=tally.balloon_lines(assembly),
        ties=tally.tie_lines(assembly, catalog),
        clusters=tally.cluster_lines(assembly),
        hardware=hardware,
        mass_kg=tally.mass(assembly, hardware, catalog),
        bulk_m3=tally.bulk(assembly),
    )


def _named(findings: Sequence[Finding], pieces: Sequence[PiecePlan]) -> Iterator[Finding]:
    """Every finding about one piece, its name said in it."""
    for found in findings:
        for piece in pieces:
            found = naming(found, piece.place, piece.name)
        yield found


def _unless_reckoned(findings: Sequence[Finding], physics: JobPhysics) -> list[Finding]:
    """Findings of building, without the rule of thumb for tight balloons where it was reckoned."""
    return [found for found in findings if found.code != "tight" or physics.refused]


def _options(
    job: Job,
    by_name: Mapping[str, PiecePlan],
    catalog: Catalog,
    studio: Studio,
) -> tuple[OptionPlan, ...]:
    """Every option; JobHasErrors where one has no price."""
    found: list[OptionPlan] = []
    refused: list[Finding] = []
    for at, option in enumerate(job.effective_options()):
        own = [by_name[name] for name in option.pieces]
        try:
            found.append(plan_option(option, own, job, catalog, studio))
        except MoneyError as problem:
            refused.append(refused_price(problem, f"options[{at}]"))
    if refused:
        raise JobHasErrors(refused)
    return tuple(found)


def _findings(
    job: Job,
    studio: Studio,
    catalog: Catalog,
    pieces: Sequence[PiecePlan],
    chosen: Sequence[PiecePlan],
    options: Sequence[OptionPlan],
) -> list[Finding]:
    words = Words(studio.studio.units)
    return [
        *cautions.protecting(pieces),
        *cautions.about_height(chosen, words),
        *cautions.about_time(job, options, studio.crew.hands),
        *cautions.about_room(job, pieces, words),
        *cautions.about_choice(job),
        *_doubts(pieces),
    ]


def _doubts(pieces: Sequence[PiecePlan]) -> list[Finding]:
    """A hint where the packing stopped short of the tolerance its kind of piece asks for."""
    return [
        hint(
            "unsettled",
            piece.place,
            message(
                'The balloons of "{name}" are not quite at rest: forces are out by '
                "{relative} of a contact.",
                name=piece.name,
                relative=f"{piece.assembly.residual.relative:.0%}",
            ),
            message("Counts hold. Take sizes with a grain of salt, or change the piece a little."),
        )
        for piece in pieces
        if not piece.assembly.residual.converged
    ]
