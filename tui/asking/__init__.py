"""Questions and what they are answered with: dialogs, choices, forms, lines to type in."""
