"""Cutting plans: plans, how their pieces are cut, what was cut, and what bags of scraps hold."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables of plans, the column of bags, and the counter of plans."""
    op.add_column("piece", sa.Column("scraps", sa.JSON(), nullable=True))
    counter = sa.table("counter", sa.column("name", sa.Text), sa.column("last", sa.BigInteger))
    op.bulk_insert(counter, [{"name": "plan", "last": 0}])
    _plans()
    _pieces_of_plans()
    _cuts()


def downgrade() -> None:
    """Never: a stash goes back by putting the copy made before the migration in its place."""
    raise NotImplementedError("Put the copy made before the migration in its place instead.")


def _plans() -> None:
    op.create_table(
        "plan",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("goal", sa.Text(), nullable=False),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("record", sa.JSON(), nullable=False),
        sa.Column("voided", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_plan"),
        sa.UniqueConstraint("number", name="uq_plan_number"),
    )


def _pieces_of_plans() -> None:
    op.create_table(
        "plan_piece",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("plan_id", sa.Uuid(), nullable=False),
        sa.Column("piece_id", sa.Uuid(), nullable=False),
        sa.Column("piece_version", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("record", sa.JSON(), nullable=False),
        *_of_plan_and_piece("plan_piece"),
    )
    _indexed("plan_piece")


def _cuts() -> None:
    op.create_table(
        "cut",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("plan_id", sa.Uuid(), nullable=False),
        sa.Column("piece_id", sa.Uuid(), nullable=False),
        sa.Column("outcome", sa.JSON(), nullable=False),
        sa.Column("voided", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        *_of_plan_and_piece("cut"),
    )
    _indexed("cut")


def _of_plan_and_piece(table: str) -> tuple[sa.Constraint, ...]:
    return (
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=f"fk_{table}_plan_id"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=f"fk_{table}_piece_id"),
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
    )


def _indexed(table: str) -> None:
    for column in ("plan_id", "piece_id"):
        op.create_index(f"ix_{table}_{column}", table, [column])
