"""How good a plan can be at best."""
