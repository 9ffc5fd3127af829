"""A saved design in another size, palette or budget, without being drawn again.

Lengths of the armature and numbers of what is counted out by hand grow; balloons keep their
sizes, so that a column twice as tall takes twice as many and not larger ones.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from airwright.decor.kinds import grown
from airwright.decor.pieces import KINDS
from airwright.job.models import DoubleSpec, Job, ShadeSpec
from airwright.job.pieces import PieceSpec
from airwright.job.studio import Studio
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.plan.planning import JobHasErrors, make_plan
from airwright.plan.values import Plan
from airwright.units import INCH_M, System

Palette = Mapping[str, str | ShadeSpec]
"""Shades by name, in the order they take the places of a job's own."""

LEAST_FACTOR, MOST_FACTOR = 0.05, 20.0
BUDGET_STEP: Final = 0.05
"""Sizes tried for a budget differ by so much of the design."""


class ResizeError(ValueError):
    """A design that cannot be had so: `what` is wrong, and how to `mend` it."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """The largest size of a design within a budget.

    Attributes:
        job: the design in that size.
        plan: its plan.
        factor: its size over the design's own.
        price: of its dearest option.
        tried: how many sizes were planned to find it.
    """

    job: Job
    plan: Plan
    factor: float
    price: Decimal
    tried: int


def scaled(
    job: Job, factor: float, *, pieces: Sequence[str] | None = None, system: System | None = None
) -> Job:
    """The design `factor` times as large.

    Args:
        job: the design.
        factor: 0.05 to 20.
        pieces: names of the pieces that change; all if left out.
        system: rounds lengths to what a tape shows (half feet or 10 cm, finer below 5 of those).

    Raises:
        ResizeError: a piece cannot be had in that size.
    """
    if not (math.isfinite(factor) and LEAST_FACTOR <= factor <= MOST_FACTOR):
        raise ResizeError(
            message("A design {factor} times as large cannot be made.", factor=f"{factor:g}"),
            message(
                "Take {least_factor} to {most_factor} times.",
                least_factor=f"{LEAST_FACTOR:g}",
                most_factor=f"{MOST_FACTOR:g}",
            ),
        )
    if factor == 1.0:
        return job
    return _each(job, pieces, lambda piece: _stretched(piece, factor, system))


def to_height(
    job: Job,
    height_m: float,
    *,
    pieces: Sequence[str] | None = None,
    system: System | None = None,
) -> Job:
    """The design with its pieces at another height [m], everything else of them in proportion.

    Pieces without a height of their own keep theirs. Raises ResizeError.
    """
    if not (math.isfinite(height_m) and height_m > 0):
        raise ResizeError(
            message("That is no height."), message('Give one like "7 ft" or "2.10 m".')
        )

    def taller(piece: PieceSpec) -> PieceSpec:
        now = getattr(piece, "height", None)
        if "height" not in stretches(piece) or not now:
            return piece
        grown = _stretched(piece, height_m / now, system)
        return _checked(piece, {**_values(grown), "height": height_m})

    changed = _each(job, pieces, taller)
    if changed == job and not any("height" in stretches(p) for p in _named(job, pieces)):
        raise ResizeError(
            message("None of these pieces has a height to change."),
            message("Give a factor or a budget instead."),
        )
    return changed


def with_palette(job: Job, palette: Palette) -> Job:
    """The design in other shades: the first shade's place is taken by the palette's first, ….

    A palette shorter than the job's begins again. Raises ResizeError for an empty palette, or
    shades that cannot be.
    """
    if not palette:
        raise ResizeError(
            message("The palette is empty."),
            message('Give shades like "navy=#20304a, gold=#c9a24a".'),
        )
    fresh = list(palette)
    old = [name for name in job.shades if not _inner_only(job, name)]
    if not old:
        raise ResizeError(
            message("This design names no shades of its own under [shades]."),
            message("Give its shades a line each under [shades] first."),
        )
    names = {name: fresh[at % len(fresh)] for at, name in enumerate(old)}
    kept = {name: value for name, value in job.shades.items() if name not in names}
    shades = {**kept, **{name: palette[name] for name in dict.fromkeys(names.values())}}
    pieces = tuple(
        _checked(piece, _renamed(_values(piece), names, KINDS[piece.kind].shade_keys))
        for piece in job.pieces
    )
    try:
        return Job.model_validate({**_values(job), "shades": shades, "pieces": pieces})
    except ValidationError as problem:
        found = findings_of(problem, (), Job)[0]
        raise ResizeError(found.what, found.mend) from problem


def only(job: Job, option: str) -> Job:
    """The design with one of its options and the pieces of that one. Raises ResizeError."""
    for spec in job.effective_options():
        if spec.name == option:
            pieces = tuple(piece for piece in job.pieces if piece.name in spec.pieces)
            options = (spec,) if job.options else ()
            head = job.job.model_copy(update={"chosen": None})
            return job.model_copy(update={"job": head, "pieces": pieces, "options": options})
    known = ", ".join(spec.name for spec in job.effective_options())
    raise ResizeError(
        message('There is no option "{option}".', option=option),
        message("Name one of: {known}.", known=known),
    )


def within_budget(
    job: Job,
    budget: Decimal,
    studio: Studio | None = None,
    *,
    least: float = 0.4,
    most: float = 2.0,
    system: System | None = None,
) -> Fitted:
    """The largest size whose price, without tax, is within a budget.

    Sizes from `least` to `most` times the design's are searched by halving; every option must be
    within the budget. The price of what is returned was reckoned, not guessed.

    Raises:
        ResizeError: even the smallest size that can be built costs more.
    """
    studio = Studio() if studio is None else studio
    lattice = [
        round(least + BUDGET_STEP * k, 4) for k in range(round((most - least) / BUDGET_STEP) + 1)
    ]
    low, high, best = 0, len(lattice) - 1, None
    tried, cheapest = 0, None
    while low <= high:
        at = (low + high) // 2
        tried += 1
        try:
            changed = scaled(job, lattice[at], system=system)
            plan = make_plan(changed, studio)
        except (ResizeError, JobHasErrors):
            # Out of its bounds: towards the size it was designed in, it can be built.
            low, high = (at + 1, high) if lattice[at] < 1.0 else (low, at - 1)
            continue
        price = max(option.money.price for option in plan.options)
        if price <= budget:
            best = Fitted(changed, plan, lattice[at], price, tried)
            low = at + 1
        else:
            cheapest = price if cheapest is None else min(cheapest, price)
            high = at - 1
    if best is None:
        least_price = (
            message(" The smallest tried costs {cheapest}.", cheapest=cheapest)
            if cheapest is not None
            else ""
        )
        raise ResizeError(
            f"This design cannot be had for {budget}.{least_price}",
            message("Raise the budget, take pieces out, or start from a simpler design."),
        )
    return Fitted(best.job, best.plan, best.factor, best.price, tried)


def stretches(piece: PieceSpec) -> tuple[str, ...]:
    """The lengths of a piece that grow with it."""
    fields = type(piece).model_fields
    return tuple(name for name in KINDS[piece.kind].grows if name in fields)


# ---- one piece --------------------------------------------------------------------


def _stretched(piece: PieceSpec, factor: float, system: System | None) -> PieceSpec:
    values = _values(piece)
    for name in stretches(piece):
        if values.get(name) is not None:
            values[name] = _on_tape(values[name] * factor, system)
    fillers = values.get("fillers")
    if fillers is not None:
        values["fillers"] = fillers.model_copy(update={"count": grown(fillers.count, factor)})
    return _checked(piece, {**values, **KINDS[piece.kind].counted(values, factor)})


def _on_tape(metres: float, system: System | None) -> float:
    """A length as a tape shows it: half feet or 10 cm, inches or 2 cm where it is short."""
    if system is None:
        return metres
    step, fine = (6 * INCH_M, INCH_M) if system is System.FEET else (0.10, 0.02)
    unit = step if metres >= 5 * step else fine
    number = max(1, round(metres / unit))
    # from whole inches or centimetres, so that it is written without a tail of digits
    return (
        number * round(unit / INCH_M) * INCH_M if system is System.FEET else round(number * unit, 2)
    )


def _checked(piece: PieceSpec, values: Mapping[str, Any]) -> PieceSpec:
    """The piece with other values, held against its bounds."""
    try:
        return type(piece).model_validate(dict(values))
    except ValidationError as problem:
        found = findings_of(problem, (), type(piece))[0]
        raise ResizeError(f'"{piece.name}" cannot be had so: {found.what}', found.mend) from problem


def _values(model: BaseModel) -> dict[str, Any]:
    return {name: getattr(model, name) for name in type(model).model_fields}


def _each(job: Job, names: Sequence[str] | None, change: Any) -> Job:
    wanted = {piece.name for piece in _named(job, names)}
    pieces = tuple(change(piece) if piece.name in wanted else piece for piece in job.pieces)
    return job.model_copy(update={"pieces": pieces})


def _named(job: Job, names: Sequence[str] | None) -> list[PieceSpec]:
    if names is None:
        return list(job.pieces)
    known = {piece.name: piece for piece in job.pieces}
    for name in names:
        if name not in known:
            raise ResizeError(
                message('There is no piece "{name}".', name=name),
                message("Name one of: {known}.", known=", ".join(known)),
            )
    return [known[name] for name in names]


# ---- shades within a piece -----------------------------------------------------------


def _inner_only(job: Job, name: str) -> bool:
    """A shade that is only seen inside a clear balloon is no colour of the palette's own."""
    inner = {v.inner for v in job.shades.values() if isinstance(v, ShadeSpec)}
    for value in job.shades.values():
        if isinstance(value, DoubleSpec):
            inner |= {value.inside, value.outside}
    return name in inner and not any(
        _names_shade(_values(p), name, KINDS[p.kind].shade_keys) for p in job.pieces
    )


