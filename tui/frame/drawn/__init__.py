"""What every place is drawn with: head, foot, what was said, the chamber's line, lists of lines."""
