"""Everything that is printed, and the calendar; one sheet a file."""
