"""Songs and the album in lines."""
