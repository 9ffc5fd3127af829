"""Addresses of the workshop."""

from __future__ import annotations

from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, ByOwner, RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.job_changes import start
from airwright.desk.pages import render
from airwright.desk.studio_changes import change, done
from airwright.desk.workshop import service
from airwright.desk.workshop.contexts import LetteringPage, MixPage, MosaicPage, Wrong
from airwright.job.studio import Studio
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile

router = APIRouter()
LARGEST_FONT = 5_000_000
LARGEST_IMAGE = 11_000_000
USUAL_COLOUR = "#c9b8d4"
USUAL_SIZE = "11in @ 10in"
MOSAIC = {"width": "12 ft", "cluster": "4 x 5in @ 4.5in", "most": "", "style": "smooth"}
LETTERING = {"text": "", "balloon": "36in @ 34in", "height": "", "mirror": ""}
TRIAL = ("outside", "inside", "balloon", "colour")


@router.get("/workshop/mix")
def mix(
    context: ByDesigner,
    colour: Annotated[str, Query(max_length=20)] = "",
    size: Annotated[str, Query(max_length=40)] = USUAL_SIZE,
) -> Response:
    """The nearest one or two balloons to a colour."""
    return _mix(context, colour, size)


def _mix(context: RequestContext, colour: str, size: str, wrong_trial: Wrong = None) -> Response:
    studio, version = _studio(context)
    answer, wrong = None, None
    if colour:
        try:
            answer = service.mixed(studio, colour, size)
        except EditError as problem:
            wrong = (problem.what, problem.mend)
    page = MixPage(
        tab="mix",
        typed={"colour": colour or USUAL_COLOUR, "size": size}
        | {f"trial_{name}": context.text(name, 60) for name in TRIAL},
        wrong=wrong,
        answer=answer,
        shades=tuple(studio.catalog().shades),
        trials=tuple(
            f"{trial.inside} inside {trial.outside}, {trial.balloon}: {trial.colour}"
            for trial in studio.trials
        ),
        wrong_trial=wrong_trial,
        version=version,
    )
    return render(context, page, status=422 if wrong or wrong_trial else 200)


@router.post("/studio/trials")
def add_trial(context: ByOwner) -> Response:
    """A pair that was blown up and looked at."""
    given = {name: context.text(name, 60) for name in TRIAL}
    try:
        change(context, lambda text: service.with_trial(text, given))
    except EditError as problem:
        return _mix(context, "", USUAL_SIZE, (problem.what, problem.mend))
    return done(context, "/workshop/mix?said=saved")


@router.post("/studio/trials/remove")
def remove_trial(context: ByOwner) -> Response:
    """A trial less."""
    index = context.text("index")
    at = int(index) if index.isdecimal() else -1
    change(context, lambda text: service.without_trial(text, at))
    return done(context, "/workshop/mix?said=saved")


@router.get("/workshop/mosaic")
def mosaic(context: ByDesigner) -> Response:
    """A picture or logo as a wall."""
    return render(context, MosaicPage("mosaic", MOSAIC, None, None))


@router.post("/workshop/mosaic")
def lay_mosaic(context: ByDesigner) -> Response:
    """The picture laid: how it looks, what it takes."""
    typed = {name: context.text(name, 60) for name in MOSAIC}
    try:
        data, name = _uploaded(context, "image", LARGEST_IMAGE)
        if data is None:
            raise EditError("No picture was picked.", "Pick a PNG, JPEG or WebP file.")
        studio, _ = _studio(context)
        today = context.desk.settings.today()
        made = service.mosaic(studio, typed, data, PurePath(name).stem or "Mosaic", today)
    except EditError as problem:
        page = MosaicPage("mosaic", typed, (problem.what, problem.mend), None)
        return render(context, page, status=422)
    return render(context, MosaicPage("mosaic", typed, None, made))


@router.post("/workshop/mosaic/job")
def mosaic_job(context: ByDesigner) -> Response:
    """The wall just shown becomes a job."""
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job

    text = context.text("job", 500_000)
    reading = read_job(text, SPECS)
    if reading.job is None:
        first = reading.findings[0]
        raise EditError(first.what, first.mend)
    with context.writing() as session:
        studio_text = StudioFile(session).get()[0]
        jobs = Jobs(session)
        row, _ = start(context.desk.builder, jobs, studio_text, reading.text, context.actor.name)
        row.stage = "drawn"
        return RedirectResponse(f"/jobs/{row.id}", 303)


@router.get("/workshop/lettering")
def lettering(context: ByDesigner) -> Response:
    """A name for a balloon."""
    return render(context, LetteringPage("lettering", LETTERING, None, None))


@router.post("/workshop/lettering")
def lay_lettering(context: ByDesigner) -> Response:
    """The name laid out, as files for the cutter."""
    typed = {name: context.text(name, 120) for name in LETTERING}
    try:
        font, _ = _uploaded(context, "font", LARGEST_FONT)
        studio, _ = _studio(context)
        made = service.laid_out(studio, typed, font)
    except EditError as problem:
        page = LetteringPage("lettering", typed, (problem.what, problem.mend), None)
        return render(context, page, status=422)
    return render(context, LetteringPage("lettering", typed, None, made))


def _studio(context: RequestContext) -> tuple[Studio, int]:
    with context.reading() as session:
        text, version = StudioFile(session).get()
    return context.desk.builder.studio(text), version


def _uploaded(context: RequestContext, field: str, most: int) -> tuple[bytes | None, str]:
    """An uploaded file and its name, None where none was picked. Raises EditError."""
    sent = context.file(field)
    if sent is None:
        return None, ""
    data = sent.file.read(most + 1)
    if len(data) > most:
        raise EditError("The file is too large.", f"Take one below {most // 1_000_000} MB.")
    return data, sent.filename or ""
