"""The place and its hours: decks, capture, chambers, treatments, and when someone is there."""
