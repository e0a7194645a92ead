"""What makes a plan better to live with where it costs nothing."""
