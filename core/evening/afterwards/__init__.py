"""What is told of an evening afterwards: from paper, step by step, or of a tape that was left running."""
