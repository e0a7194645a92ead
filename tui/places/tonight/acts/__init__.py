"""What is done in Tonight: an evening begun, passes, mishaps, paper typed back."""
