"""Corrections are found by an index."""

from alembic import op


revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    with op.batch_alter_table("drill_score", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_drill_score_corrects_id"), ["corrects_id"], unique=False)

    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reading_corrects_id"), ["corrects_id"], unique=False)
