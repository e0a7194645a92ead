"""Which treatment a tape needs, and what a chamber did to it."""
