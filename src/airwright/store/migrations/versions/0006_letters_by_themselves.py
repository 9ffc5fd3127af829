"""Letters that are made once for their cause; cylinders and their dials; shades ticked per job."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forward."""
    op.add_column("mails", sa.Column("key", sa.String(length=80), nullable=True))
    op.create_index("ix_mails_key", "mails", ["key"], unique=True)
    op.create_table(
        "cylinders",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("water_m3", sa.Double(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("returned", sa.Date(), nullable=True),
        sa.Column("rent_a_day", sa.String(length=40), nullable=False),
        sa.Column("place", sa.String(length=60), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cylinders")),
    )
    op.create_table(
        "cylinder_readings",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("cylinder_id", sa.String(length=16), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("gauge_pa", sa.Double(), nullable=False),
        sa.Column("temperature_c", sa.Double(), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["cylinder_id"],
            ["cylinders.id"],
            name=op.f("fk_cylinder_readings_cylinder_id_cylinders"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cylinder_readings")),
        sa.UniqueConstraint("key", name=op.f("uq_cylinder_readings_key")),
    )
    op.create_index(op.f("ix_cylinder_readings_cylinder_id"), "cylinder_readings", ["cylinder_id"])
    op.create_table(
        "shade_swaps",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=False),
        sa.Column("item", sa.String(length=120), nullable=False),
        sa.Column("shade", sa.String(length=60), nullable=False),
        sa.Column("instead", sa.String(length=60), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"], ["jobs.id"], name=op.f("fk_shade_swaps_job_id_jobs"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shade_swaps")),
        sa.UniqueConstraint(
            "job_id", "item", "shade", "instead", name=op.f("uq_shade_swaps_job_id")
        ),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("shade_swaps")
    op.drop_table("cylinder_readings")
    op.drop_table("cylinders")
    op.drop_index("ix_mails_key", table_name="mails")
    op.drop_column("mails", "key")
