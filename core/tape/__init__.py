"""What tape is and does: physics as pure functions, and tables in which every row names its source."""
