"""The places a person works in, and the questions they ask."""
