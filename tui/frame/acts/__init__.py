"""What can be done from several places: on reels, on hours, printing, leaving."""
