"""The first schema."""

import sqlalchemy as sa
from alembic import op

from firstbounce.records.migrations import kinds

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "erased",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("erased_utc", kinds.WORDS, nullable=False),
        sa.Column("erased_offset_min", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("kind in ('player', 'session')", name=op.f("ck_erased_kind_known")),
        sa.CheckConstraint(
            "erased_offset_min between -1080 and 1080", name=op.f("ck_erased_erased_offset_min_range")
        ),
        sa.CheckConstraint("length(erased_utc) = 27", name=op.f("ck_erased_erased_utc_27")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_erased_id_32")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_erased")),
        sqlite_strict=True,
    )
    op.create_table(
        "green",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("archived", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("archived in (0, 1)", name=op.f("ck_green_archived_flag")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_green_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_green_made_utc_27")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_green_name_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_green_made_offset_min_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_green")),
        sqlite_strict=True,
    )
    op.create_table(
        "player",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("level", kinds.WORDS, nullable=False),
        sa.Column("hand", kinds.WORDS, nullable=False),
        sa.Column("units", kinds.WORDS, nullable=False),
        sa.Column("junior", kinds.WHOLE, nullable=False),
        sa.Column("extra_lean_deg", kinds.REAL, nullable=True),
        sa.Column("attack_deg", kinds.REAL, nullable=True),
        sa.Column("spread_floor_m", kinds.REAL, nullable=True),
        sa.Column("spread_share", kinds.REAL, nullable=True),
        sa.Column("spread_direction_deg", kinds.REAL, nullable=True),
        sa.Column("mishit_share", kinds.REAL, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("archived", kinds.WHOLE, nullable=False),
        sa.Column("balls", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("hand in ('right', 'left')", name=op.f("ck_player_hand_known")),
        sa.CheckConstraint("archived in (0, 1)", name=op.f("ck_player_archived_flag")),
        sa.CheckConstraint("attack_deg between -15 and 10", name=op.f("ck_player_attack_deg_range")),
        sa.CheckConstraint("balls >= 0", name=op.f("ck_player_balls_from_0")),
        sa.CheckConstraint("extra_lean_deg between -10 and 10", name=op.f("ck_player_extra_lean_deg_range")),
        sa.CheckConstraint("junior in (0, 1)", name=op.f("ck_player_junior_flag")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_player_id_32")),
        sa.CheckConstraint("length(level) <= 80", name=op.f("ck_player_level_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_player_made_utc_27")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_player_name_length")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_player_name_given")),
        sa.CheckConstraint("length(units) <= 80", name=op.f("ck_player_units_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_player_made_offset_min_range")
        ),
        sa.CheckConstraint("mishit_share between 0 and 0.9", name=op.f("ck_player_mishit_share_range")),
        sa.CheckConstraint(
            "spread_direction_deg between 0 and 20", name=op.f("ck_player_spread_direction_deg_range")
        ),
        sa.CheckConstraint("spread_floor_m between 0 and 5", name=op.f("ck_player_spread_floor_m_range")),
        sa.CheckConstraint("spread_share between 0 and 0.6", name=op.f("ck_player_spread_share_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_player")),
        sqlite_strict=True,
    )
    op.create_table(
        "setting",
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("value", kinds.WORDS, nullable=False),
        sa.Column("secret", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("secret in (0, 1)", name=op.f("ck_setting_secret_flag")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_setting")),
        sqlite_strict=True,
    )
    op.create_table(
        "club",
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("place", kinds.WHOLE, nullable=False),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("loft_deg", kinds.REAL, nullable=False),
        sa.Column("loft_sd_deg", kinds.REAL, nullable=False),
        sa.Column("source", kinds.WORDS, nullable=False),
        sa.Column("is_putter", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("is_putter in (0, 1)", name=op.f("ck_club_is_putter_flag")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_club_name_length")),
        sa.CheckConstraint("length(source) <= 80", name=op.f("ck_club_source_length")),
        sa.CheckConstraint("loft_deg between 0 and 75", name=op.f("ck_club_loft_deg_range")),
        sa.CheckConstraint("loft_sd_deg between 0 and 10", name=op.f("ck_club_loft_sd_deg_range")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_club_player_id")),
        sa.PrimaryKeyConstraint("player_id", "place", name=op.f("pk_club")),
        sa.UniqueConstraint("player_id", "name", name=op.f("uq_club_player_id_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "consent",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("given_by", kinds.WORDS, nullable=False),
        sa.Column("guardian", kinds.WORDS, nullable=True),
        sa.Column("given_utc", kinds.WORDS, nullable=False),
        sa.Column("given_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("delete_by", kinds.WORDS, nullable=True),
        sa.Column("withdrawn_utc", kinds.WORDS, nullable=True),
        sa.Column("withdrawn_offset_min", kinds.WHOLE, nullable=True),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint(
            "given_by = 'player' or guardian is not null", name=op.f("ck_consent_guardian_named")
        ),
        sa.CheckConstraint("given_by in ('player', 'guardian')", name=op.f("ck_consent_given_by_known")),
        sa.CheckConstraint("kind in ('record', 'filming', 'pictures')", name=op.f("ck_consent_kind_known")),
        sa.CheckConstraint(
            "given_offset_min between -1080 and 1080", name=op.f("ck_consent_given_offset_min_range")
        ),
        sa.CheckConstraint("length(delete_by) <= 10", name=op.f("ck_consent_delete_by_length")),
        sa.CheckConstraint("length(given_utc) = 27", name=op.f("ck_consent_given_utc_27")),
        sa.CheckConstraint("length(guardian) <= 80", name=op.f("ck_consent_guardian_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_consent_id_32")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_consent_note_length")),
        sa.CheckConstraint("length(withdrawn_utc) = 27", name=op.f("ck_consent_withdrawn_utc_27")),
        sa.CheckConstraint(
            "withdrawn_offset_min between -1080 and 1080", name=op.f("ck_consent_withdrawn_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_consent_player_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_consent")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("consent", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_consent_player_id"), ["player_id"], unique=False)

    op.create_table(
        "green_day",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("green_id", kinds.WORDS, nullable=False),
        sa.Column("date", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(date) <= 10", name=op.f("ck_green_day_date_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_green_day_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_green_day_made_utc_27")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_green_day_note_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_green_day_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["green_id"], ["green.id"], name=op.f("fk_green_day_green_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_green_day")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("green_day", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_green_day_green_id_date"), ["green_id", "date"], unique=False)

    op.create_table(
        "level_since",
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("since_utc", kinds.WORDS, nullable=False),
        sa.Column("since_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("level", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(level) <= 80", name=op.f("ck_level_since_level_length")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_level_since_player_id")),
        sa.PrimaryKeyConstraint("player_id", "since_utc", name=op.f("pk_level_since")),
        sqlite_strict=True,
    )
    op.create_table(
        "note",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("text", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_note_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_note_made_utc_27")),
        sa.CheckConstraint("length(text) <= 4000", name=op.f("ck_note_text_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_note_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_note_player_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("note", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_note_player_id"), ["player_id"], unique=False)

    op.create_table(
        "player_link",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("expires_utc", kinds.WORDS, nullable=False),
        sa.Column("expires_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("revoked_utc", kinds.WORDS, nullable=True),
        sa.Column("revoked_offset_min", kinds.WHOLE, nullable=True),
        sa.Column("may_add", kinds.WHOLE, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint(
            "expires_offset_min between -1080 and 1080", name=op.f("ck_player_link_expires_offset_min_range")
        ),
        sa.CheckConstraint("length(expires_utc) = 27", name=op.f("ck_player_link_expires_utc_27")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_player_link_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_player_link_made_utc_27")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_player_link_note_length")),
        sa.CheckConstraint("length(revoked_utc) = 27", name=op.f("ck_player_link_revoked_utc_27")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_player_link_made_offset_min_range")
        ),
        sa.CheckConstraint("may_add in (0, 1)", name=op.f("ck_player_link_may_add_flag")),
        sa.CheckConstraint(
            "revoked_offset_min between -1080 and 1080", name=op.f("ck_player_link_revoked_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_player_link_player_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_player_link")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("player_link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_player_link_player_id"), ["player_id"], unique=False)

    op.create_table(
        "shape",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("green_id", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("outline", kinds.WORDS, nullable=False),
        sa.Column("fringe_m", kinds.REAL, nullable=False),
        sa.Column("around", kinds.WORDS, nullable=False),
        sa.Column("slope_word", kinds.WORDS, nullable=True),
        sa.Column("slope_percent", kinds.REAL, nullable=True),
        sa.Column("downhill_deg", kinds.REAL, nullable=True),
        sa.Column("heights", kinds.WORDS, nullable=True),
        sa.CheckConstraint("downhill_deg between -360 and 360", name=op.f("ck_shape_downhill_deg_range")),
        sa.CheckConstraint("fringe_m between 0 and 10", name=op.f("ck_shape_fringe_m_range")),
        sa.CheckConstraint("length(around) <= 80", name=op.f("ck_shape_around_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_shape_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_shape_made_utc_27")),
        sa.CheckConstraint("length(slope_word) <= 80", name=op.f("ck_shape_slope_word_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_shape_made_offset_min_range")
        ),
        sa.CheckConstraint("slope_percent between 0 and 15", name=op.f("ck_shape_slope_percent_range")),
        sa.ForeignKeyConstraint(["green_id"], ["green.id"], name=op.f("fk_shape_green_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shape")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("shape", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_shape_green_id_made_utc"), ["green_id", "made_utc"], unique=False
        )

    op.create_table(
        "station",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("green_id", kinds.WORDS, nullable=True),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("start_x_m", kinds.REAL, nullable=False),
        sa.Column("start_y_m", kinds.REAL, nullable=False),
        sa.Column("hole_x_m", kinds.REAL, nullable=False),
        sa.Column("hole_y_m", kinds.REAL, nullable=False),
        sa.Column("lie", kinds.WORDS, nullable=False),
        sa.Column("lie_wet", kinds.WHOLE, nullable=False),
        sa.Column("lie_uphill_deg", kinds.REAL, nullable=False),
        sa.Column("lie_above_feet_deg", kinds.REAL, nullable=False),
        sa.Column("landing_spot_x_m", kinds.REAL, nullable=True),
        sa.Column("landing_spot_y_m", kinds.REAL, nullable=True),
        sa.Column("circle_radius_m", kinds.REAL, nullable=True),
        sa.Column("club", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("archived", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("(hole_x_m is null) = (hole_y_m is null)", name=op.f("ck_station_hole_both")),
        sa.CheckConstraint(
            "(landing_spot_x_m is null) = (landing_spot_y_m is null)",
            name=op.f("ck_station_landing_spot_both"),
        ),
        sa.CheckConstraint("(start_x_m is null) = (start_y_m is null)", name=op.f("ck_station_start_both")),
        sa.CheckConstraint("archived in (0, 1)", name=op.f("ck_station_archived_flag")),
        sa.CheckConstraint(
            "circle_radius_m between 0.1 and 10", name=op.f("ck_station_circle_radius_m_range")
        ),
        sa.CheckConstraint("hole_x_m between -500 and 500", name=op.f("ck_station_hole_x_m_range")),
        sa.CheckConstraint("hole_y_m between -500 and 500", name=op.f("ck_station_hole_y_m_range")),
        sa.CheckConstraint(
            "landing_spot_x_m between -500 and 500", name=op.f("ck_station_landing_spot_x_m_range")
        ),
        sa.CheckConstraint(
            "landing_spot_y_m between -500 and 500", name=op.f("ck_station_landing_spot_y_m_range")
        ),
        sa.CheckConstraint("length(club) <= 80", name=op.f("ck_station_club_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_station_id_32")),
        sa.CheckConstraint("length(lie) <= 80", name=op.f("ck_station_lie_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_station_made_utc_27")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_station_name_length")),
        sa.CheckConstraint(
            "lie_above_feet_deg between -25 and 25", name=op.f("ck_station_lie_above_feet_deg_range")
        ),
        sa.CheckConstraint("lie_uphill_deg between -25 and 25", name=op.f("ck_station_lie_uphill_deg_range")),
        sa.CheckConstraint("lie_wet in (0, 1)", name=op.f("ck_station_lie_wet_flag")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_station_made_offset_min_range")
        ),
        sa.CheckConstraint("start_x_m between -500 and 500", name=op.f("ck_station_start_x_m_range")),
        sa.CheckConstraint("start_y_m between -500 and 500", name=op.f("ck_station_start_y_m_range")),
        sa.ForeignKeyConstraint(["green_id"], ["green.id"], name=op.f("fk_station_green_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_station")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("station", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_station_green_id"), ["green_id"], unique=False)

    op.create_table(
        "area",
        sa.Column("shape_id", kinds.WORDS, nullable=False),
        sa.Column("place", kinds.WHOLE, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("polygon", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(kind) <= 80", name=op.f("ck_area_kind_length")),
        sa.ForeignKeyConstraint(["shape_id"], ["shape.id"], name=op.f("fk_area_shape_id")),
        sa.PrimaryKeyConstraint("shape_id", "place", name=op.f("pk_area")),
        sqlite_strict=True,
    )
    op.create_table(
        "clinic",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("started_utc", kinds.WORDS, nullable=False),
        sa.Column("started_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("day_id", kinds.WORDS, nullable=True),
        sa.Column("rotation_min", kinds.REAL, nullable=True),
        sa.Column("setup", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_clinic_id_32")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_clinic_name_length")),
        sa.CheckConstraint("length(started_utc) = 27", name=op.f("ck_clinic_started_utc_27")),
        sa.CheckConstraint("rotation_min between 0.5 and 60", name=op.f("ck_clinic_rotation_min_range")),
        sa.CheckConstraint(
            "started_offset_min between -1080 and 1080", name=op.f("ck_clinic_started_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["day_id"], ["green_day.id"], name=op.f("fk_clinic_day_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clinic")),
        sqlite_strict=True,
    )
    op.create_table(
        "reading",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("green_id", kinds.WORDS, nullable=False),
        sa.Column("day_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("at_x_m", kinds.REAL, nullable=True),
        sa.Column("at_y_m", kinds.REAL, nullable=True),
        sa.Column("given", kinds.WORDS, nullable=False),
        sa.Column("corrects_id", kinds.WORDS, nullable=True),
        sa.Column("withdrawn", kinds.WHOLE, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint("(at_x_m is null) = (at_y_m is null)", name=op.f("ck_reading_at_both")),
        sa.CheckConstraint("at_x_m between -500 and 500", name=op.f("ck_reading_at_x_m_range")),
        sa.CheckConstraint("at_y_m between -500 and 500", name=op.f("ck_reading_at_y_m_range")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_reading_id_32")),
        sa.CheckConstraint("length(kind) <= 80", name=op.f("ck_reading_kind_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_reading_made_utc_27")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_reading_note_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_reading_made_offset_min_range")
        ),
        sa.CheckConstraint(
            "withdrawn = 0 or corrects_id is not null", name=op.f("ck_reading_withdraws_something")
        ),
        sa.CheckConstraint("withdrawn in (0, 1)", name=op.f("ck_reading_withdrawn_flag")),
        sa.ForeignKeyConstraint(["corrects_id"], ["reading.id"], name=op.f("fk_reading_corrects_id")),
        sa.ForeignKeyConstraint(["day_id"], ["green_day.id"], name=op.f("fk_reading_day_id")),
        sa.ForeignKeyConstraint(["green_id"], ["green.id"], name=op.f("fk_reading_green_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reading_day_id"), ["day_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_reading_green_id"), ["green_id"], unique=False)

    op.create_table(
        "session",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("green_id", kinds.WORDS, nullable=True),
        sa.Column("day_id", kinds.WORDS, nullable=True),
        sa.Column("station_id", kinds.WORDS, nullable=True),
        sa.Column("clinic_id", kinds.WORDS, nullable=True),
        sa.Column("started_utc", kinds.WORDS, nullable=False),
        sa.Column("started_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("ended_utc", kinds.WORDS, nullable=True),
        sa.Column("ended_offset_min", kinds.WHOLE, nullable=True),
        sa.Column("logged_by", kinds.WORDS, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint(
            "kind in ('lesson', 'practice', 'home', 'clinic')", name=op.f("ck_session_kind_known")
        ),
        sa.CheckConstraint("logged_by in ('coach', 'player')", name=op.f("ck_session_logged_by_known")),
        sa.CheckConstraint(
            "ended_offset_min between -1080 and 1080", name=op.f("ck_session_ended_offset_min_range")
        ),
        sa.CheckConstraint("length(ended_utc) = 27", name=op.f("ck_session_ended_utc_27")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_session_id_32")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_session_note_length")),
        sa.CheckConstraint("length(started_utc) = 27", name=op.f("ck_session_started_utc_27")),
        sa.CheckConstraint(
            "started_offset_min between -1080 and 1080", name=op.f("ck_session_started_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["clinic_id"], ["clinic.id"], name=op.f("fk_session_clinic_id")),
        sa.ForeignKeyConstraint(["day_id"], ["green_day.id"], name=op.f("fk_session_day_id")),
        sa.ForeignKeyConstraint(["green_id"], ["green.id"], name=op.f("fk_session_green_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_session_player_id")),
        sa.ForeignKeyConstraint(["station_id"], ["station.id"], name=op.f("fk_session_station_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("session", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_clinic_id"), ["clinic_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_session_player_id_started_utc"), ["player_id", "started_utc"], unique=False
        )

    op.create_table(
        "fit",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("day_id", kinds.WORDS, nullable=True),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("model_version", kinds.WORDS, nullable=False),
        sa.Column("verdict", kinds.WORDS, nullable=False),
        sa.Column("balls", kinds.WHOLE, nullable=False),
        sa.Column("inputs", kinds.WORDS, nullable=False),
        sa.Column("result", kinds.WORDS, nullable=False),
        sa.CheckConstraint("balls >= 0", name=op.f("ck_fit_balls_from_0")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_fit_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_fit_made_utc_27")),
        sa.CheckConstraint("length(model_version) <= 80", name=op.f("ck_fit_model_version_length")),
        sa.CheckConstraint("length(verdict) <= 80", name=op.f("ck_fit_verdict_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_fit_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["day_id"], ["green_day.id"], name=op.f("fk_fit_day_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_fit_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_fit_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fit")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("fit", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_fit_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_fit_session_id"), ["session_id"], unique=False)

    op.create_table(
        "lesson",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("date", kinds.WORDS, nullable=False),
        sa.Column("aim", kinds.WORDS, nullable=False),
        sa.Column("seen", kinds.WORDS, nullable=False),
        sa.Column("homework", kinds.WORDS, nullable=False),
        sa.Column("next_date", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("closed_utc", kinds.WORDS, nullable=True),
        sa.Column("closed_offset_min", kinds.WHOLE, nullable=True),
        sa.CheckConstraint(
            "closed_offset_min between -1080 and 1080", name=op.f("ck_lesson_closed_offset_min_range")
        ),
        sa.CheckConstraint("length(aim) <= 4000", name=op.f("ck_lesson_aim_length")),
        sa.CheckConstraint("length(closed_utc) = 27", name=op.f("ck_lesson_closed_utc_27")),
        sa.CheckConstraint("length(date) <= 10", name=op.f("ck_lesson_date_length")),
        sa.CheckConstraint("length(homework) <= 4000", name=op.f("ck_lesson_homework_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_lesson_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_lesson_made_utc_27")),
        sa.CheckConstraint("length(next_date) <= 10", name=op.f("ck_lesson_next_date_length")),
        sa.CheckConstraint("length(seen) <= 4000", name=op.f("ck_lesson_seen_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_lesson_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_lesson_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_lesson_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("lesson", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_lesson_player_id_date"), ["player_id", "date"], unique=False)
        batch_op.create_index(batch_op.f("ix_lesson_session_id"), ["session_id"], unique=False)

    op.create_table(
        "technique",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("seen_by", kinds.WORDS, nullable=False),
        sa.Column("model_version", kinds.WORDS, nullable=False),
        sa.Column("result", kinds.WORDS, nullable=False),
        sa.CheckConstraint("seen_by in ('eye', 'video')", name=op.f("ck_technique_seen_by_known")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_technique_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_technique_made_utc_27")),
        sa.CheckConstraint("length(model_version) <= 80", name=op.f("ck_technique_model_version_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_technique_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_technique_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_technique_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_technique")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("technique", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_technique_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )

    op.create_table(
        "drill_score",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("root_id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("lesson_id", kinds.WORDS, nullable=True),
        sa.Column("drill", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("received_utc", kinds.WORDS, nullable=False),
        sa.Column("received_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("device", kinds.WORDS, nullable=False),
        sa.Column("seq", kinds.WHOLE, nullable=False),
        sa.Column("logged_by", kinds.WORDS, nullable=False),
        sa.Column("successes", kinds.WHOLE, nullable=True),
        sa.Column("out_of", kinds.WHOLE, nullable=True),
        sa.Column("number", kinds.REAL, nullable=True),
        sa.Column("passed", kinds.WHOLE, nullable=False),
        sa.Column("setup", kinds.WORDS, nullable=False),
        sa.Column("entries", kinds.WORDS, nullable=False),
        sa.Column("record", kinds.WORDS, nullable=False),
        sa.Column("corrects_id", kinds.WORDS, nullable=True),
        sa.Column("withdrawn", kinds.WHOLE, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint("logged_by in ('coach', 'player')", name=op.f("ck_drill_score_logged_by_known")),
        sa.CheckConstraint("(corrects_id is null) = (root_id = id)", name=op.f("ck_drill_score_root")),
        sa.CheckConstraint("length(device) <= 32", name=op.f("ck_drill_score_device_length")),
        sa.CheckConstraint("length(drill) <= 80", name=op.f("ck_drill_score_drill_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_drill_score_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_drill_score_made_utc_27")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_drill_score_note_length")),
        sa.CheckConstraint("length(received_utc) = 27", name=op.f("ck_drill_score_received_utc_27")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_drill_score_made_offset_min_range")
        ),
        sa.CheckConstraint("number between -1e+06 and 1e+06", name=op.f("ck_drill_score_number_range")),
        sa.CheckConstraint("out_of >= 0", name=op.f("ck_drill_score_out_of_from_0")),
        sa.CheckConstraint("passed in (0, 1)", name=op.f("ck_drill_score_passed_flag")),
        sa.CheckConstraint(
            "received_offset_min between -1080 and 1080",
            name=op.f("ck_drill_score_received_offset_min_range"),
        ),
        sa.CheckConstraint("seq >= 0", name=op.f("ck_drill_score_seq_from_0")),
        sa.CheckConstraint("successes >= 0", name=op.f("ck_drill_score_successes_from_0")),
        sa.CheckConstraint(
            "successes is null or out_of is null or successes <= out_of", name=op.f("ck_drill_score_within")
        ),
        sa.CheckConstraint(
            "withdrawn = 0 or corrects_id is not null", name=op.f("ck_drill_score_withdraws_something")
        ),
        sa.CheckConstraint("withdrawn in (0, 1)", name=op.f("ck_drill_score_withdrawn_flag")),
        sa.ForeignKeyConstraint(["corrects_id"], ["drill_score.id"], name=op.f("fk_drill_score_corrects_id")),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_drill_score_lesson_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_drill_score_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_drill_score_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill_score")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("drill_score", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_drill_score_lesson_id"), ["lesson_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_drill_score_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_drill_score_root_id"), ["root_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_drill_score_session_id"), ["session_id"], unique=False)

    op.create_table(
        "guide",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=True),
        sa.Column("lesson_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("title", kinds.WORDS, nullable=False),
        sa.Column("inputs", kinds.WORDS, nullable=False),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_guide_id_32")),
        sa.CheckConstraint("length(kind) <= 80", name=op.f("ck_guide_kind_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_guide_made_utc_27")),
        sa.CheckConstraint("length(title) <= 80", name=op.f("ck_guide_title_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_guide_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_guide_lesson_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_guide_player_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_guide")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("guide", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_guide_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )

    op.create_table(
        "lesson_drill",
        sa.Column("lesson_id", kinds.WORDS, nullable=False),
        sa.Column("place", kinds.WHOLE, nullable=False),
        sa.Column("drill", kinds.WORDS, nullable=False),
        sa.Column("balls", kinds.WHOLE, nullable=True),
        sa.Column("minutes", kinds.REAL, nullable=True),
        sa.Column("homework", kinds.WHOLE, nullable=False),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint("balls >= 0", name=op.f("ck_lesson_drill_balls_from_0")),
        sa.CheckConstraint("homework in (0, 1)", name=op.f("ck_lesson_drill_homework_flag")),
        sa.CheckConstraint("length(drill) <= 80", name=op.f("ck_lesson_drill_drill_length")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_lesson_drill_note_length")),
        sa.CheckConstraint("minutes between 0 and 600", name=op.f("ck_lesson_drill_minutes_range")),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_lesson_drill_lesson_id")),
        sa.PrimaryKeyConstraint("lesson_id", "place", name=op.f("pk_lesson_drill")),
        sqlite_strict=True,
    )
    op.create_table(
        "plan",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("station_id", kinds.WORDS, nullable=True),
        sa.Column("day_id", kinds.WORDS, nullable=True),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("fit_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("made_by", kinds.WORDS, nullable=False),
        sa.Column("model_version", kinds.WORDS, nullable=False),
        sa.Column("inputs", kinds.WORDS, nullable=False),
        sa.Column("result", kinds.WORDS, nullable=False),
        sa.Column("chosen_club", kinds.WORDS, nullable=True),
        sa.Column("chosen_spot_x_m", kinds.REAL, nullable=True),
        sa.Column("chosen_spot_y_m", kinds.REAL, nullable=True),
        sa.CheckConstraint(
            "(chosen_spot_x_m is null) = (chosen_spot_y_m is null)", name=op.f("ck_plan_chosen_spot_both")
        ),
        sa.CheckConstraint(
            "chosen_spot_x_m between -500 and 500", name=op.f("ck_plan_chosen_spot_x_m_range")
        ),
        sa.CheckConstraint(
            "chosen_spot_y_m between -500 and 500", name=op.f("ck_plan_chosen_spot_y_m_range")
        ),
        sa.CheckConstraint("length(chosen_club) <= 80", name=op.f("ck_plan_chosen_club_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_plan_id_32")),
        sa.CheckConstraint("length(made_by) <= 80", name=op.f("ck_plan_made_by_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_plan_made_utc_27")),
        sa.CheckConstraint("length(model_version) <= 80", name=op.f("ck_plan_model_version_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_plan_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["day_id"], ["green_day.id"], name=op.f("fk_plan_day_id")),
        sa.ForeignKeyConstraint(["fit_id"], ["fit.id"], name=op.f("fk_plan_fit_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_plan_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_plan_session_id")),
        sa.ForeignKeyConstraint(["station_id"], ["station.id"], name=op.f("fk_plan_station_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("plan", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_plan_fit_id"), ["fit_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_plan_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_plan_session_id"), ["session_id"], unique=False)

    op.create_table(
        "ball",
        sa.Column("arrival", kinds.WHOLE, sa.Identity(always=False), nullable=False),
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("root_id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("session_id", kinds.WORDS, nullable=False),
        sa.Column("station_id", kinds.WORDS, nullable=True),
        sa.Column("plan_id", kinds.WORDS, nullable=True),
        sa.Column("corrects_id", kinds.WORDS, nullable=True),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("device", kinds.WORDS, nullable=False),
        sa.Column("seq", kinds.WHOLE, nullable=False),
        sa.Column("format", kinds.WHOLE, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("received_utc", kinds.WORDS, nullable=False),
        sa.Column("received_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("logged_by", kinds.WORDS, nullable=False),
        sa.Column("club", kinds.WORDS, nullable=True),
        sa.Column("lie", kinds.WORDS, nullable=False),
        sa.Column("lie_wet", kinds.WHOLE, nullable=False),
        sa.Column("lie_uphill_deg", kinds.REAL, nullable=False),
        sa.Column("lie_above_feet_deg", kinds.REAL, nullable=False),
        sa.Column("start_x_m", kinds.REAL, nullable=True),
        sa.Column("start_y_m", kinds.REAL, nullable=True),
        sa.Column("hole_x_m", kinds.REAL, nullable=True),
        sa.Column("hole_y_m", kinds.REAL, nullable=True),
        sa.Column("aim_x_m", kinds.REAL, nullable=True),
        sa.Column("aim_y_m", kinds.REAL, nullable=True),
        sa.Column("circle_radius_m", kinds.REAL, nullable=True),
        sa.Column("landed_x_m", kinds.REAL, nullable=True),
        sa.Column("landed_y_m", kinds.REAL, nullable=True),
        sa.Column("finished_x_m", kinds.REAL, nullable=True),
        sa.Column("finished_y_m", kinds.REAL, nullable=True),
        sa.Column("holed", kinds.WHOLE, nullable=False),
        sa.Column("strike", kinds.WORDS, nullable=True),
        sa.Column("hang_time_s", kinds.REAL, nullable=True),
        sa.Column("landed_sd_m", kinds.REAL, nullable=False),
        sa.Column("finished_sd_m", kinds.REAL, nullable=False),
        sa.Column("tally_landed", kinds.WORDS, nullable=True),
        sa.Column("tally_finished", kinds.WORDS, nullable=True),
        sa.Column("note", kinds.WORDS, nullable=False),
        sa.CheckConstraint(
            "kind <> 'tally' or (tally_landed is not null and tally_finished is not null)",
            name=op.f("ck_ball_tally"),
        ),
        sa.CheckConstraint(
            "kind <> 'withdrawn' or corrects_id is not null", name=op.f("ck_ball_withdraws_something")
        ),
        sa.CheckConstraint(
            "kind = 'withdrawn' or (club is not null and start_x_m is not null)",
            name=op.f("ck_ball_says_from_where"),
        ),
        sa.CheckConstraint("kind in ('placed', 'tally', 'withdrawn')", name=op.f("ck_ball_kind_known")),
        sa.CheckConstraint("logged_by in ('coach', 'player')", name=op.f("ck_ball_logged_by_known")),
        sa.CheckConstraint("(aim_x_m is null) = (aim_y_m is null)", name=op.f("ck_ball_aim_both")),
        sa.CheckConstraint("(corrects_id is null) = (root_id = id)", name=op.f("ck_ball_root")),
        sa.CheckConstraint(
            "(finished_x_m is null) = (finished_y_m is null)", name=op.f("ck_ball_finished_both")
        ),
        sa.CheckConstraint("(hole_x_m is null) = (hole_y_m is null)", name=op.f("ck_ball_hole_both")),
        sa.CheckConstraint("(landed_x_m is null) = (landed_y_m is null)", name=op.f("ck_ball_landed_both")),
        sa.CheckConstraint("(start_x_m is null) = (start_y_m is null)", name=op.f("ck_ball_start_both")),
        sa.CheckConstraint("aim_x_m between -500 and 500", name=op.f("ck_ball_aim_x_m_range")),
        sa.CheckConstraint("aim_y_m between -500 and 500", name=op.f("ck_ball_aim_y_m_range")),
        sa.CheckConstraint("circle_radius_m between 0.1 and 10", name=op.f("ck_ball_circle_radius_m_range")),
        sa.CheckConstraint("finished_sd_m between 0.01 and 10", name=op.f("ck_ball_finished_sd_m_range")),
        sa.CheckConstraint("finished_x_m between -500 and 500", name=op.f("ck_ball_finished_x_m_range")),
        sa.CheckConstraint("finished_y_m between -500 and 500", name=op.f("ck_ball_finished_y_m_range")),
        sa.CheckConstraint("format >= 0", name=op.f("ck_ball_format_from_0")),
        sa.CheckConstraint("hang_time_s between 0.05 and 8", name=op.f("ck_ball_hang_time_s_range")),
        sa.CheckConstraint("hole_x_m between -500 and 500", name=op.f("ck_ball_hole_x_m_range")),
        sa.CheckConstraint("hole_y_m between -500 and 500", name=op.f("ck_ball_hole_y_m_range")),
        sa.CheckConstraint("holed in (0, 1)", name=op.f("ck_ball_holed_flag")),
        sa.CheckConstraint("landed_sd_m between 0.01 and 10", name=op.f("ck_ball_landed_sd_m_range")),
        sa.CheckConstraint("landed_x_m between -500 and 500", name=op.f("ck_ball_landed_x_m_range")),
        sa.CheckConstraint("landed_y_m between -500 and 500", name=op.f("ck_ball_landed_y_m_range")),
        sa.CheckConstraint("length(club) <= 80", name=op.f("ck_ball_club_length")),
        sa.CheckConstraint("length(device) <= 32", name=op.f("ck_ball_device_length")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_ball_id_32")),
        sa.CheckConstraint("length(lie) <= 80", name=op.f("ck_ball_lie_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_ball_made_utc_27")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_ball_note_length")),
        sa.CheckConstraint("length(received_utc) = 27", name=op.f("ck_ball_received_utc_27")),
        sa.CheckConstraint("length(strike) <= 80", name=op.f("ck_ball_strike_length")),
        sa.CheckConstraint("length(tally_finished) <= 80", name=op.f("ck_ball_tally_finished_length")),
        sa.CheckConstraint("length(tally_landed) <= 80", name=op.f("ck_ball_tally_landed_length")),
        sa.CheckConstraint(
            "lie_above_feet_deg between -25 and 25", name=op.f("ck_ball_lie_above_feet_deg_range")
        ),
        sa.CheckConstraint("lie_uphill_deg between -25 and 25", name=op.f("ck_ball_lie_uphill_deg_range")),
        sa.CheckConstraint("lie_wet in (0, 1)", name=op.f("ck_ball_lie_wet_flag")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_ball_made_offset_min_range")
        ),
        sa.CheckConstraint(
            "received_offset_min between -1080 and 1080", name=op.f("ck_ball_received_offset_min_range")
        ),
        sa.CheckConstraint("seq >= 0", name=op.f("ck_ball_seq_from_0")),
        sa.CheckConstraint("start_x_m between -500 and 500", name=op.f("ck_ball_start_x_m_range")),
        sa.CheckConstraint("start_y_m between -500 and 500", name=op.f("ck_ball_start_y_m_range")),
        sa.ForeignKeyConstraint(["corrects_id"], ["ball.id"], name=op.f("fk_ball_corrects_id")),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_ball_plan_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_ball_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_ball_session_id")),
        sa.ForeignKeyConstraint(["station_id"], ["station.id"], name=op.f("fk_ball_station_id")),
        sa.PrimaryKeyConstraint("arrival", name=op.f("pk_ball")),
        sa.UniqueConstraint("id", name=op.f("uq_ball_id")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("ball", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_ball_corrects_id"), ["corrects_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ball_plan_id"), ["plan_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ball_player_id_arrival"), ["player_id", "arrival"], unique=False)
        batch_op.create_index(batch_op.f("ix_ball_root_id_arrival"), ["root_id", "arrival"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_ball_session_id_arrival"), ["session_id", "arrival"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_ball_station_id"), ["station_id"], unique=False)

    op.create_table(
        "kept_file",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=True),
        sa.Column("technique_id", kinds.WORDS, nullable=True),
        sa.Column("guide_id", kinds.WORDS, nullable=True),
        sa.Column("kind", kinds.WORDS, nullable=False),
        sa.Column("name", kinds.WORDS, nullable=False),
        sa.Column("bytes", kinds.WHOLE, nullable=False),
        sa.Column("sha256", kinds.WORDS, nullable=False),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.CheckConstraint("bytes >= 0", name=op.f("ck_kept_file_bytes_from_0")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_kept_file_id_32")),
        sa.CheckConstraint("length(kind) <= 80", name=op.f("ck_kept_file_kind_length")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_kept_file_made_utc_27")),
        sa.CheckConstraint("length(name) <= 80", name=op.f("ck_kept_file_name_length")),
        sa.CheckConstraint("length(sha256) <= 64", name=op.f("ck_kept_file_sha256_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_kept_file_made_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["guide_id"], ["guide.id"], name=op.f("fk_kept_file_guide_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_kept_file_player_id")),
        sa.ForeignKeyConstraint(["technique_id"], ["technique.id"], name=op.f("fk_kept_file_technique_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kept_file")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("kept_file", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_kept_file_player_id"), ["player_id"], unique=False)

    op.create_table(
        "review",
        sa.Column("id", kinds.WORDS, nullable=False),
        sa.Column("player_id", kinds.WORDS, nullable=False),
        sa.Column("session_id", kinds.WORDS, nullable=True),
        sa.Column("station_id", kinds.WORDS, nullable=True),
        sa.Column("plan_id", kinds.WORDS, nullable=True),
        sa.Column("made_utc", kinds.WORDS, nullable=False),
        sa.Column("made_offset_min", kinds.WHOLE, nullable=False),
        sa.Column("verdict", kinds.WORDS, nullable=False),
        sa.Column("sentence", kinds.WORDS, nullable=False),
        sa.Column("balls", kinds.WHOLE, nullable=False),
        sa.Column("result", kinds.WORDS, nullable=False),
        sa.Column("overruled_to", kinds.WORDS, nullable=True),
        sa.Column("overruled_why", kinds.WORDS, nullable=True),
        sa.Column("overruled_utc", kinds.WORDS, nullable=True),
        sa.Column("overruled_offset_min", kinds.WHOLE, nullable=True),
        sa.CheckConstraint("balls >= 0", name=op.f("ck_review_balls_from_0")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_review_id_32")),
        sa.CheckConstraint("length(made_utc) = 27", name=op.f("ck_review_made_utc_27")),
        sa.CheckConstraint("length(overruled_to) <= 80", name=op.f("ck_review_overruled_to_length")),
        sa.CheckConstraint("length(overruled_utc) = 27", name=op.f("ck_review_overruled_utc_27")),
        sa.CheckConstraint("length(overruled_why) <= 4000", name=op.f("ck_review_overruled_why_length")),
        sa.CheckConstraint("length(sentence) <= 4000", name=op.f("ck_review_sentence_length")),
        sa.CheckConstraint("length(verdict) <= 80", name=op.f("ck_review_verdict_length")),
        sa.CheckConstraint(
            "made_offset_min between -1080 and 1080", name=op.f("ck_review_made_offset_min_range")
        ),
        sa.CheckConstraint(
            "overruled_offset_min between -1080 and 1080", name=op.f("ck_review_overruled_offset_min_range")
        ),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_review_plan_id")),
        sa.ForeignKeyConstraint(["player_id"], ["player.id"], name=op.f("fk_review_player_id")),
        sa.ForeignKeyConstraint(["session_id"], ["session.id"], name=op.f("fk_review_session_id")),
        sa.ForeignKeyConstraint(["station_id"], ["station.id"], name=op.f("fk_review_station_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_review")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("review", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_review_player_id_made_utc"), ["player_id", "made_utc"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_review_session_id"), ["session_id"], unique=False)
