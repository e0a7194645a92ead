"""What is asked of a plan: why, what if, how sure."""
