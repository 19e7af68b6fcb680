"""Gardens, their entries, and weather in batches."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_MOMENT = sa.DateTime(timezone=True)
_VARIABLES = (
    "temperature_c",
    "relative_humidity_frac",
    "wind_speed_m_s",
    "rain_mm",
    "shortwave_w_m2",
    "cloud_frac",
)


def upgrade() -> None:
    """One version up."""
    _garden()
    _entry()
    _weather_batch()
    _weather_member()
    _weather_hour()


def _garden() -> None:
    op.create_table(
        "garden",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("made_at", _MOMENT, nullable=False),
        sa.Column("last_seq", sa.Integer(), nullable=False),
        sa.Column("last_received_at", _MOMENT),
        sa.PrimaryKeyConstraint("number", name="pk_garden"),
        sa.UniqueConstraint("id", name="uq_garden_id"),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_garden_id_length")),
    )


def _entry() -> None:
    op.create_table(
        "entry",
        _number("garden"),
        _number("seq"),
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("happened_from", _MOMENT, nullable=False),
        sa.Column("happened_to", _MOMENT, nullable=False),
        sa.Column("recorded_at", _MOMENT, nullable=False),
        sa.Column("received_at", _MOMENT, nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("corrects", sa.Text()),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("garden", "seq", name="pk_entry"),
        _to_garden("entry"),
        sa.UniqueConstraint("garden", "id", name="uq_entry_garden_id"),
        sa.CheckConstraint("seq >= 1", name=op.f("ck_entry_seq_from_one")),
        sa.CheckConstraint("length(id) = 32", name=op.f("ck_entry_id_length")),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_entry_digest_length")),
    )


def _weather_batch() -> None:
    op.create_table(
        "weather_batch",
        _number("garden"),
        _number("batch"),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("issued_at", _MOMENT),
        sa.Column("received_at", _MOMENT, nullable=False),
        sa.Column("withdrawn_at", _MOMENT),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("reader", sa.JSON(), nullable=False),
        sa.Column("raw_zlib", sa.LargeBinary(), nullable=False),
        _number("first_hour"),
        _number("end_hour"),
        sa.Column("hour_chain", sa.LargeBinary(), nullable=False),
        sa.Column("content", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("garden", "batch", name="pk_weather_batch"),
        _to_garden("weather_batch"),
        sa.UniqueConstraint("garden", "content", name="uq_weather_batch_garden_content"),
        sa.CheckConstraint("batch >= 1", name=op.f("ck_weather_batch_batch_from_one")),
        sa.CheckConstraint("end_hour >= first_hour", name=op.f("ck_weather_batch_hours_forward")),
    )


def _weather_member() -> None:
    op.create_table(
        "weather_member",
        _number("garden"),
        _number("batch"),
        _number("member"),
        _number("first_hour"),
        _number("hours"),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("findings", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("garden", "batch", "member", name="pk_weather_member"),
        _to_garden("weather_member"),
        sa.ForeignKeyConstraint(
            ["garden", "batch"],
            ["weather_batch.garden", "weather_batch.batch"],
            name="fk_weather_member_weather_batch",
        ),
        sa.CheckConstraint("hours >= 0", name=op.f("ck_weather_member_hours_not_negative")),
    )


def _weather_hour() -> None:
    op.create_table(
        "weather_hour",
        _number("garden"),
        _number("batch"),
        _number("member"),
        _number("hour"),
        *(sa.Column(name, sa.Double()) for name in _VARIABLES),
        *(sa.Column(f"{name}_mark", sa.SmallInteger(), nullable=False) for name in _VARIABLES),
        sa.PrimaryKeyConstraint("garden", "batch", "member", "hour", name="pk_weather_hour"),
        _to_garden("weather_hour"),
        sa.ForeignKeyConstraint(
            ["garden", "batch", "member"],
            ["weather_member.garden", "weather_member.batch", "weather_member.member"],
            name="fk_weather_hour_weather_member",
        ),
        sqlite_with_rowid=False,
    )


def _number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False, autoincrement=False)


def _to_garden(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["garden"], ["garden.number"], name=f"fk_{table}_garden")
