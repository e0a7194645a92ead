"""The shelf on disk: one TinyDB file written atomically, its backups, and the files that go in and out."""
