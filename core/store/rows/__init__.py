"""Rows and columns: what a CSV column means, how a cell is read, how a value is written."""
