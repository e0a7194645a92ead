"""Around the steps: hours, how an evening begins, what is fetched and put back, how it ends."""
