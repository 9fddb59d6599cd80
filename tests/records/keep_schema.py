"""Keep the schema of a release: `python tests/records/keep_schema.py` writes schemas/<revision>.sql, once.

The file is a whole SQLite database with an invented row or more in each table; a test migrates each of them.
"""

import sqlite3
import tempfile
from pathlib import Path

from invented import World
from whole_world import fit_and_plan

from firstbounce.records.engine import FILE_NAME
from firstbounce.records.migrate import HEAD
from firstbounce.services.erase import erase
from firstbounce.services.kept import set_setting
from firstbounce.services.store import open_store

SCHEMAS = Path(__file__).parent / "schemas"


def main():
    """Write the file of the newest schema; refuse when it is kept already."""
    target = SCHEMAS / f"{HEAD}.sql"
    if target.exists():
        raise SystemExit(f"{target} is there already: a released schema never changes.")
    with tempfile.TemporaryDirectory() as folder:
        with open_store(Path(folder)) as store:
            fit_and_plan(World(store))
            set_setting(store, "pace_m", 0.9)
            gone = World(store, name="Someone who left", balls=2)
            erase(store, gone.player.id)
        with sqlite3.connect(Path(folder) / FILE_NAME) as database:
            target.parent.mkdir(exist_ok=True)
            target.write_text("\n".join(database.iterdump()) + "\n", encoding="utf-8")
        database.close()
    print(target)


if __name__ == "__main__":
    main()