def _names_shade(values: Mapping[str, Any], name: str, keys: frozenset[str]) -> bool:
    return any(_mentions(value, name, keys, key in keys) for key, value in values.items())


def _mentions(value: Any, name: str, keys: frozenset[str], coloured: bool) -> bool:
    if isinstance(value, str):
        return coloured and value == name
    if isinstance(value, BaseModel):
        return _names_shade(_values(value), name, keys)
    if isinstance(value, Mapping):
        return any(
            (coloured and k == name) or _mentions(v, name, keys, coloured) for k, v in value.items()
        )
    if isinstance(value, list | tuple):
        return any(_mentions(item, name, keys, coloured) for item in value)
    return False


def _renamed(
    value: Any, names: Mapping[str, str], keys: frozenset[str], coloured: bool = False
) -> Any:
    """Values with shades under their new names, wherever a key says that shades stand there."""
    if isinstance(value, str):
        return names.get(value, value) if coloured else value
    if isinstance(value, BaseModel):
        return type(value).model_validate(_renamed(_values(value), names, keys))
    if isinstance(value, Mapping):
        out: dict[Any, Any] = {}
        for key, item in value.items():
            new = _renamed(item, names, keys, coloured or key in keys)
            name = names.get(key, key) if coloured else key
            both = isinstance(new, int | float) and name in out
            out[name] = out[name] + new if both else new
        return out
    if isinstance(value, list | tuple):
        return type(value)(_renamed(item, names, keys, coloured) for item in value)
    return value
