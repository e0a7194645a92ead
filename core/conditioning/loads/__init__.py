"""Chamber loads as they are kept: logs, heat, places, what they did."""
