"""The shelf as a ledger, suppliers and orders to them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forward."""
    op.create_table(
        "purchases",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("supplier", sa.String(length=120), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("order_on", sa.Date(), nullable=False),
        sa.Column("arrives_on", sa.Date(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("freight", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchases")),
        sa.UniqueConstraint("key", name=op.f("uq_purchases_key")),
    )
    op.create_table(
        "stock_codes",
        sa.Column("code", sa.String(length=60), nullable=False),
        sa.Column("item", sa.String(length=120), nullable=False),
        sa.Column("shade", sa.String(length=60), nullable=False),
        sa.Column("pack", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_stock_codes")),
    )
    op.create_table(
        "stock_lots",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("item", sa.String(length=120), nullable=False),
        sa.Column("shade", sa.String(length=60), nullable=False),
        sa.Column("since", sa.Date(), nullable=True),
        sa.Column("good_until", sa.Date(), nullable=True),
        sa.Column("each", sa.String(length=40), nullable=True),
        sa.Column("place", sa.String(length=60), nullable=False),
        sa.Column("opened", sa.Boolean(), nullable=False),
        sa.Column("condition", sa.String(length=200), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_lots")),
    )
    with op.batch_alter_table("stock_lots", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stock_lots_item"), ["item"], unique=False)

    op.create_table(
        "suppliers",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_suppliers")),
    )
    op.create_table(
        "purchase_lines",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("purchase_id", sa.String(length=16), nullable=False),
        sa.Column("item", sa.String(length=120), nullable=False),
        sa.Column("shade", sa.String(length=60), nullable=False),
        sa.Column("pack", sa.Integer(), nullable=False),
        sa.Column("packs", sa.Integer(), nullable=False),
        sa.Column("price", sa.String(length=40), nullable=False),
        sa.ForeignKeyConstraint(
            ["purchase_id"], ["purchases.id"], name=op.f("fk_purchase_lines_purchase_id_purchases")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchase_lines")),
    )
    with op.batch_alter_table("purchase_lines", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_purchase_lines_purchase_id"), ["purchase_id"], unique=False
        )

    op.create_table(
        "stock_movements",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("key", sa.String(length=120), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("item", sa.String(length=120), nullable=False),
        sa.Column("shade", sa.String(length=60), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("lot_id", sa.String(length=16), nullable=True),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.Column("line_id", sa.String(length=16), nullable=True),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("note", sa.String(length=200), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["job_id"],
            ["jobs.id"],
            name=op.f("fk_stock_movements_job_id_jobs"),
            ondelete="SET NULL",
        ),
        sa.ForeignKeyConstraint(
            ["line_id"],
            ["purchase_lines.id"],
            name=op.f("fk_stock_movements_line_id_purchase_lines"),
        ),
        sa.ForeignKeyConstraint(
            ["lot_id"], ["stock_lots.id"], name=op.f("fk_stock_movements_lot_id_stock_lots")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_movements")),
        sa.UniqueConstraint("key", name=op.f("uq_stock_movements_key")),
    )
    with op.batch_alter_table("stock_movements", schema=None) as batch_op:
        batch_op.create_index("ix_stock_movements_item_shade", ["item", "shade"], unique=False)
        batch_op.create_index(batch_op.f("ix_stock_movements_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_stock_movements_line_id"), ["line_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_stock_movements_lot_id"), ["lot_id"], unique=False)


def downgrade() -> None:
    """Back."""
    op.drop_table("stock_movements")
    op.drop_table("purchase_lines")
    op.drop_table("suppliers")
    op.drop_table("stock_lots")
    op.drop_table("stock_codes")
    op.drop_table("purchases")
