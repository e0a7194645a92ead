"""Looking at a reel: its form, the likely answers, and what becomes of them."""
