"""The problem, or a part of it, as a model for the solver."""
