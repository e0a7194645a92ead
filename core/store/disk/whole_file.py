"""TinyDB's storage seam: its operations work on tables in memory, between one reading and one writing."""

from __future__ import annotations

from tinydb import TinyDB
from tinydb.storages import Storage

from core.store.disk.storage import Tables


class WholeFile(Storage):
    """Holds the tables of one file; nothing that TinyDB does reaches the disk by itself."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables

    def read(self) -> Tables:
        """The tables as they stand."""
        return self.tables

    def write(self, data: Tables) -> None:
        """Takes the tables over; the disk is not touched."""
        self.tables = data


def database_on(tables: Tables) -> TinyDB:
    """A TinyDB database on these tables, which it changes in place."""
    storage = WholeFile(tables)
    return TinyDB(storage=lambda: storage)
