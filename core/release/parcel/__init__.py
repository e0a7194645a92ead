"""The lists and the first page of what is handed over."""
