"""The shelf's file: written whole or not at all, locked, backed up, brought up to date, taken back."""
