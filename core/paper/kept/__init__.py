"""What was kept, printed: chamber logs, line-ups, capture reports, what a new plan changed."""
