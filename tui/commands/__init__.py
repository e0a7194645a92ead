"""One small module a verb; each is read only when its verb is asked for."""
