"""Building a plan by lists: reels entered one by one where they fit, and moved about."""
