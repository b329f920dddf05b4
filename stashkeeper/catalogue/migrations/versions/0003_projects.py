"""Projects, and the pieces chosen for them."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables of projects."""
    op.create_table(
        "project",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("folded", sa.Text(), nullable=False),
        sa.Column("layout", sa.Text(), nullable=False),
        sa.Column("record", sa.JSON(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("voided", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_project"),
    )
    op.create_index("ix_project_folded", "project", ["folded"])
    op.create_table(
        "reservation",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("piece_id", sa.Uuid(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("set_number", sa.Integer(), nullable=True),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("voided", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["project_id"], ["project.id"], name="fk_reservation_project_id"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_reservation_piece_id"),
        sa.PrimaryKeyConstraint("id", name="pk_reservation"),
    )
    for column in ("project_id", "piece_id"):
        op.create_index(f"ix_reservation_{column}", "reservation", [column])


def downgrade() -> None:
    """Never: a stash goes back by putting the copy made before the migration in its place."""
    raise NotImplementedError("Put the copy made before the migration in its place instead.")
