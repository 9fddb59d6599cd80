"""Open the records; see docs/records.md."""

from firstbounce.records.queries import new_id
from firstbounce.records.store import FOLDER_VARIABLE, URL_VARIABLE, Store, data_folder, open_store

__all__ = ["FOLDER_VARIABLE", "URL_VARIABLE", "Store", "data_folder", "new_id", "open_store"]
