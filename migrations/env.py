"""Runs the migrations on the connection the store hands over, or on `-x db=sqlite:///FILE` for developers."""

from alembic import context
from sqlalchemy import create_engine
from sqlmodel import SQLModel

import tracker.store.tables  # the tables register themselves on the metadata


def _run(connection) -> None:
    context.configure(connection=connection, target_metadata=SQLModel.metadata, render_as_batch=True,
                      transactional_ddl=True)
    with context.begin_transaction():
        context.run_migrations()


assert tracker.store.tables.__all__
given = context.config.attributes.get("connection")
if given is not None:
    _run(given)
else:
    url = context.get_x_argument(as_dictionary=True).get("db", "sqlite://")
    with create_engine(url).begin() as own:
        _run(own)
