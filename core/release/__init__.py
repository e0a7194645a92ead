"""From captured songs to an album: mixes, steps after capture, sides, credits, what is missing."""
