"""What the shelf keeps about songs: their parts, and what sound told of other takes."""
