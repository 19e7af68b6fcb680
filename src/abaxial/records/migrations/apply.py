"""Brings a database's tables to a version; the only door to alembic."""

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection


def upgrade(connection: Connection, revision: str = "head") -> None:
    """Bring the tables to a revision within the transaction that the connection is in."""
    command.upgrade(_config(connection), revision)


def refuse_difference(connection: Connection) -> None:
    """Raise alembic's CommandError if the tables in the database differ from those in `tables`."""
    command.check(_config(connection))


def _config(connection: Connection) -> Config:
    config = Config()
    # by package, so that it is found in a wheel too
    config.set_main_option("script_location", "abaxial.records:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config
