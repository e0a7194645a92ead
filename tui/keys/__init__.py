"""Every key once, and how keys are called."""
