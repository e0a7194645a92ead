"""The two faces: the command line and the full-screen program."""
