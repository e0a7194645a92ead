"""What the Tonight place shows, as plain values and lines; no screen library here."""
