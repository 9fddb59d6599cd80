"""What Alembic runs: the migrations on the connection that `records.migrate` opened."""

from typing import Any, Literal

from alembic import context

from firstbounce.records.columns import METADATA, Json, Real, Whole, Words
from firstbounce.records.tables import ALL

KINDS = {Words: "kinds.WORDS", Json: "kinds.WORDS", Real: "kinds.REAL", Whole: "kinds.WHOLE"}


def render(what: str, item: Any, autogen: Any) -> str | Literal[False]:
    """Our kinds of columns by their names in `kinds`."""
    if what == "type" and type(item) in KINDS:
        autogen.imports.add("from firstbounce.records.migrations import kinds")
        return KINDS[type(item)]
    return False


assert ALL
context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    render_item=render,
    transactional_ddl=False,
)
context.run_migrations()
