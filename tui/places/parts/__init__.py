"""The parts of a song: which track is used for what?"""
