"""The same music played anew: its harmonies, and whether two captures are takes of one song."""
