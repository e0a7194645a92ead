"""The places a person works in, a room each."""
