"""Verbs that tell what is known of tape: lengths, stocks, and where figures come from."""
