"""What is on the shelf: begun, read, looked at, changed, taken back."""
