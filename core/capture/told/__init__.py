"""What was measured of the tape itself, as findings with words for the person at the machine."""
