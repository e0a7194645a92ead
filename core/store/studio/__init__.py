"""studio.toml: one table of fields by which it is read, written, changed and told."""
