"""Addresses of letters and of the mail server."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from sqlalchemy import func, select
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.mail import service
from airwright.desk.mail.contexts import MailPage, WritePage
from airwright.desk.mailing.bounces import bounce_of
from airwright.desk.mailing.message import Built, Letter, build, summary_of
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import render
from airwright.job.studio import Studio
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.links import Links
from airwright.store.mails import WAITING, Mails, NewMail
from airwright.store.offer_tables import MailRow
from airwright.store.studio import Facts
from airwright.store.types import now

router = APIRouter()
LINK_DAYS = 30
LARGEST_REPORT = 2_000_000


@router.get("/jobs/{job_id}/mail")
def write(
    job_id: str,
    context: ByOwner,
    letter: Annotated[str, Query(max_length=20)] = "offer",
    number: Annotated[str, Query(max_length=48)] = "",
) -> Response:
    """A letter to the client, to be changed and looked at."""
    return _page(job_id, context, letter, number)


def _page(
    job_id: str,
    context: RequestContext,
    kind: str,
    number: str,
    *,
    looked_at: bool = False,
    wrong: tuple[str, str] | None = None,
) -> Response:
    today = context.desk.settings.today()
    with context.writing() as session:  # an agreement or an invoice may be made on the way
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        try:
            made = service.draft(session, row, evaluation, kind, number, today, now())
        except EditError as problem:
            wrong, made = (problem.what, problem.mend), service.Draft(kind, "", "", "", ())
        mails = service.mail_lines(session, job_id)
    server = evaluation.studio.mail
    page = WritePage(
        job=job_bar(row, "money"),
        letter=kind,
        letters=tuple(service.LETTERS.items()),
        number=number,
        recipient=context.text("recipient", 254) or made.recipient,
        subject=context.text("subject", 300) or made.subject,
        body=context.text("body", 8000) or made.body,
        attachments=summary_of(made.attachments),
        invitation=bool(made.invitation),
        looked_at=looked_at and wrong is None,
        can_send=bool(server.server and server.sender),
        server=server.server,
        mails=mails,
        wrong=wrong,
    )
    return render(context, page, status=422 if wrong and context.form else 200)


@router.post("/jobs/{job_id}/mail")
def act(job_id: str, context: ByOwner) -> Response:
    """Look at it, change it again, send it, or save it as a file."""
    kind, number, do = context.text("letter", 20), context.text("number", 48), context.text("do")
    try:
        if do == "change":
            return _page(job_id, context, kind, number)
        if do in ("send", "eml"):
            return _finish(job_id, context, kind, number, sends=do == "send")
        _built(job_id, context, kind, number, link="https://link.invalid/")
        return _page(job_id, context, kind, number, looked_at=True)
    except EditError as problem:
        return _page(job_id, context, kind, number, wrong=(problem.what, problem.mend))


def _finish(
    job_id: str, context: RequestContext, kind: str, number: str, *, sends: bool
) -> Response:
    link = _link(job_id, context) if "{link}" in context.text("body", 8000) else ""
    built, letter, studio = _built(job_id, context, kind, number, link)
    if not sends:
        head = {"content-disposition": f'attachment; filename="{kind}.eml"'}
        return Response(built.data, media_type="message/rfc822", headers=head)
    if not (studio.mail.server and studio.mail.sender):
        raise EditError(
            "No mail server is set.", "Set it under Studio, Mail; or save the mail as a file."
        )
    new = NewMail(kind, letter.recipient, letter.subject, built.message_id, built.data, job_id)
    with context.writing() as session:
        Mails(session).put(new, context.actor.name)
    if context.desk.mailer is not None:
        context.desk.mailer.wake()
    return RedirectResponse(f"/jobs/{job_id}/mail?letter={kind}&number={number}&said=queued", 303)


def _link(job_id: str, context: RequestContext) -> str:
    with context.writing() as session:
        latest = Editions(session).latest(job_id)
        if latest is None:
            raise EditError("No edition was sent yet.", "Send one on the offer page first.")
        _, token = Links(session).make(job_id, LINK_DAYS, latest.id, context.text("recipient", 200))
    return str(context.request.url.replace(path=f"/c/{token}", query=""))


def _built(
    job_id: str, context: RequestContext, kind: str, number: str, link: str
) -> tuple[Built, Letter, Studio]:
    today, moment = context.desk.settings.today(), now()
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        made = service.draft(session, row, evaluation, kind, number, today, moment)
    studio = evaluation.studio
    sender = studio.mail.sender or studio.business.mail or "studio@example.invalid"
    letter = Letter(
        sender=sender,
        sender_name=studio.studio.name,
        recipient=context.text("recipient", 254),
        subject=context.text("subject", 300),
        body=context.text("body", 8000).replace("{link}", link),
        attachments=made.attachments,
        invitation=made.invitation,
        copy_to=studio.mail.sender if studio.mail.copy_to_us == "yes" else "",
    )
    return build(letter, moment), letter, studio


@router.post("/mail/{mail_id}/{what}")
def change(mail_id: str, what: str, context: ByOwner) -> Response:
    """Try a mail again, or do not send it after all."""
    with context.writing() as session:
        mails = Mails(session)
        row = mails.again(mail_id) if what == "again" else mails.stop(mail_id)
        job_id = row.job_id
    if context.desk.mailer is not None:
        context.desk.mailer.wake()
    return RedirectResponse(f"/jobs/{job_id}/mail?letter=offer" if job_id else "/mail", 303)


@router.get("/mail")
def mail(context: ByOwner) -> Response:
    """The server's password, and mail that came back."""
    with context.reading() as session:
        studio = context.desk.builder.studio(service.studio_of_text(session))
        has_password = bool(Facts(session).get(service.PASSWORD))
        query = select(func.count()).select_from(MailRow).where(MailRow.state == WAITING)
        waiting = session.scalar(query) or 0
    return render(context, MailPage(studio.mail.server, has_password, waiting))


@router.post("/mail")
async def settle(context: ByOwner) -> Response:
    """Keep the server's password, or read in a report of mail that came back."""
    sent = context.file("report")
    if sent is not None:
        data = await sent.read(LARGEST_REPORT)
        await run_in_threadpool(_bounced, context, data)
    else:
        await run_in_threadpool(_keep_password, context)
    return RedirectResponse("/mail?said=saved", 303)


def _keep_password(context: RequestContext) -> None:
    with context.writing() as session:
        Facts(session).put(service.PASSWORD, context.text("password", 500))


def _bounced(context: RequestContext, data: bytes) -> None:
    names, said = bounce_of(data)
    with context.writing() as session:
        found = [row for name in names if (row := Mails(session).bounced(name, said)) is not None]
    if not found:
        raise EditError(
            "This report names no mail of ours.", "Save the mail that came back as an .eml file."
        )
