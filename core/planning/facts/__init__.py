"""What there is to plan: a shelf read once into windows, decks, chambers and jobs of whole minutes."""
