"""The tables, the same on SQLite and on PostgreSQL, and the column that keeps time."""

from datetime import UTC, datetime

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    DateTime,
    Dialect,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    SmallInteger,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from abaxial.errors import RecordsError
from abaxial.weather.series import VARIABLES

#: the versions of these tables, oldest first; the last one is what this program reads and writes
REVISIONS = ("0001", "0002")
#: what marks a SQLite file as a garden's, in its header: "AbAx"
APPLICATION_ID = 0x41624178

METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(referred_table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


class Moment(TypeDecorator[datetime]):
    """A moment, kept in UTC to the microsecond; one without a zone is refused with RecordsError."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment as the database keeps it."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise RecordsError(f"The time {value.isoformat()} has no zone.", remedy="Say which clock it was read from.")
        in_utc = value.astimezone(UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment as it was given, in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def _of_garden() -> Column[int]:
    return Column("garden", Integer, ForeignKey("garden.number"), primary_key=True, autoincrement=False)


def _key(name: str) -> Column[int]:
    return Column(name, Integer, primary_key=True, autoincrement=False)


#: one row a garden, which whoever writes in it holds; `number` is only the short name of `id` within one database
GARDEN = Table(
    "garden",
    METADATA,
    Column("number", Integer, primary_key=True),
    Column("id", String(32), nullable=False),
    Column("made_at", Moment(), nullable=False),
    Column("last_seq", Integer, nullable=False),
    Column("last_received_at", Moment()),
    UniqueConstraint("id"),
    CheckConstraint("length(id) = 32", name="id_length"),
)

ENTRY = Table(
    "entry",
    METADATA,
    _of_garden(),
    _key("seq"),
    Column("id", String(32), nullable=False),
    Column("kind", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("happened_from", Moment(), nullable=False),
    Column("happened_to", Moment(), nullable=False),
    Column("recorded_at", Moment(), nullable=False),
    Column("received_at", Moment(), nullable=False),
    Column("author", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("corrects", Text),
    Column("body", JSON(none_as_null=False), nullable=False),
    Column("digest", String(64), nullable=False),
    UniqueConstraint("garden", "id"),
    CheckConstraint("seq >= 1", name="seq_from_one"),
    CheckConstraint("length(id) = 32", name="id_length"),
    CheckConstraint("length(digest) = 64", name="digest_length"),
)

WEATHER_BATCH = Table(
    "weather_batch",
    METADATA,
    _of_garden(),
    _key("batch"),
    Column("kind", Text, nullable=False),
    Column("source", Text, nullable=False),
    Column("issued_at", Moment()),
    Column("received_at", Moment(), nullable=False),
    Column("withdrawn_at", Moment()),
    Column("digest", Text, nullable=False),
    Column("reader", JSON, nullable=False),
    Column("raw_zlib", LargeBinary, nullable=False),
    Column("first_hour", Integer, nullable=False),
    Column("end_hour", Integer, nullable=False),
    Column("hour_chain", LargeBinary, nullable=False),
    Column("content", String(64), nullable=False),
    UniqueConstraint("garden", "content"),
    CheckConstraint("batch >= 1", name="batch_from_one"),
    CheckConstraint("end_hour >= first_hour", name="hours_forward"),
)

WEATHER_MEMBER = Table(
    "weather_member",
    METADATA,
    _of_garden(),
    _key("batch"),
    _key("member"),
    Column("first_hour", Integer, nullable=False),
    Column("hours", Integer, nullable=False),
    Column("source", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("findings", JSON, nullable=False),
    ForeignKeyConstraint(["garden", "batch"], ["weather_batch.garden", "weather_batch.batch"]),
    CheckConstraint("hours >= 0", name="hours_not_negative"),
)

#: an hour of which nothing at all is known has no row
WEATHER_HOUR = Table(
    "weather_hour",
    METADATA,
    _of_garden(),
    _key("batch"),
    _key("member"),
    _key("hour"),
    *(Column(name, Double) for name in VARIABLES),
    *(Column(f"{name}_mark", SmallInteger, nullable=False) for name in VARIABLES),
    ForeignKeyConstraint(
        ["garden", "batch", "member"], ["weather_member.garden", "weather_member.batch", "weather_member.member"]
    ),
    sqlite_with_rowid=False,
)

#: what can be computed again: it may be emptied at any time, and no archive carries it
CHECKPOINT = Table(
    "checkpoint",
    METADATA,
    _of_garden(),
    Column("key", Text, primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("blob", LargeBinary, nullable=False),
)

#: what is a garden's own, in the order in which it can be filled
KEPT = (ENTRY, WEATHER_BATCH, WEATHER_MEMBER, WEATHER_HOUR)
