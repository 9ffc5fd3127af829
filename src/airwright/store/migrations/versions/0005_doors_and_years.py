"""Log, invitations, passkeys, sittings told apart; small versions; words to search."""

from __future__ import annotations

from itertools import groupby
from operator import attrgetter

import sqlalchemy as sa
from alembic import op

from airwright.store.compact import packed, smaller
from airwright.store.folding import words_of

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

INSTANT = sa.DateTime(timezone=True)


def upgrade() -> None:
    """Forward."""
    _doors()
    _words()
    _versions()


def _doors() -> None:
    with op.batch_alter_table("sittings") as sittings:
        sittings.add_column(sa.Column("proved", INSTANT, nullable=True))
        for name, length in (("address", 64), ("browser", 120)):
            sittings.add_column(
                sa.Column(name, sa.String(length=length), server_default="", nullable=False)
            )
    op.create_table(
        "log_entries",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("actor", sa.String(length=120), nullable=False),
        sa.Column("address", sa.String(length=64), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("job_id", sa.String(length=16), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_entries")),
    )
    op.create_index(op.f("ix_log_entries_at"), "log_entries", ["at"])
    op.create_index(op.f("ix_log_entries_kind"), "log_entries", ["kind"])
    op.create_table(
        "invitations",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("role", sa.String(length=12), nullable=False),
        sa.Column("made", INSTANT, nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("ends", INSTANT, nullable=False),
        sa.Column("used", INSTANT, nullable=True),
        sa.Column("withdrawn", INSTANT, nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invitations")),
        sa.UniqueConstraint("token_digest", name=op.f("uq_invitations_token_digest")),
    )
    op.create_table(
        "passkeys",
        sa.Column("id", sa.String(length=16), nullable=False),
        sa.Column("person_id", sa.String(length=16), nullable=False),
        sa.Column("credential", sa.String(length=1400), nullable=False),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        sa.Column("signatures", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("made", INSTANT, nullable=False),
        sa.Column("used", INSTANT, nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["people.id"],
            name=op.f("fk_passkeys_person_id_people"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passkeys")),
        sa.UniqueConstraint("credential", name=op.f("uq_passkeys_credential")),
    )
    op.create_index(op.f("ix_passkeys_person_id"), "passkeys", ["person_id"])
    op.create_table(
        "challenges",
        sa.Column("seat_digest", sa.String(length=64), nullable=False),
        sa.Column("challenge", sa.LargeBinary(), nullable=False),
        sa.Column("ends", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("seat_digest", name=op.f("pk_challenges")),
    )


def _words() -> None:
    looked_into = {
        "jobs": ("title", "client", "venue", "text"),
        "contacts": ("name", "organisation", "phone", "mail", "address"),
    }
    for name, columns in looked_into.items():
        op.add_column(name, sa.Column("folded", sa.Text(), server_default="", nullable=False))
        table = sa.table(name, sa.column("id"), sa.column("folded"), *map(sa.column, columns))
        keys = list(op.get_bind().scalars(sa.select(table.c.id)))
        for key in keys:
            query = sa.select(*(table.c[column] for column in columns)).where(table.c.id == key)
            row = op.get_bind().execute(query).one()
            change = sa.update(table).where(table.c.id == key).values(folded=words_of(*row))
            op.get_bind().execute(change)


def _versions() -> None:
    with op.batch_alter_table("job_versions") as versions:
        versions.add_column(sa.Column("base", sa.Integer(), nullable=True))
        versions.add_column(sa.Column("packed", sa.LargeBinary(), nullable=True))
    table = sa.table(
        "job_versions",
        *map(sa.column, ("job_id", "number", "text", "base")),
        sa.column("packed", sa.LargeBinary()),
    )
    connection = op.get_bind()
    keys = connection.execute(
        sa.select(table.c.job_id, table.c.number).order_by(table.c.job_id, table.c.number)
    ).all()
    for job_id, versions_of_job in groupby(keys, attrgetter("job_id")):
        whole: tuple[int, str] | None = None
        for _, number in versions_of_job:
            this = (table.c.job_id == job_id) & (table.c.number == number)
            text = connection.scalars(sa.select(table.c.text).where(this)).one()
            found = None if whole is None else smaller(text, whole[1])
            if whole is None or found is None:
                whole, base, data = (number, text), None, packed(text)
            else:
                base, data = whole[0], found
            connection.execute(sa.update(table).where(this).values(base=base, packed=data))
    with op.batch_alter_table("job_versions") as versions:
        versions.alter_column("packed", existing_type=sa.LargeBinary(), nullable=False)
        versions.drop_column("text")


def downgrade() -> None:
    """Back: not possible for versions, whose texts stand packed; restore a backup instead."""
    raise NotImplementedError
