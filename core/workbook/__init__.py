"""The one door to the shelf: load, a pure function, save, undo."""
