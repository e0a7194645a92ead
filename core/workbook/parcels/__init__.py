"""What is handed over: the parcel of a song and of an album."""
