"""The files of a pass: headers, chunks, samples, and the one read of every byte."""
