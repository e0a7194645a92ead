"""How loud: levels, true peak, K-weighting and programme loudness."""
