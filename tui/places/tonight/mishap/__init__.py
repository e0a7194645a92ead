"""What one mishap each asks: of the box, of the tape, of the helper."""
