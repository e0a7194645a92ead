"""The logbook: what an evening writes down, as values. The shelf keeps each as a record of plain JSON."""
