"""What is drawn on the screen."""
