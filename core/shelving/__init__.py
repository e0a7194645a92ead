"""Acts on the shelf's own order: a key changed, taken off, two that are one tape, a box that held two."""
