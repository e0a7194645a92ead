"""What a change changed: its rows, history, undoing and redoing."""
