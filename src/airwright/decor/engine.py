"""From a Job to its Assemblies: check every piece, then build every piece."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from airwright.catalog import Catalog, Family, UnknownName
from airwright.decor.assembly import Assembly
from airwright.decor.context import DEFAULT_PUSH_N, Context, shades_of
from airwright.decor.double import hiding_of
from airwright.decor.kinds import BuildError
from airwright.decor.parts.calibrate import Hands, fitted
from airwright.decor.pieces import KINDS
from airwright.job.findings import Finding, caution, error, has_errors, in_order, naming, within
from airwright.job.models import DoubleSpec, Job, ShadeSpec
from airwright.job.pieces import PieceSpec
from airwright.job.studio import Measured, Studio
from airwright.job.units_written import studio_for
from airwright.language import message
from airwright.units import LENGTH, System, show

LONGEST_SHADE_NAME = 60

MOST_IN_A_JOB = 150_000
"""More balloons than this in one job, copies included, are refused."""

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """All pieces of a job, in the order of the file.

    Attributes:
        context: what they were built with.
        assemblies: one a piece (not multiplied by its count), by name.
        findings: what building found; when any is an error, `assemblies` is empty.
    """

    context: Context
    assemblies: Mapping[str, Assembly]
    findings: tuple[Finding, ...]


def context_for(job: Job, catalog: Catalog, studio: Studio) -> tuple[Context, list[Finding]]:
    """The context of a job, its push force fitted to what the studio measured."""
    hands, measured, findings = _fitted(studio, catalog)
    tried = hiding_of(studio.trials, catalog) if _has_doubles(job) else {}
    shades = shades_of(job, catalog, tried)
    system = studio_for(job, studio).studio.units
    return Context(catalog, shades, hands.push_n, hands.spread, measured, system), findings


def _has_doubles(job: Job) -> bool:
    return any(isinstance(value, DoubleSpec) for value in job.shades.values())


def _fitted(studio: Studio, catalog: Catalog) -> tuple[Hands, tuple[Measured, ...], list[Finding]]:
    """How the studio's hands pack, the measurements that tell, and those that fit nothing."""
    hands, rows, findings = [], [], []
    for at, row in enumerate(studio.measured):
        try:
            hands.append(fitted(row, catalog))
            rows.append(row)
        except (ValueError, UnknownName) as problem:
            findings.append(_unfitted(row, at, str(problem), studio.studio.units))
    if not hands:
        return Hands(DEFAULT_PUSH_N), (), findings
    push = sum(one.push_n for one in hands) / len(hands)
    spread = sum(one.spread for one in hands) / len(hands)
    return Hands(push, spread), tuple(rows), findings


def _unfitted(row: Measured, at: int, why: str, system: System) -> Finding:
    height = show(row.height, LENGTH, system)
    what = message(
        "Your measurement of {clusters} x ({cluster}) in {height} fits no push: {why}",
        clusters=row.clusters,
        cluster=row.cluster,
        height=height,
        why=why,
    )
    mend = message("Measure again without topper and base; the usual push is used until then.")
    return caution("measurement-unfit", f"measured[{at}]", what, mend)


def check(job: Job, ctx: Context, places: Sequence[str] | None = None) -> tuple[Finding, ...]:
    """Everything that keeps the pieces from being built, without building them.

    Args:
        job: the job, or the draft of one that has errors elsewhere.
        ctx: from `context_for`.
        places: "pieces[2]" for each piece; counted through when left out.
    """
    findings = list(_check_shades(job, ctx))
    if places is None:
        places = [f"pieces[{at}]" for at in range(len(job.pieces))]
    for piece, place in zip(job.pieces, places, strict=True):
        found = KINDS[piece.kind].check(piece, ctx, place)
        findings += [naming(one, place, piece.name) for one in found]
    if not has_errors(findings):
        findings += _check_whole(job, ctx)
    return in_order(findings)


