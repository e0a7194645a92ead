"""What goes from one tape to others: through the air, over a deck's path, by lying beside them."""
