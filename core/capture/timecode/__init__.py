"""Linear timecode on a tape track (SMPTE ST 12-1): labels, words, reading, writing."""
