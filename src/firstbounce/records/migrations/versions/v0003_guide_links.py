"""Links that show one guide."""

import sqlalchemy as sa
from alembic import op

from firstbounce.records.migrations import kinds


revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table(
        "guide_link",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("guide_id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("expires_utc", kinds.WORDS, nullable=False),
        sa.Column("expires_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("revoked_utc", kinds.WORDS, nullable=True),
        sa.Column("revoked_offset_min", kinds.WHOLE, nullable=True),
        sa.CheckConstraint(
            "expires_offset_min between -1080 and 1080", name=op.f("ck_guide_link_expires_offset_min_range")
        ),
        sa.CheckConstraint("length(expires_utc) = 27", name=op.f("ck_guide_link_expires_utc_27")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_guide_link_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_guide_link_made_utc_27")),
        sa.CheckConstraint("length(revoked_utc) = 27", name=op.f("ck_guide_link_revoked_utc_27")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_guide_link_made_offset_min_range")
        ),
        sa.CheckConstraint(
            "revoked_offset_min between -1080 and 1080", name=op.f("ck_guide_link_revoked_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["guide_id"], ["guide.id"], name=op.f("fk_guide_link_guide_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_guide_link_player_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_guide_link")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("guide_link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_guide_link_guide_id"), ["guide_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_guide_link_player_id"), ["player_id"], unique=False)
