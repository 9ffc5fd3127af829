"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forward."""
    op.create_table(
        "facts",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_facts")),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("last_version", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("client", sa.String(length=200), nullable=False),
        sa.Column("venue", sa.String(length=200), nullable=False),
        sa.Column("date", sa.Date(), nullable=True),
        sa.Column("errors", sa.Integer(), nullable=False),
        sa.Column("cautions", sa.Integer(), nullable=False),
        sa.Column("balloons", sa.Integer(), nullable=False),
        sa.Column("hours", sa.Double(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("price", sa.String(length=40), nullable=True),
        sa.Column("deposit", sa.String(length=40), nullable=True),
        sa.Column("deposit_paid", sa.DateTime(timezone=True), nullable=True),
        sa.Column("swatches", sa.JSON(), nullable=True),
        sa.Column("sample", sa.Boolean(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index("ix_jobs_date", "jobs", ["date"], unique=False)
    op.create_index("ix_jobs_stage_date", "jobs", ["stage", "date"], unique=False)
    op.create_table(
        "knocks",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("login", sa.String(length=120), nullable=False),
        sa.Column("address", sa.String(length=64), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("succeeded", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_knocks")),
    )
    op.create_index(op.f("ix_knocks_address"), "knocks", ["address"], unique=False)
    op.create_index(op.f("ix_knocks_login"), "knocks", ["login"], unique=False)
    op.create_table(
        "people",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("login", sa.String(length=120), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("role", sa.String(length=12), nullable=False),
        sa.Column("secret", sa.String(length=300), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
        sa.UniqueConstraint("login", name=op.f("uq_people_login")),
    )
    op.create_table(
        "saved_designs",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("price", sa.String(length=40), nullable=True),
        sa.Column("balloons", sa.Integer(), nullable=False),
        sa.Column("hours", sa.Double(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_saved_designs")),
    )
    op.create_table(
        "studio",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_studio")),
    )
    op.create_table(
        "actuals",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("what", sa.String(length=200), nullable=False),
        sa.Column("amount", sa.String(length=40), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_actuals_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_actuals")),
    )
    op.create_index(op.f("ix_actuals_job_id"), "actuals", ["job_id"], unique=False)
    op.create_table(
        "client_links",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn", sa.DateTime(timezone=True), nullable=True),
        sa.Column("choice", sa.String(length=80), nullable=True),
        sa.Column("chosen", sa.DateTime(timezone=True), nullable=True),
        sa.Column("note", sa.String(length=1000), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_client_links_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_client_links")),
        sa.UniqueConstraint("token_digest", name=op.f("uq_client_links_token_digest")),
    )
    op.create_index(op.f("ix_client_links_job_id"), "client_links", ["job_id"], unique=False)
    op.create_table(
        "files",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.Column("use", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("media", sa.String(length=80), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=True),
        sa.Column("holds_money", sa.Boolean(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_files_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_files")),
    )
    op.create_index(op.f("ix_files_job_id"), "files", ["job_id"], unique=False)
    op.create_table(
        "job_versions",
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("parent", sa.Integer(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("label", sa.String(length=200), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_job_versions_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("job_id", "number", name=op.f("pk_job_versions")),
    )
    op.create_table(
        "sittings",
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.String(length=16), nullable=False),
        sa.Column("started", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["people.id"],
            name=op.f("fk_sittings_person_id_people"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("token_digest", name=op.f("pk_sittings")),
    )
    op.create_index(op.f("ix_sittings_person_id"), "sittings", ["person_id"], unique=False)
    op.create_table(
        "tasks",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("order", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("total", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.Column("cancel", sa.Boolean(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("worker", sa.String(length=80), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("beat", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_tasks_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tasks")),
    )
    op.create_index(op.f("ix_tasks_job_id"), "tasks", ["job_id"], unique=False)
    op.create_index(op.f("ix_tasks_state"), "tasks", ["state"], unique=False)
    op.create_table(
        "ticks",
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("item", sa.String(length=200), nullable=False),
        sa.Column("ticked", sa.Boolean(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_ticks_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("job_id", "item", name=op.f("pk_ticks")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("ticks")
    op.drop_index(op.f("ix_tasks_state"), table_name="tasks")
    op.drop_index(op.f("ix_tasks_job_id"), table_name="tasks")
    op.drop_table("tasks")
    op.drop_index(op.f("ix_sittings_person_id"), table_name="sittings")
    op.drop_table("sittings")
    op.drop_table("job_versions")
    op.drop_index(op.f("ix_files_job_id"), table_name="files")
    op.drop_table("files")
    op.drop_index(op.f("ix_client_links_job_id"), table_name="client_links")
    op.drop_table("client_links")
    op.drop_index(op.f("ix_actuals_job_id"), table_name="actuals")
    op.drop_table("actuals")
    op.drop_table("studio")
    op.drop_table("saved_designs")
    op.drop_table("people")
    op.drop_index(op.f("ix_knocks_login"), table_name="knocks")
    op.drop_index(op.f("ix_knocks_address"), table_name="knocks")
    op.drop_table("knocks")
    op.drop_index("ix_jobs_stage_date", table_name="jobs")
    op.drop_index("ix_jobs_date", table_name="jobs")
    op.drop_table("jobs")
    op.drop_table("facts")
