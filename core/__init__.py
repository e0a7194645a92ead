"""Everything that is true without a screen."""
