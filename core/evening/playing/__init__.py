"""The tape that plays: its passes, notes and places, and what playing it tells."""
