"""Plans for the paper tests: the example's pieces, built once, under any names and numbers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any

from airwright.decor import engine
from airwright.decor.pieces import SPECS
from airwright.job import Job, OptionSpec, Studio, read_job
from airwright.plan.planning import assemble_plan
from airwright.plan.values import Plan

TODAY = dt.date(2027, 3, 1)


@cache
def example_job() -> Job:
    text = files("airwright.job").joinpath("examples", "ferry-terminal.toml").read_text("utf-8")
    reading = read_job(text, SPECS)
    assert reading.job is not None
    return reading.job


@cache
def built() -> engine.Built:
    job, studio = example_job(), Studio()
    return engine.build(job, studio.catalog(), studio)


@cache
def example_plan() -> Plan:
    return assemble_plan(example_job(), Studio(), built(), today=TODAY)


def studio_with(
    *, house: dict[str, Any] | None = None, pricing: dict[str, Any] | None = None
) -> Studio:
    plain = Studio()
    return plain.model_copy(
        update={
            "studio": plain.studio.model_copy(update=house or {}),
            "pricing": plain.pricing.model_copy(update=pricing or {}),
        }
    )


def plan_with(
    pieces: Sequence[str] = ("One", "Two", "Three"),
    options: Sequence[tuple[str, Sequence[str]]] = (),
    *,
    studio: Studio | None = None,
    head: dict[str, Any] | None = None,
    venue: dict[str, Any] | None = None,
    note: str = "",
    count: int = 1,
) -> Plan:
    """A plan whose pieces are the example's three in turn, under other names."""
    job = example_job()
    specs, assemblies = [], {}
    for at, name in enumerate(pieces):
        spec = job.pieces[at % 3]
        specs.append(spec.model_copy(update={"name": name, "count": count}))
        assemblies[name] = replace(built().assemblies[spec.name], name=name)
    changed = job.model_copy(
        update={
            "job": job.job.model_copy(update=head or {}),
            "venue": job.venue.model_copy(update=venue or {}),
            "pieces": tuple(specs),
            "options": tuple(
                OptionSpec(name=name, pieces=list(members), note=note) for name, members in options
            ),
        }
    )
    ready = replace(built(), assemblies=assemblies)
    return assemble_plan(changed, studio or Studio(), ready, today=TODAY)


LONG = "Bartholomewandtheextraordinarilyunbrokennameoftheclient" * 4
LONG = LONG[:200]
MARKUP = '#let x = 1; *bold* _it_ $a^2$ <b>&amp;</b> `raw` @ref ]) "quoted" \\ // no'
ARABIC = "مهرجان المرفأ الكبير للبالونات"
HEBREW = "בלונים לחתונה של משפחת כהן"
CJK = "海辺の風船まつり 株式会社 풍선 축제 气球节"
THAI = "เทศกาลลูกโป่ง"
HINDI = "गुब्बारों का मेला"
TAX = Decimal("0.0825")
