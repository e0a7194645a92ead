"""What is told of steps afterwards: one from paper, or many at once."""
