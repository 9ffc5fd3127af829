"""Addresses of letters and of the mail server."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, RequestContext
from airwright.desk.editing.edits import EditError
from airwright.desk.mail import service
from airwright.desk.mail.contexts import MailPage, WritePage
from airwright.desk.mailing.bounces import bounce_of
from airwright.desk.mailing.letters import LETTERS, Draft, draft
from airwright.desk.mailing.message import Built, Letter, build, summary_of
from airwright.desk.mailing.outbox import letter_of, reminder_key
from airwright.desk.mailing.server import PASSWORD, can_send
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import render
from airwright.job.studio import Studio
from airwright.language import message
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.links import Links
from airwright.store.mails import DRAFT, WAITING, Mails, NewMail
from airwright.store.studio import Facts, StudioFile
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
            made = draft(session, row, evaluation, kind, number, today, now())
        except EditError as problem:
            wrong, made = (problem.what, problem.mend), Draft(kind, "", "", "", ())
        mails = service.mail_lines(Mails(session).of_job(job_id))
    server = evaluation.studio.mail
    page = WritePage(
        job=job_bar(row, "money"),
        letter=kind,
        letters=tuple(LETTERS.items()),
        number=number,
        recipient=context.text("recipient", 254) or made.recipient,
        subject=context.text("subject", 300) or made.subject,
        body=context.text("body", 8000) or made.body,
        attachments=summary_of(made.attachments),
        invitation=bool(made.invitation),
        looked_at=looked_at and wrong is None,
        can_send=can_send(server),
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
    if not can_send(studio.mail):
        raise EditError(
            message("No mail server is set."),
            message("Set it under Studio, Mail; or save the mail as a file."),
        )
    key = reminder_key(number) if kind == "reminder" else None
    new = NewMail(kind, letter.recipient, letter.subject, built.message_id, built.data, job_id, key)
    with context.writing() as session:
        Mails(session).put(new, context.actor.name)
    if context.desk.mailer is not None:
        context.desk.mailer.wake()
    return RedirectResponse(f"/jobs/{job_id}/mail?letter={kind}&number={number}&said=queued", 303)


def _link(job_id: str, context: RequestContext) -> str:
    with context.writing() as session:
        latest = Editions(session).latest(job_id)
        if latest is None:
            raise EditError(
                message("No edition was sent yet."), message("Send one on the offer page first.")
            )
        _, token = Links(session).make(job_id, LINK_DAYS, latest.id, context.text("recipient", 200))
        context.log(session, "link made", context.text("recipient", 200), job_id=job_id)
    return str(context.request.url.replace(path=f"/c/{token}", query=""))


def _built(
    job_id: str, context: RequestContext, kind: str, number: str, link: str
) -> tuple[Built, Letter, Studio]:
    today, moment = context.desk.settings.today(), now()
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        made = draft(session, row, evaluation, kind, number, today, moment)
    changed = replace(
        made,
        recipient=context.text("recipient", 254),
        subject=context.text("subject", 300),
        body=context.text("body", 8000).replace("{link}", link),
    )
    letter = letter_of(changed, evaluation.studio)
    return build(letter, moment), letter, evaluation.studio


@router.get("/mail/{mail_id}")
def letter(mail_id: str, context: ByOwner) -> Response:
    """A letter as it goes out, or went."""
    with context.reading() as session:
        row = Mails(session).get(mail_id)
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
        return render(context, service.letter_page(row, can_send=can_send(studio.mail)))


@router.get("/mail/{mail_id}/file")
def file(mail_id: str, context: ByOwner) -> Response:
    """A letter as a file for a mail program."""
    with context.reading() as session:
        row = Mails(session).get(mail_id)
        head = {"content-disposition": f'attachment; filename="{row.kind}.eml"'}
        return Response(row.message, media_type="message/rfc822", headers=head)


@router.post("/mail/{mail_id}/{what}")
def change(mail_id: str, what: str, context: ByOwner) -> Response:
    """Send a draft, try a mail again, do not send it after all, or note that it went by hand."""
    with context.writing() as session:
        mails = Mails(session)
        row = mails.get(mail_id)
        if what == "sent":
            mails.went(mail_id)
        elif what == "stop":
            mails.stop(mail_id)
        else:
            _refuse_without_server(context, StudioFile(session).get()[0])
            mails.again(mail_id)
        job_id = row.job_id
    if context.desk.mailer is not None:
        context.desk.mailer.wake()
    back = context.text("back", 20)
    here = "/mail" if back == "mail" or not job_id else f"/jobs/{job_id}/mail?letter=offer"
    return RedirectResponse(here, 303)


def _refuse_without_server(context: RequestContext, studio_text: str) -> None:
    if not can_send(context.desk.builder.studio(studio_text).mail):
        raise EditError(
            message("No mail server is set."),
            message("Set it under Studio, Mail; or save the mail as a file."),
        )


@router.get("/mail")
def mail(context: ByOwner) -> Response:
    """Letters that wait, the server's password, and mail that came back."""
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
        mails = Mails(session)
        page = MailPage(
            server=studio.mail.server,
            can_send=can_send(studio.mail),
            mailbox=studio.mail.mailbox,
            has_password=bool(Facts(session).get(PASSWORD)),
            waiting=mails.count(WAITING),
            drafts=mails.count(DRAFT),
            mails=service.mail_lines(mails.unsent()),
        )
    return render(context, page)


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
        Facts(session).put(PASSWORD, context.text("password", 500))


def _bounced(context: RequestContext, data: bytes) -> None:
    names, said = bounce_of(data)
    with context.writing() as session:
        found = [row for name in names if (row := Mails(session).bounced(name, said)) is not None]
    if not found:
        raise EditError(
            message("This report names no mail of ours."),
            message("Save the mail that came back as an .eml file."),
        )
