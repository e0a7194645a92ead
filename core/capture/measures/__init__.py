"""What is measured along a pass: levels, loudness, peaks, the grain of its samples."""
