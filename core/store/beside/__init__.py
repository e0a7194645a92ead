"""Small files beside the shelf, which are no part of it: a help to memory, and none where they cannot be."""
