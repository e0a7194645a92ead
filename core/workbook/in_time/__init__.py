"""Songs in time: captures tied by code and sound, claims held against it, old mixes, what is shared."""
