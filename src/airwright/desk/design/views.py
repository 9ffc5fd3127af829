"""What of a job goes onto its pages."""

from __future__ import annotations

from airwright.decor.assembly import Assembly
from airwright.desk.design.contexts import PieceTag, Shown
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.shade_names import shades_named
from airwright.desk.pages import money


def piece_tags(evaluation: Evaluation, chosen: int | None) -> tuple[PieceTag, ...]:
    """One entry a piece of the file, also for those that cannot be read."""
    built = {piece.place: piece for piece in evaluation.pieces}
    rows = evaluation.tables.get("pieces", [])
    tags = []
    for index, table in enumerate(rows if isinstance(rows, list) else []):
        place = f"pieces[{index}]"
        values = table if isinstance(table, dict) else {}
        piece = built.get(place)
        made = piece.assembly if piece else None
        name = str(values.get("name", f"Piece {index + 1}"))
        wrong = [
            f
            for f in evaluation.findings
            if f.severity == "error" and (f.place == place or f.place.startswith(f"{place}."))
        ]
        tags.append(
            PieceTag(
                index=index,
                name=name,
                kind=str(values.get("kind", "?")),
                count=piece.spec.count if piece else 1,
                balloons=len(made) if made is not None else 0,
                colours=_colours(made),
                errors=len(wrong),
                chosen=index == chosen,
                only_in=_only_in(evaluation, name),
            )
        )
    return tuple(tags)


def _only_in(evaluation: Evaluation, name: str) -> tuple[str, ...]:
    rows = evaluation.tables.get("options", [])
    return tuple(
        str(row.get("name", ""))
        for row in (rows if isinstance(rows, list) else [])
        if isinstance(row, dict) and row.get("pieces") == [name]
    )


def _colours(made: Assembly | None, most: int = 5) -> tuple[str, ...]:
    if made is None:
        return ()
    used = dict.fromkeys(made.shades[int(index)].colour for index in made.shade)
    return tuple(used)[:most]


def shade_list(evaluation: Evaluation) -> tuple[tuple[str, str], ...]:
    """The job's shades and their colours."""
    from airwright.decor.context import shades_of

    if evaluation.job is None:
        return ()
    table = shades_of(evaluation.job, evaluation.studio.catalog())
    return tuple((name, table[name].colour) for name in evaluation.job.shades if name in table)


def shade_pairs(evaluation: Evaluation) -> dict[str, tuple[str, str]]:
    """Shades made of one balloon in another: name → the one inside and the one outside."""
    from airwright.job import DoubleSpec

    shades = evaluation.job.shades if evaluation.job is not None else {}
    return {n: (v.inside, v.outside) for n, v in shades.items() if isinstance(v, DoubleSpec)}


def stock_list(evaluation: Evaluation) -> tuple[tuple[str, str, str], ...]:
    """The studio's shades that the job does not have yet: name, colour, finish."""
    own = set(evaluation.job.shades) if evaluation.job is not None else set()
    rows = evaluation.studio.catalog().shades.values()
    return tuple((row.name, row.colour, row.finish) for row in rows if row.name not in own)


def used_shades(evaluation: Evaluation) -> frozenset[str]:
    """Names of shades that pieces use, or other shades are made of."""
    from airwright.job import ShadeSpec

    shades = evaluation.job.shades if evaluation.job is not None else {}
    inner = {v.inner for v in shades.values() if isinstance(v, ShadeSpec) and v.inner}
    parts = {name for pair in shade_pairs(evaluation).values() for name in pair}
    rows = evaluation.tables.get("pieces", [])
    named = (shades_named(row) for row in (rows if isinstance(rows, list) else []))
    return frozenset(inner | parts | set().union(*named))


def size_list(evaluation: Evaluation) -> tuple[tuple[str, str], ...]:
    """Sizes of the studio's balloons, and what each is usually blown to [in]."""
    return tuple(
        (balloon.size, f"{balloon.usual_in:g}")
        for balloon in evaluation.studio.catalog().balloons.values()
    )


def shown(evaluation: Evaluation, *, price: bool, cost: bool) -> Shown | None:
    """The figures of the whole job."""
    plan = evaluation.shown
    if plan is None:
        return None
    currency = plan.money.currency
    counted = {piece.name for piece in plan.pieces}
    return Shown(
        left_out=tuple(tag.name for tag in piece_tags(evaluation, None) if tag.name not in counted),
        balloons=sum(len(p.assembly) * p.count for p in plan.in_scope),
        hours=plan.hours,
        price=money(plan.money.price, currency) if price else "",
        cost=money(plan.money.cost, currency) if cost else "",
        margin=money(plan.money.margin, currency) if cost else "",
    )