def _check_whole(job: Job, ctx: Context) -> list[Finding]:
    """Refuse a job that is too large to draw and tie, before anything is built."""
    count = sum(piece.count * KINDS[piece.kind].estimate(piece, ctx) for piece in job.pieces)
    if count <= MOST_IN_A_JOB:
        return []
    what = message("The whole job would take about {count} balloons.", count=f"{count:,}")
    mend = message(
        "Keep it below {most_in_a_job}: lower a count, or split it into several jobs.",
        most_in_a_job=f"{MOST_IN_A_JOB:,}",
    )
    return [error("too-many-balloons", "pieces", what, mend)]


def _check_shades(job: Job, ctx: Context) -> list[Finding]:
    found = []
    for name, value in job.shades.items():
        place = f"shades.{name}"
        if len(name) > LONGEST_SHADE_NAME:
            what = message('"{name}…" is too long for the name of a shade.', name=name[:20])
            mend = message(
                "Keep it to {longest_shade_name} characters.", longest_shade_name=LONGEST_SHADE_NAME
            )
            found.append(error("too-long-text", place, what, mend))
        if isinstance(value, DoubleSpec):
            found += _check_double(name, value, job, ctx)
        elif isinstance(value, ShadeSpec):
            if value.inner and value.inner not in ctx.shades:
                found.append(_no_stock_shade(place, value.inner, ctx))
        elif not value.startswith("#"):
            if value not in ctx.catalog.shades:
                found.append(_no_stock_shade(place, value, ctx))
        elif not _is_colour(value):
            what = message('"{value}" is no color.', value=value[:20])
            found.append(error("colour", place, what, message('Write it like "#f0705a".')))
    return found


def _check_double(name: str, value: DoubleSpec, job: Job, ctx: Context) -> list[Finding]:
    """Both balloons of a shade known, neither a pair itself, and no shade inside itself."""
    place, found = f"shades.{name}", []
    for key, other in (("inside", value.inside), ("outside", value.outside)):
        spot = f"{place}.{key}"
        if other == name:
            what = message('"{name}" cannot be made of itself.', name=name)
            mend = message("Name two other shades, inside and outside.")
            found.append(error("shade-in-itself", spot, what, mend))
        elif isinstance(job.shades.get(other), DoubleSpec):
            what = message('"{other}" is made of two balloons itself.', other=other)
            mend = message("Name a shade that one bag holds: three in each other do not knot.")
            found.append(error("shade-in-itself", spot, what, mend))
        elif other not in ctx.shades:
            found.append(_no_stock_shade(spot, other, ctx))
        elif ctx.shades[other].inner is not None:
            what = message('"{other}" holds a balloon already.', other=other)
            mend = message("Name a shade that one bag holds: three in each other do not knot.")
            found.append(error("shade-in-itself", spot, what, mend))
    if not found and value.inside == value.outside:
        what = message('"{name}" is twice the same shade, one inside the other.', name=name)
        mend = message("It only hides better; take one balloon, or another shade inside.")
        found.append(caution("shade-in-itself", place, what, mend))
    return found


def _stuffed_foil(assembly: Assembly, place: str) -> list[Finding]:
    """Foil and modelling balloons in a shade that takes two balloons."""
    pairs = {(int(s), int(c)) for s, c in zip(assembly.stock, assembly.shade, strict=True)}
    for stock, shade in sorted(pairs):
        made = assembly.stocks[stock]
        if made.family is Family.ROUND or len(assembly.shades[shade].bags) < 2:
            continue
        name = assembly.shades[shade].name
        what = message(
            'A {size} cannot hold a balloon, so not "{name}".', size=made.size, name=name
        )
        return [error("not-stuffed", place, what, message("Give it a shade of one balloon."))]
    return []


def _is_colour(value: str) -> bool:
    return len(value) == 7 and all(char in "0123456789abcdefABCDEF" for char in value[1:])


