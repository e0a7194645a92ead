"""What a capture is held against, where its findings lie, and what each weighs."""
