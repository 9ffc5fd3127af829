"""Builds and plans jobs as they are changed; a piece that did not change is not built again."""

from __future__ import annotations

import datetime as dt
import hashlib
import tomllib
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from threading import BoundedSemaphore, Lock
from typing import Any, Generic, TypeVar

from airwright.build import engine
from airwright.build.assembly import Assembly
from airwright.build.context import Context
from airwright.build.kinds import BuildError
from airwright.build.pieces import KINDS, SPECS
from airwright.desk.live.document import shades_named
from airwright.job import Finding, Job, PieceSpec, Reading, Studio, has_errors, in_order, read_job
from airwright.job.findings import error
from airwright.job.studio_reading import read_studio
from airwright.plan.planning import assemble_plan
from airwright.plan.values import Plan
from airwright.store.jobs import Head, Summary

BUILDS_AT_ONCE = 2
PIECES_KEPT = 600
LOOKS_KEPT = 80

APART = ("name", "count", "note", "spot")
"""Keys of a piece that do not change how it is built."""

NO_PIECES = "no-pieces"

Kept = TypeVar("Kept")


class Shelf(Generic[Kept]):
    """The last few of something, by key; safe to use from several threads."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._rows: OrderedDict[str, Kept] = OrderedDict()
        self._lock = Lock()

    def get(self, key: str) -> Kept | None:
        """What is kept under a key."""
        with self._lock:
            if key in self._rows:
                self._rows.move_to_end(key)
                return self._rows[key]
            return None

    def put(self, key: str, value: Kept) -> None:
        """Keep it; what was used longest ago gives way."""
        with self._lock:
            self._rows[key] = value
            self._rows.move_to_end(key)
            while len(self._rows) > self._size:
                self._rows.popitem(last=False)


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
class Look:
    """What a job's text comes to.

    Attributes:
        reading: the file as read.
        tables: the file's raw tables, {} when it is no TOML.
        studio: the settings it was planned with.
        pieces: all that could be read, built where possible.
        plan: None while any finding is an error.
        findings: everything, located, errors first.
    """

    reading: Reading
    tables: Mapping[str, Any]
    studio: Studio
    pieces: tuple[BuiltPiece, ...]
    plan: Plan | None
    findings: tuple[Finding, ...]

    @property
    def job(self) -> Job | None:
        """The job, or its draft while it has errors."""
        return self.reading.job or self.reading.draft

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
        plan = self.plan
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
        self._pieces: Shelf[Assembly] = Shelf(PIECES_KEPT)
        self._looks: Shelf[Look] = Shelf(LOOKS_KEPT)
        self._studios: Shelf[Studio] = Shelf(8)
        self._turns = BoundedSemaphore(BUILDS_AT_ONCE)
        self.built = 0  # pieces built rather than found on the shelf; tests and bench read it

    def studio(self, text: str) -> Studio:
        """The settings of a studio file; starting values where it cannot be read."""
        key = _digest(text)
        found = self._studios.get(key)
        if found is None:
            found = read_studio(text).studio or Studio()
            self._studios.put(key, found)
        return found

    def look(self, text: str, studio_text: str) -> Look:
        """Read, build and plan a job file; never raises for what is in it."""
        day = self._today()
        key = _digest(text, studio_text, day.isoformat())
        found = self._looks.get(key)
        if found is None:
            with self._turns:
                found = self._looks.get(key) or self._look(text, studio_text, day)
            self._looks.put(key, found)
        return found

    def _look(self, text: str, studio_text: str, day: dt.date) -> Look:
        studio = self.studio(studio_text)
        reading = read_job(text, SPECS)
        try:
            tables: Mapping[str, Any] = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, RecursionError):
            tables = {}
        draft = reading.job or reading.draft
        if draft is None:
            return Look(reading, tables, studio, (), None, reading.findings)
        ctx, findings = engine.context_for(draft, studio.catalog(), studio)
        places = reading.piece_places
        findings += engine.check(draft, ctx, places)
        wrong = tuple(f.place for f in findings if f.severity == "error")
        pieces = []
        for spec, place in zip(draft.pieces, places, strict=True):
            key = self._key(spec, ctx, studio_text)
            assembly = None
            if not any(_within(at, place) for at in wrong):
                assembly, problem = self._build(spec, ctx, key, place)
                findings += problem
            pieces.append(BuiltPiece(key, place, spec, assembly))
        built = tuple(pieces)
        found = in_order([*reading.findings, *reading.located(findings)])
        if reading.job is None or has_errors(found):
            return Look(reading, tables, studio, built, None, found)
        plan = assemble_plan(
            reading.job,
            studio,
            engine.Built(
                ctx, {p.spec.name: p.assembly for p in built if p.assembly}, in_order(findings)
            ),
            today=day,
        )
        found = in_order([*reading.findings, *reading.located(plan.findings)])
        return Look(reading, tables, studio, built, plan, found)

    def _build(
        self, spec: PieceSpec, ctx: Context, key: str, place: str
    ) -> tuple[Assembly | None, list[Finding]]:
        assembly = self._pieces.get(key)
        if assembly is None:
            try:
                assembly = KINDS[spec.kind].build(spec, ctx)
            except BuildError as problem:
                said = problem.finding
                return None, [error(said.code, said.place or place, said.what, said.mend)]
            self.built += 1
            self._pieces.put(key, assembly)
        return replace(assembly, name=spec.name), []

    def _key(self, spec: PieceSpec, ctx: Context, studio_text: str) -> str:
        table = spec.model_dump(mode="json")
        shades = sorted(shades_named(table))
        seen = [repr(ctx.shades.get(name)) for name in shades]
        inner = [
            repr(ctx.shades.get(s.inner)) for n in shades if (s := ctx.shades.get(n)) and s.inner
        ]
        own = spec.model_dump_json(exclude=set(APART))
        return _digest(own, *seen, *inner, studio_text)


def _within(at: str, place: str) -> bool:
    return at == place or at.startswith((f"{place}.", f"{place}["))


def _digest(*parts: str) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:24]


def price_band(price: Decimal) -> tuple[Decimal, Decimal]:
    """From and to of an instant estimate: a tenth below and a fifth above, in whole tens."""
    ten = Decimal(10)
    low = (price * Decimal("0.9") / ten).to_integral_value(ROUND_FLOOR) * ten
    high = (price * Decimal("1.2") / ten).to_integral_value(ROUND_CEILING) * ten
    return low, high
