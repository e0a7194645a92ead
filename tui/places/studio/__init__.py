"""The studio: what stands in it, when you are there, how you want to live with a plan."""
