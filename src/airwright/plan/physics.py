"""The physics of a whole job: every piece weighed, blown at and floated, every size warmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from airwright.catalog import Catalog, Family
from airwright.job.findings import Finding, caution
from airwright.job.models import Job
from airwright.job.studio import Helium, Studio
from airwright.language import message
from airwright.physics.errors import PhysicsError
from airwright.plan import floating, silhouette
from airwright.plan.ageing import Ageing, ageing
from airwright.plan.gas import GasPlan, gas_plan
from airwright.plan.helium_size import HeliumSize, helium_sizes
from airwright.plan.piece_values import PiecePlan
from airwright.plan.stability import stability
from airwright.plan.strength import hanging
from airwright.plan.surroundings import Surroundings, surroundings
from airwright.plan.warmth import Kind, SizeCheck, size_checks


@dataclass(frozen=True, slots=True)
class JobPhysics:
    """What holds for the job as a whole, over the pieces in scope.

    Attributes:
        around: what they meet, one a setting they stand in.
        sizes: each kind of balloon at its warmest.
        gas: helium, None where nothing floats.
        ageing: what time does to latex, one a setting that holds any.
        helium_sizes: each kind of floating latex balloon, warmth and time weighed.
        refused: what could not be reckoned, as findings.
    """

    around: tuple[Surroundings, ...]
    sizes: tuple[SizeCheck, ...]
    gas: GasPlan | None
    ageing: tuple[Ageing, ...]
    refused: tuple[Finding, ...] = ()
    helium_sizes: tuple[HeliumSize, ...] = ()


def with_physics(
    piece: PiecePlan, catalog: Catalog, around: Surroundings, helium: Helium
) -> PiecePlan:
    """A piece with its stability and its floating balloons; what is refused stays out."""
    assembly = piece.assembly
    try:
        floats = floating.float_lines(assembly, catalog, around, helium)
    except PhysicsError:
        floats = ()  # told once for the job, with the sizes
    body = silhouette.standing(assembly, catalog, floating.lifts(assembly, floats))
    stands = stability(body, around) or hanging(assembly, body, around)
    holds = None
    if floats and stands is None and not piece.rises_to_ceiling:
        holds = floating.weighting(assembly, floats, catalog, around)
    return replace(piece, stability=stands, floats=floats, weighting=holds)


def job_physics(
    pieces: Sequence[PiecePlan], job: Job, catalog: Catalog, studio: Studio
) -> JobPhysics:
    """All that is reckoned over pieces together."""
    settings = list(dict.fromkeys(job.setting_of(piece.spec) for piece in pieces))
    arounds = tuple(surroundings(job, studio, setting) for setting in settings)
    sizes: list[SizeCheck] = []
    lives: list[Ageing] = []
    refused: list[Finding] = []
    floating_sizes: list[HeliumSize] = []
    for around in arounds:
        here = [piece for piece in pieces if job.setting_of(piece.spec) == around.setting]
        kinds = kinds_of(here)
        rows, problems = _sizes(kinds, catalog, around)
        sizes += rows
        floating_sizes += helium_sizes(here, catalog, around, studio.helium)
        refused += problems
        if any(kind.stock.family is not Family.FOIL for kind in kinds):
            try:
                lives.append(ageing(around))
            except PhysicsError as problem:
                refused.append(_refused(problem, "the job's hours"))
    return JobPhysics(
        around=arounds,
        sizes=tuple(sizes),
        gas=gas_plan(pieces, studio, job.venue.room),
        ageing=tuple(lives),
        refused=tuple(dict.fromkeys(refused)),
        helium_sizes=tuple(floating_sizes),
    )


def kinds_of(pieces: Sequence[PiecePlan]) -> dict[Kind, dict[str, int]]:
    """Balloons alike in stock and shade → piece name → how many, counts of pieces included."""
    kinds: dict[Kind, dict[str, int]] = {}
    for piece in pieces:
        assembly = piece.assembly
        if len(assembly) == 0:
            continue
        pairs, counts = np.unique(
            np.column_stack([assembly.stock, assembly.shade]), axis=0, return_counts=True
        )
        for (stock, shade), count in zip(pairs.tolist(), counts.tolist(), strict=True):
            # print changes nothing about warmth; floating latex may be filled fuller
            plain = replace(assembly.stocks[stock], mark=None)
            row = kinds.setdefault(Kind(plain, assembly.shades[shade]), {})
            row[piece.name] = row.get(piece.name, 0) + count * piece.count
    return kinds


def _sizes(
    kinds: dict[Kind, dict[str, int]], catalog: Catalog, around: Surroundings
) -> tuple[tuple[SizeCheck, ...], list[Finding]]:
    try:
        return size_checks(kinds, catalog, around), []
    except PhysicsError:
        pass
    # one impossible balloon must not hide the others: reckon kind by kind
    rows: list[SizeCheck] = []
    refused: dict[str, Finding] = {}
    for kind, where in kinds.items():
        try:
            rows += size_checks({kind: where}, catalog, around)
        except PhysicsError as problem:
            refused.setdefault(
                kind.stock.size, _refused(problem, f"the {kind.stock.size} balloons")
            )
    return tuple(rows), list(refused.values())


def _refused(problem: PhysicsError, of: str) -> Finding:
    what = message(
        "Warmth, lift and float time of {of} cannot be calculated: {quantity} is off.",
        of=of,
        quantity=problem.quantity,
    )
    return caution("not-reckoned", "", what, problem.cure)
