"""What the made-up shelf needs beside its files: its own clock, and captures for its songs."""
