"""What the owner asks of a plan beyond the rules, how it is typed, and the problem with it in it."""
