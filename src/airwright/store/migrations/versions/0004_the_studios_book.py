"""What a version takes back; archived jobs, contacts, calendar feeds, pictures."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forward."""
    op.add_column("job_versions", sa.Column("undoes", sa.Integer(), nullable=True))
    op.add_column("jobs", sa.Column("archived", sa.DateTime(timezone=True), nullable=True))
    op.create_table(
        "contacts",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("organisation", sa.String(length=200), nullable=False),
        sa.Column("phone", sa.String(length=80), nullable=False),
        sa.Column("mail", sa.String(length=200), nullable=False),
        sa.Column("address", sa.String(length=300), nullable=False),
        sa.Column("note", sa.String(length=1000), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_contacts")),
    )
    op.create_index(op.f("ix_contacts_kind"), "contacts", ["kind"])
    op.create_index(op.f("ix_contacts_name"), "contacts", ["name"])
    op.create_table(
        "calendar_feeds",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("read", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calendar_feeds")),
        sa.UniqueConstraint("token_digest", name=op.f("uq_calendar_feeds_token_digest")),
    )
    op.create_table(
        "thumbnails",
        sa.Column("owner", sa.String(length=40), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("media", sa.String(length=40), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("owner", name=op.f("pk_thumbnails")),
    )
    op.create_table(
        "venue_photos",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("venue", sa.String(length=200), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("media", sa.String(length=40), nullable=False),
        sa.Column("calibration", sa.JSON(), nullable=True),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_venue_photos")),
    )
    op.create_index(op.f("ix_venue_photos_venue"), "venue_photos", ["venue"])


def downgrade() -> None:
    """Back."""
    op.drop_table("venue_photos")
    op.drop_table("thumbnails")
    op.drop_table("calendar_feeds")
    op.drop_table("contacts")
    op.drop_column("jobs", "archived")
    op.drop_column("job_versions", "undoes")
