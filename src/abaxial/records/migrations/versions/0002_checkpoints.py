"""Checkpoints: what was computed, with the hash of all it came from."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """One version up."""
    op.create_table(
        "checkpoint",
        sa.Column("garden", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("blob", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("garden", "key", name="pk_checkpoint"),
        sa.ForeignKeyConstraint(["garden"], ["garden.number"], name="fk_checkpoint_garden"),
    )
