"""Rules of what goes into the heat: never, for how long, and how a chamber takes it."""
