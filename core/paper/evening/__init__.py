"""The papers of an evening: work orders, run, week, logs to fill in, and the calendar."""
