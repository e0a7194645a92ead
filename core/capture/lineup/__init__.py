"""A capture of a calibration tape, read as a line-up."""
