"""Songs: what each needs, its track sheets, its parts."""
