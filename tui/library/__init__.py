"""What of the screen library has no public name."""
