"""Offers as sent, invoices, payments and mail."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forward."""
    op.create_table(
        "invoice_series",
        sa.Column("name", sa.String(length=30), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_invoice_series")),
    )
    op.create_table(
        "invoices",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("series", sa.String(length=30), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=48), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.Column("edition_id", sa.String(length=16), nullable=True),
        sa.Column("corrects", sa.String(length=48), nullable=True),
        sa.Column("client", sa.String(length=200), nullable=False),
        sa.Column("issued", sa.Date(), nullable=False),
        sa.Column("due", sa.Date(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("net", sa.String(length=40), nullable=False),
        sa.Column("tax", sa.String(length=40), nullable=False),
        sa.Column("owed", sa.String(length=40), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_invoices_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invoices")),
        sa.UniqueConstraint("key", name=op.f("uq_invoices_key")),
        sa.UniqueConstraint("name", name=op.f("uq_invoices_name")),
        sa.UniqueConstraint("series", "number", name=op.f("uq_invoices_series")),
    )
    with op.batch_alter_table("invoices", schema=None) as batch_op:
        batch_op.create_index("ix_invoices_issued", ["issued"], unique=False)
        batch_op.create_index(batch_op.f("ix_invoices_job_id"), ["job_id"], unique=False)

    op.create_table(
        "mails",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("recipient", sa.String(length=254), nullable=False),
        sa.Column("subject", sa.String(length=300), nullable=False),
        sa.Column("message_id", sa.String(length=200), nullable=False),
        sa.Column("message", sa.LargeBinary(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("next_try", sa.DateTime(timezone=True), nullable=True),
        sa.Column("said", sa.Text(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("sent", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_mails_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mails")),
    )
    with op.batch_alter_table("mails", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_mails_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_mails_message_id"), ["message_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_mails_state"), ["state"], unique=False)

    op.create_table(
        "offer_editions",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("planned", sa.JSON(), nullable=False),
        sa.Column("job_version", sa.Integer(), nullable=False),
        sa.Column("valid_until", sa.Date(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("withdrawn", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_offer_editions_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offer_editions")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_offer_editions_job_id")),
    )
    op.create_table(
        "payments",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.Column("invoice", sa.String(length=48), nullable=False),
        sa.Column("amount", sa.String(length=40), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("means", sa.String(length=20), nullable=False),
        sa.Column("reference", sa.String(length=140), nullable=False),
        sa.Column("takes_back", sa.String(length=16), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_payments_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_payments")),
        sa.UniqueConstraint("key", name=op.f("uq_payments_key")),
        sa.UniqueConstraint("takes_back", name=op.f("uq_payments_takes_back")),
    )
    with op.batch_alter_table("payments", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_payments_invoice"), ["invoice"], unique=False)
        batch_op.create_index(batch_op.f("ix_payments_job_id"), ["job_id"], unique=False)

    op.create_table(
        "acceptances",
        sa.Column("edition_id", sa.String(length=16), nullable=False),
        sa.Column("option", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("mail", sa.String(length=254), nullable=False),
        sa.Column("note", sa.String(length=1000), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("link_id", sa.String(length=16), nullable=True),
        sa.Column("taken_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["offer_editions.id"],
            name=op.f("fk_acceptances_edition_id_offer_editions"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", name=op.f("pk_acceptances")),
    )
    op.create_table(
        "edition_files",
        sa.Column("edition_id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("media", sa.String(length=80), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["offer_editions.id"],
            name=op.f("fk_edition_files_edition_id_offer_editions"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("edition_id", "name", name=op.f("pk_edition_files")),
    )
    op.create_table(
        "invoice_files",
        sa.Column("invoice_id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("media", sa.String(length=80), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["invoice_id"], ["invoices.id"], name=op.f("fk_invoice_files_invoice_id_invoices")
        ),
        sa.PrimaryKeyConstraint("invoice_id", "name", name=op.f("pk_invoice_files")),
    )
    op.create_table(
        "link_openings",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("link_id", sa.String(length=16), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["link_id"],
            ["client_links.id"],
            name=op.f("fk_link_openings_link_id_client_links"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link_openings")),
    )
    with op.batch_alter_table("link_openings", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_link_openings_link_id"), ["link_id"], unique=False)

    op.create_table(
        "offer_remarks",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("edition_id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_id"],
            ["offer_editions.id"],
            name=op.f("fk_offer_remarks_edition_id_offer_editions"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offer_remarks")),
    )
    with op.batch_alter_table("offer_remarks", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_offer_remarks_edition_id"), ["edition_id"], unique=False
        )

    with op.batch_alter_table("client_links", schema=None) as batch_op:
        batch_op.add_column(sa.Column("edition_id", sa.String(length=16), nullable=True))
        batch_op.add_column(
            sa.Column("recipient", sa.String(length=200), server_default="", nullable=False)
        )
        batch_op.create_index(
            batch_op.f("ix_client_links_edition_id"), ["edition_id"], unique=False
        )


def downgrade() -> None:
    """Back."""
    with op.batch_alter_table("client_links", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_client_links_edition_id"))
        batch_op.drop_column("recipient")
        batch_op.drop_column("edition_id")

    with op.batch_alter_table("offer_remarks", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_offer_remarks_edition_id"))

    op.drop_table("offer_remarks")
    with op.batch_alter_table("link_openings", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_link_openings_link_id"))

    op.drop_table("link_openings")
    op.drop_table("invoice_files")
    op.drop_table("edition_files")
    op.drop_table("acceptances")
    with op.batch_alter_table("payments", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_payments_job_id"))
        batch_op.drop_index(batch_op.f("ix_payments_invoice"))

    op.drop_table("payments")
    op.drop_table("offer_editions")
    with op.batch_alter_table("mails", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_mails_state"))
        batch_op.drop_index(batch_op.f("ix_mails_message_id"))
        batch_op.drop_index(batch_op.f("ix_mails_job_id"))

    op.drop_table("mails")
    with op.batch_alter_table("invoices", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_invoices_job_id"))
        batch_op.drop_index("ix_invoices_issued")

    op.drop_table("invoices")
    op.drop_table("invoice_series")
