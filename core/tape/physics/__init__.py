"""Physics of tape: length, speed, equalisation, level, azimuth, losses."""
