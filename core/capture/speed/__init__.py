"""How fast a pass plays, and how steadily."""
