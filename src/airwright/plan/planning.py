"""From a Job to its Plan: check, build, tally, buy, time, reckon, warn. One function for all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from airwright.catalog import Catalog
from airwright.decor import engine
from airwright.decor.assembly import Assembly
from airwright.decor.loose_checks import check_broken
from airwright.decor.parts.tightness import not_calibrated
from airwright.decor.standing import too_close
from airwright.job import crosscheck
from airwright.job.findings import Finding, has_errors, hint, in_order, naming
from airwright.job.models import Job
from airwright.job.pieces import PieceSpec
from airwright.job.reading import Reading, reading_of
from airwright.job.studio import Helium, Studio
from airwright.job.units_written import studio_for
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.plan import cautions, hours, load, risks, tally
from airwright.plan.crew import job_work
from airwright.plan.crowding import inside_each_other, standing
from airwright.plan.needs import chance_short, needs_of
from airwright.plan.options import plan_option, price_findings, reckon_pieces, refused_price
from airwright.plan.physics import JobPhysics, job_physics, with_physics
from airwright.plan.piece_costs import with_price
from airwright.plan.piece_values import PiecePlan
from airwright.plan.rates import in_currency, old_figures, priced
from airwright.plan.surroundings import Surroundings, surroundings
from airwright.plan.values import OptionPlan, Plan
from airwright.plan.wording import Words

PiecePlanner = Callable[[PieceSpec, Assembly, str, Catalog, Surroundings, Helium], PiecePlan]
"""Plans one piece of a job; see `piece_alone`."""


class JobHasErrors(ValueError):
    """The job cannot be planned; `findings` say why, all at once."""

    def __init__(self, findings: Sequence[Finding]) -> None:
        super().__init__(f"{len(findings)} findings forbid a plan")
        self.findings = in_order(findings)


@dataclass(frozen=True, slots=True, eq=False)
class Evaluation:
    """What a job file comes to: the same for check, price, plan, papers and the desk.

    Attributes:
        reading: the file as read.
        studio: the settings it was planned with.
        pieces: all that could be read, built where possible.
        plan: None while any finding is an error.
        findings: everything, located in the file, errors first; the plan's own are the same.
    """

    reading: Reading
    studio: Studio
    pieces: tuple[engine.BuiltPiece, ...]
    plan: Plan | None
    findings: tuple[Finding, ...]


def evaluate(
    reading: Reading,
    studio: Studio,
    *,
    today: dt.date | None = None,
    progress: engine.Progress | None = None,
    build_piece: engine.PieceBuilder = engine.build_alone,
    piece_plan: PiecePlanner | None = None,
) -> Evaluation:
    """Check, build and plan a job; never raises for what is in its file.

    Args:
        reading: from `airwright.job.read_job`.
        studio: the studio's settings.
        today: for the caution about a past date; none without it.
        progress: called with (pieces done, pieces in all, name of the next one).
        build_piece, piece_plan: the desk's, which remember; see `engine.build_pieces` and
            `assemble_plan`.
    """
    draft = reading.job or reading.draft
    if draft is None:
        return Evaluation(reading, studio, (), None, reading.findings)
    ctx, found = engine.context_for(draft, studio.catalog(), studio)
    found = [*found, *engine.check(draft, ctx, reading.piece_places)]
    found += check_broken(reading.broken, ctx)
    # A job that is too large as a whole, or that will not be planned, is built in part at the most.
    whole = any(one.severity == "error" and one.place == "pieces" for one in found)
    made, problems = (
        ([], [])
        if whole
        else engine.build_pieces(
            draft,
            ctx,
            reading.piece_places,
            wrong=found,
            build_piece=build_piece,
            progress=progress,
        )
    )
    found += problems
    pieces, plan = tuple(made), None
    if reading.job is None or has_errors([*reading.findings, *found]):
        if today is not None:
            found += crosscheck.past_date(draft, today)
    else:
        assemblies = {p.spec.name: p.assembly for p in made if p.assembly is not None}
        built = engine.Built(ctx, assemblies, in_order(found))
        try:
            plan = assemble_plan(reading.job, studio, built, today=today, piece_plan=piece_plan)
            found = list(plan.findings)
        except JobHasErrors as problem:  # what can be told only once it is priced
            found = list(problem.findings)
    findings = in_order([*reading.findings, *reading.located(found)])
    if plan is not None:
        plan = replace(plan, findings=findings)
    return Evaluation(reading, studio, pieces, plan, findings)


def make_plan(
    job: Job,
    studio: Studio | None = None,
    *,
    today: dt.date | None = None,
    progress: engine.Progress | None = None,
) -> Plan:
    """Plan a job that is no file (any more): one resized, one of the program's own.

    Args:
        job: a valid job.
        studio: the studio's settings, else starting values.
        today: for the caution about a past date; none without it.
        progress: see `evaluate`.

    Raises:
        JobHasErrors: when any finding is an error.
    """
    evaluation = evaluate(
        reading_of(job), Studio() if studio is None else studio, today=today, progress=progress
    )
    if evaluation.plan is None:
        raise JobHasErrors(evaluation.findings)
    return evaluation.plan


def ordered_by(job: Job, today: dt.date | None) -> Job:
    """The job with the day its notice counts from: the client's yes, or today until then."""
    if job.charges.ordered is not None or today is None:
        return job
    return job.model_copy(update={"charges": job.charges.model_copy(update={"ordered": today})})


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
        today: for the caution about a past date, and for the notice of a job that nobody
            ordered yet; neither without it.
        piece_plan: plans one piece; must answer as `piece_alone` does (the desk's remembers).
    """
    as_set = studio_for(job, studio)
    catalog = built.context.catalog
    studio, currencies = in_currency(as_set, job.job.currency, catalog.currency)
    prices, shop, problems = priced(catalog, studio, job.job.currency)
    currencies = tuple(dict.fromkeys((*currencies, *problems)))
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
        hours.with_work(with_price(piece, prices, shop, job.job.currency), catalog, way)
        for piece in alone
    )
    by_name = {piece.name: piece for piece in pieces}
    ordered = ordered_by(job, today)
    options = _options(ordered, by_name, prices, shop)
    taken = next((option for option in options if option.name == job.job.chosen), None)
    if taken is not None:  # as many of each as the client took
        by_name |= {piece.name: piece for piece in taken.pieces}
        pieces = tuple(by_name[piece.name] for piece in pieces)
    scope = tuple(by_name) if taken is None else tuple(taken.option.pieces)
    chosen = [by_name[name] for name in scope]
    spec = None if taken is None else taken.option
    common = job_work(chosen, job, catalog, studio)
    whole = reckon_pieces(chosen, ordered, common.lines, prices, shop, spec)
    physics = job_physics(chosen, job, catalog, studio)
    needs = needs_of(chosen, prices, shop)
    found = [
        *_unless_reckoned(built.findings, physics),
        *(crosscheck.past_date(job, today) if today is not None else ()),
        *_findings(job, studio, catalog, pieces, chosen, options),
        *not_calibrated({piece.name: piece.assembly for piece in pieces}, built.context),
        *too_close(
            standing(pieces, job),
            [piece.place for piece in pieces],
        ),
        *inside_each_other(options, job),
        *cautions.about_owned(needs, catalog),
        *currencies,
        *(old_figures(needs, catalog, as_set, job.job.currency, today) if today else ()),
        *price_findings(options, job, studio),
        *load.about_van(
            load.van_load(load.loaded(chosen, needs, catalog), studio.van),
            Words(studio.studio.units),
        ),
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
        *cautions.in_the_open(job, pieces),
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
