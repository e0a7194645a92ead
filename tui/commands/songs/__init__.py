"""Songs: their sheets, parts and time, and the album."""
