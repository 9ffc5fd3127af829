"""Builds and plans jobs as they are changed; a piece that did not change is not built again."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from threading import BoundedSemaphore
from typing import Any

from airwright.catalog import Catalog
from airwright.decor import engine
from airwright.decor.assembly import Assembly
from airwright.decor.context import Context
from airwright.decor.pieces import SPECS
from airwright.desk.editing.cures import on_the_desk
from airwright.desk.editing.result_cache import ResultCache
from airwright.desk.editing.tables import NoTables, tables_of
from airwright.job import Finding, Job, PieceSpec, Reading, Studio, in_order, read_job
from airwright.job.findings import caution, within
from airwright.job.reading import NO_DATE
from airwright.job.studio import Helium
from airwright.job.studio_reading import read_studio
from airwright.language import message
from airwright.plan import planning
from airwright.plan.planning import PiecePlanner, piece_alone
from airwright.plan.surroundings import Surroundings
from airwright.plan.values import PiecePlan, Plan
from airwright.store.jobs import Head, Summary

BUILDS_AT_ONCE = 2
PIECES_KEPT = 600
EVALUATIONS_KEPT = 80
ANSWERS_KEPT = 2000
"""Answers to whether a job can be planned, which outlast what it comes to."""
BALLOONS_KEPT = 600_000
"""A balloon of an Assembly takes some 100 bytes; looks share the pieces of the shelf."""

APART = ("name", "count", "note", "spot", "copies", "price", "price_reason")
"""Keys of a piece that do not change how it is built."""

BUILT_WITH = {"balloons", "hardware", "operations", "shades", "measured", "weighed"}
"""Settings that a piece is built and planned with; prices and hands come in afterwards."""

NO_PIECES = "no-pieces"

COST_CODES = frozenset({"below-floor"})
PRICE_CODES = frozenset({"no-price-reason", "no-price", "starting-rate", "old-prices", "old-rate"})
"""Findings that tell what is left of a price, and such that tell of prices."""

USUALLY_AHEAD_DAYS = 56
"""How far off the day is that a job without a date is priced for: the price does not hang on it."""


@dataclass(frozen=True, slots=True, eq=False)
class BuiltPiece:
    """One piece of the job's draft as built.

    Attributes:
        key: changes exactly when the picture changes.
        place: "pieces[2]" in the file.
        assembly: None when it could not be built.
    """

    key: str
    place: str
    spec: PieceSpec
    assembly: Assembly | None


@dataclass(frozen=True, slots=True, eq=False)
class Evaluation:
    """What a job's text comes to.

    Attributes:
        reading: the file as read.
        tables: the file's raw tables, {} when it is no TOML.
        studio: the settings it was planned with.
        pieces: all that could be read, built where possible.
        plan: None while any finding is an error, and while the job has no date.
        estimate: what can be told nevertheless: the pieces without errors, on an ordinary day.
        findings: everything, located, errors first.
    """

    reading: Reading
    tables: Mapping[str, Any]
    studio: Studio
    pieces: tuple[BuiltPiece, ...]
    plan: Plan | None
    findings: tuple[Finding, ...]
    estimate: Plan | None = None

    @property
    def shown(self) -> Plan | None:
        """The plan, or the estimate that stands in for it on pages, never on papers."""
        return self.plan or self.estimate

    @property
    def job(self) -> Job | None:
        """The job, or its draft while it has errors."""
        return self.reading.job or self.reading.draft

    def seen(self, *, price: bool, cost: bool) -> Evaluation:
        """The same without findings that tell of prices or cost to those who may not see them."""
        hidden = (set() if cost else COST_CODES) | (set() if price else PRICE_CODES)
        kept = tuple(finding for finding in self.findings if finding.code not in hidden)
        return self if len(kept) == len(self.findings) else replace(self, findings=kept)

    def head(self) -> Head:
        """What lists show; also from a file that has errors."""
        table = self.tables.get("job")
        head = table if isinstance(table, dict) else {}
        venue = self.tables.get("venue")
        date = head.get("date")
        return Head(
            title=_text(head.get("title")) or "Untitled job",
            client=_text(head.get("client")),
            venue=_text(venue.get("name")) if isinstance(venue, dict) else "",
            date=date if type(date) is dt.date else None,
            currency=_text(head.get("currency"))[:3] or "USD",
        )

    def summary(self) -> Summary:
        """What lists show of building and planning."""
        errors = sum(f.severity == "error" and f.code != NO_PIECES for f in self.findings)
        cautions = sum(f.severity == "caution" for f in self.findings)
        plan = self.shown
        return Summary(
            errors=errors,
            cautions=cautions,
            balloons=sum(len(p.assembly) * p.count for p in plan.in_scope) if plan else 0,
            hours=round(plan.hours, 3) if plan else 0.0,
            price=plan.money.price if plan else None,
            deposit=plan.money.deposit if plan else None,
            swatches={"shades": swatches(self.pieces)},
        )


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def swatches(pieces: tuple[BuiltPiece, ...], most: int = 6) -> list[list[Any]]:
    """The colours a job is made of and how many balloons each takes, most first."""
    counts: dict[str, int] = {}
    for piece in pieces:
        if piece.assembly is None:
            continue
        for index in piece.assembly.shade:
            colour = piece.assembly.shades[int(index)].colour
            counts[colour] = counts.get(colour, 0) + piece.spec.count
    return [[colour, n] for colour, n in sorted(counts.items(), key=lambda kv: -kv[1])[:most]]


class Builder:
    """Looks at jobs. One per desk; its methods may be called from any thread."""

    def __init__(self, today: Callable[[], dt.date]) -> None:
        self._today = today
        self._pieces: ResultCache[Assembly] = ResultCache(PIECES_KEPT, BALLOONS_KEPT, len)
        self._plans: ResultCache[PiecePlan] = ResultCache(
            PIECES_KEPT, BALLOONS_KEPT, lambda plan: len(plan.assembly)
        )
        self._evaluations: ResultCache[Evaluation] = ResultCache(
            EVALUATIONS_KEPT, BALLOONS_KEPT, _weight
        )
        self._studios: ResultCache[Studio] = ResultCache(8)
        self._plannable: ResultCache[bool] = ResultCache(ANSWERS_KEPT)
        self._turns = BoundedSemaphore(BUILDS_AT_ONCE)
        self.built = 0  # pieces built rather than found on the shelf; tests and bench read it
        self.planned = 0  # likewise pieces planned

    def studio(self, text: str) -> Studio:
        """The settings of a studio file; starting values where it cannot be read."""
        key = _digest(text)
        found = self._studios.get(key)
        if found is None:
            found = read_studio(text).studio or Studio()
            self._studios.put(key, found)
        return found

    def evaluate(self, text: str, studio_text: str) -> Evaluation:
        """Read, build and plan a job file; never raises for what is in it."""
        day = self._today()
        key = _digest(text, studio_text, day.isoformat())
        found = self._evaluations.get(key)
        if found is None:
            with self._turns:
                found = self._evaluations.get(key) or self._evaluate(text, studio_text, day)
            self._evaluations.put(key, found)
        return found

    def knows(self, text: str, studio_text: str) -> bool:
        """Whether `can_plan` was asked before, and answers without planning."""
        return self._plannable.get(self._asked(text, studio_text)) is not None

    def _asked(self, text: str, studio_text: str) -> str:
        return _digest(text, studio_text, self._today().isoformat())

    def can_plan(self, text: str, studio_text: str) -> bool:
        """Whether a job can be planned with these settings."""
        key = self._asked(text, studio_text)
        found = self._plannable.get(key)
        if found is None:
            found = self.evaluate(text, studio_text).plan is not None
            self._plannable.put(key, found)
        return found

    def _evaluate(self, text: str, studio_text: str, day: dt.date) -> Evaluation:
        studio = self.studio(studio_text)
        usual = day + dt.timedelta(days=USUALLY_AHEAD_DAYS)
        settings = studio.model_dump_json(include=BUILT_WITH)
        keys: dict[str, str] = {}

        def build_piece(spec: PieceSpec, ctx: Context, place: str) -> Assembly:
            keys[place] = self._key(spec, ctx, settings)
            assembly = self._pieces.get(keys[place])
            if assembly is None:
                assembly = engine.build_alone(spec, ctx, place)
                self.built += 1
                self._pieces.put(keys[place], assembly)
            return replace(assembly, name=spec.name)

        try:
            tables = tables_of(text)
        except NoTables:
            tables = {}
        whole = planning.evaluate(
            read_job(text, SPECS, usual_date=usual),
            studio,
            today=day,
            build_piece=build_piece,
            piece_plan=self._planner(keys),
        )
        pieces = tuple(
            BuiltPiece(keys.get(piece.place, ""), piece.place, piece.spec, piece.assembly)
            for piece in whole.pieces
        )
        found = in_order([*whole.findings, *self._settings_findings(studio_text)])
        findings = tuple(on_the_desk(finding) for finding in found)
        if whole.plan is None:
            estimate = self._estimate(whole.reading, studio, pieces, findings, keys)
            return Evaluation(whole.reading, tables, studio, pieces, None, findings, estimate)
        if any(finding.code == NO_DATE for finding in findings):
            return Evaluation(whole.reading, tables, studio, pieces, None, findings, whole.plan)
        return Evaluation(whole.reading, tables, studio, pieces, whole.plan, findings)

    def _estimate(
        self,
        reading: Reading,
        studio: Studio,
        pieces: tuple[BuiltPiece, ...],
        findings: tuple[Finding, ...],
        keys: Mapping[str, str],
    ) -> Plan | None:
        """A plan of the pieces that have no error; None where something else is wrong."""
        wrong = [f.place for f in findings if f.severity == "error"]
        good = [p for p in pieces if not any(within(at, p.place) for at in wrong)]
        good = [p for p in good if p.assembly is not None]
        names = {piece.spec.name for piece in good}
        elsewhere = any(not place.startswith(("pieces", "options")) for place in wrong)
        if reading.draft is None or elsewhere or not good or len(names) != len(good):
            return None
        draft = reading.draft
        options = [
            option.model_copy(update={"pieces": [n for n in option.pieces if n in names]})
            for option in draft.options
        ]
        job = draft.model_copy(
            update={
                "pieces": tuple(piece.spec for piece in good),
                "options": tuple(option for option in options if option.pieces),
            }
        )
        ctx, _ = engine.context_for(job, studio.catalog(), studio)
        built = engine.Built(ctx, {p.spec.name: p.assembly for p in good if p.assembly}, ())
        places = {f"pieces[{at}]": piece.place for at, piece in enumerate(good)}
        try:
            return planning.assemble_plan(
                job, studio, built, piece_plan=self._planner(keys, places)
            )
        except planning.JobHasErrors:
            return None

    def _settings_findings(self, studio_text: str) -> Iterator[Finding]:
        """That the settings cannot be read, said in every job: it is planned without them."""
        if studio_text.strip() and read_studio(studio_text).studio is None:
            yield caution(
                "settings-unread",
                "",
                message("The studio's settings cannot be read; starting values hold instead."),
                message("Fix them under Studio, File."),
            )

    def _planner(
        self, keys: Mapping[str, str], places: Mapping[str, str] | None = None
    ) -> PiecePlanner:
        """Plans a piece, or takes the plan it had when all that matters was the same.

        Args:
            keys: of the pieces, by their place in the file.
            places: in the file, by their place among the pieces that are planned.
        """

        def planned(
            spec: PieceSpec,
            assembly: Assembly,
            place: str,
            catalog: Catalog,
            around: Surroundings,
            helium: Helium,
        ) -> PiecePlan:
            place = places[place] if places is not None else place
            key = (keys[place], around, helium)  # the catalogue is the studio's, which is in keys
            found = self._plans.get(key)
            if found is None:
                found = piece_alone(spec, assembly, place, catalog, around, helium)
                self.planned += 1
                self._plans.put(key, found)
            return replace(found, spec=spec, assembly=assembly, place=place)

        return planned

    def _key(self, spec: PieceSpec, ctx: Context, settings: str) -> str:
        """Changes exactly when something does that building the piece reads.

        A piece names shades in many places (slots, topper, ribbon, legend of a picture): every
        text in it that is the name of a shade counts as one.
        """
        named = sorted(name for name in _texts(spec.model_dump()) if name in ctx.shades)
        shades = [ctx.shades[name] for name in named]
        inner = [ctx.shades.get(shade.inner) for shade in shades if shade.inner]
        own = spec.model_dump_json(exclude=set(APART))
        return _digest(own, repr(shades), repr(inner), settings, ctx.system)


def _texts(value: object) -> set[str]:
    """Every text in a dumped piece, keys too."""
    if isinstance(value, str):
        return {value}
    found: set[str] = set()
    if isinstance(value, Mapping):
        for key, inner in value.items():
            found |= _texts(key) | _texts(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            found |= _texts(inner)
    return found


def _weight(evaluation: Evaluation) -> float:
    return 100.0 + sum(
        len(piece.assembly) for piece in evaluation.pieces if piece.assembly is not None
    )


def _digest(*parts: str) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:24]


def price_band(price: Decimal) -> tuple[Decimal, Decimal]:
    """From and to of an instant estimate: a tenth below and a fifth above, in whole tens."""
    ten = Decimal(10)
    low = (price * Decimal("0.9") / ten).to_integral_value(ROUND_FLOOR) * ten
    high = (price * Decimal("1.2") / ten).to_integral_value(ROUND_CEILING) * ten
    return low, high
