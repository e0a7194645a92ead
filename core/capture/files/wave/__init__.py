"""What a sound file says of itself: chunks, forms, bext, and how they are read without trust."""