def _no_stock_shade(place: str, value: str, ctx: Context) -> Finding:
    known = ", ".join(list(ctx.catalog.shades)[:12])
    what = message('"{value}" is neither a color nor a shade in stock.', value=value[:40])
    return error(
        "unknown-shade", place, what, message('Write "#f0705a", or one of: {known}, …', known=known)
    )


def build(job: Job, catalog: Catalog, studio: Studio, progress: Progress | None = None) -> Built:
    """Build every piece of a job.

    Args:
        job: a valid job.
        catalog: sizes and hardware (`studio.catalog()`).
        studio: calibration.
        progress: called with (pieces done, pieces in all, name of the next one).

    Returns:
        All assemblies, or the errors that forbid them.
    """
    ctx, findings = context_for(job, catalog, studio)
    findings = [*findings, *check(job, ctx)]
    if has_errors(findings):
        return Built(ctx, {}, in_order(findings))
    made, problems = build_pieces(job, ctx, progress=progress)
    findings += problems
    assemblies = {} if has_errors(findings) else {p.spec.name: p.assembly for p in made}
    return Built(ctx, {n: a for n, a in assemblies.items() if a is not None}, in_order(findings))


@dataclass(frozen=True, slots=True, eq=False)
class BuiltPiece:
    """One piece of a job or of its draft.

    Attributes:
        place: "pieces[2]" in the file.
        spec: as read.
        assembly: None when it has errors or cannot be built.
    """

    place: str
    spec: PieceSpec
    assembly: Assembly | None


PieceBuilder = Callable[[PieceSpec, Context, str], Assembly]
"""Builds a piece from its keys, its context and its place; may raise BuildError."""


def build_alone(spec: PieceSpec, ctx: Context, place: str) -> Assembly:
    """One piece, whatever the others are. Raises BuildError."""
    return KINDS[spec.kind].build(spec, ctx)


def build_pieces(
    job: Job,
    ctx: Context,
    places: Sequence[str] | None = None,
    *,
    wrong: Sequence[Finding] = (),
    build_piece: PieceBuilder = build_alone,
    progress: Progress | None = None,
) -> tuple[list[BuiltPiece], list[Finding]]:
    """Build what can be built of a job, and what forbids the rest.

    Args:
        job: the job, or the draft of one.
        ctx: from `context_for`.
        places: "pieces[2]" for each piece; counted through when left out.
        wrong: findings of `check`; a piece with an error among them is not built.
        build_piece: builds one piece; must answer as `build_alone` does (the desk's remembers).
        progress: called with (pieces done, pieces in all, name of the next one).
    """
    if places is None:
        places = [f"pieces[{at}]" for at in range(len(job.pieces))]
    barred = tuple(found.place for found in wrong if found.severity == "error")
    made: list[BuiltPiece] = []
    findings: list[Finding] = []
    for at, (piece, place) in enumerate(zip(job.pieces, places, strict=True)):
        if progress is not None:
            progress(at, len(job.pieces), piece.name)
        assembly = None
        if not any(within(spot, place) for spot in barred):
            try:
                assembly = build_piece(piece, ctx, place)
            except BuildError as problem:
                found = problem.finding
                found = error(found.code, found.place or place, found.what, found.mend)
                findings.append(naming(found, place, piece.name))
        if assembly is not None:
            stuffed = _stuffed_foil(assembly, place)
            findings += [naming(one, place, piece.name) for one in stuffed]
            assembly = None if stuffed else assembly
        made.append(BuiltPiece(place, piece, assembly))
    return made, findings


def holds_foil_or_helium(assembly: Assembly) -> tuple[bool, bool]:
    """Whether a piece holds foil balloons, and whether it holds floating ones."""
    used = {int(index) for index in assembly.stock}
    stocks = [assembly.stocks[index] for index in used]
    return any(s.family is Family.FOIL for s in stocks), any(s.helium for s in stocks)
